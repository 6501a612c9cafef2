/** The shelf where the browser refuses storage: what is laid down stays until the page is closed. */

import type { Kept } from "./copies.ts";
import { compareEntries, type Entry, type EntrySet, type Erasure } from "./journal.ts";
import type { Batch, Edit, Row, SettingName, Shelf } from "./shelf.ts";

export class MemoryShelf implements Shelf {
  readonly lasting = false;
  #entries = new Map<string, Entry>();
  #erasures = new Map<string, Erasure>();
  #outbox = new Set<string>();
  #rows = new Map<string, Row>();
  #settings = new Map<string, unknown>();
  #edits = new Map<number, Edit>();
  #copies = new Map<string, Kept>();
  #nextEdit = 1;

  async setOf(doc: string): Promise<EntrySet> {
    const entries = [...this.#entries.values()].filter((entry) => entry.doc === doc).sort(compareEntries);
    const erasures = [...this.#erasures.values()].filter((erasure) => erasure.doc === doc);
    return { entries, ...(erasures.length > 0 && { erasures }) };
  }

  async row(doc: string) {
    return this.#rows.get(doc);
  }

  async rows(kind: string) {
    return [...this.#rows.values()].filter((row) => row.kind === kind);
  }

  async stale() {
    return [];
  }

  async everything() {
    return { entries: [...this.#entries.values()].sort(compareEntries), erasures: [...this.#erasures.values()] };
  }

  async waiting() {
    return [...this.#outbox].sort();
  }

  async entries(ids: string[]) {
    return ids.map((id) => this.#entries.get(id)).filter((entry) => entry !== undefined);
  }

  async setting<T>(name: SettingName) {
    return this.#settings.get(name) as T | undefined;
  }

  async lastEdit(doc: string) {
    const found = [...this.#edits].filter(([, edit]) => edit.doc === doc).at(-1);
    return found && { key: found[0], edit: found[1] };
  }

  async commit(batch: Batch) {
    batch.withdrawn?.forEach((id) => this.#entries.delete(id));
    batch.entries?.forEach((entry) => this.#entries.set(entry.id, entry));
    batch.erasures?.forEach((erasure) => this.#erasures.set(erasure.id, erasure));
    batch.settled?.forEach((id) => this.#outbox.delete(id));
    batch.waiting?.forEach((id) => this.#outbox.add(id));
    batch.rows?.forEach((row) => this.#rows.set(row.doc, row));
    batch.settings?.forEach(([name, value]) => this.#settings.set(name, value));
    if (batch.undone !== undefined) this.#edits.delete(batch.undone);
    if (batch.edit !== undefined) this.#edits.set(this.#nextEdit++, batch.edit);
  }

  async copies() {
    return [...this.#copies.values()];
  }

  async putCopy(copy: Kept) {
    this.#copies.set(copy.id, copy);
  }

  async dropCopy(id: string) {
    this.#copies.delete(id);
  }

  async close() {}
}
