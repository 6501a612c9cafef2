/**
 * The store: everything people create on this device, as documents folded from a
 * journal. Nothing written is lost: a write that has resolved is on disk, and one
 * that rejected, with a StoreFault, changed nothing.
 *
 * A document is named "<kind>/<id>": rig, trip, walk, test. Screens read documents
 * and write leaves; they never see entries.
 */

import { t } from "../words/text.ts";
import { Book, type Brought, type JournalEngine } from "./book.ts";
import type { Kept } from "./copies.ts";
import { StoreFault } from "./fault.ts";
import { openIndexedShelf } from "./indexed.ts";
import { kindOf, valueAt, type Change, type Entry, type Erasure, type Json, type JsonObject, type Write } from "./journal.ts";
import { MemoryShelf } from "./memory.ts";
import type { Shelf } from "./shelf.ts";
import { fetchWith, sync, type Aside, type SyncState } from "./sync.ts";
import { uuid7 } from "./uuid7.ts";

export interface Document {
  doc: string;
  document: JsonObject;
}

/** How the store stands. */
export interface Standing {
  /** Whether the browser keeps what it is given; undefined until it is known. */
  lasting: boolean | undefined;
  /** Whether the browser promised never to clear it by itself; undefined where it does not say. */
  persistent: boolean | undefined;
  /**
   * refused: the browser keeps nothing. newer: a newer app made the database.
   * blocked: another tab holds an older one open. superseded: a newer tab took it
   * over. evicted: the browser has cleared what was here.
   */
  trouble: "refused" | "newer" | "blocked" | "superseded" | "evicted" | undefined;
  sync: SyncState;
  /** When everything was last shared with the server, in milliseconds of the Unix epoch; undefined where it never was. */
  synced: number | undefined;
  /** The id in the server's key that is kept here, never its secret; undefined where there is none. */
  key: string | undefined;
  /** Edits that no server has acknowledged. */
  waiting: number;
  /** Edits a server will not take; they stay on this device. */
  aside: Aside[];
}

/** One JSON file of everything. Importing it merges; it never overwrites. */
interface Export {
  pintail_export: 1;
  entries: Entry[];
  erasures: Erasure[];
}

type Listener = (doc: string) => void;

export class Store {
  #book: Promise<Book>;
  #engine: JournalEngine;
  #listeners = new Map<string, Set<Listener>>();
  #standing: Standing = { lasting: undefined, persistent: undefined, trouble: undefined, sync: "never", synced: undefined, key: undefined, waiting: 0, aside: [] };
  #watchers = new Set<(standing: Standing) => void>();
  #channel: BroadcastChannel | undefined;
  #syncing: Promise<SyncState> | undefined;
  #soon: ReturnType<typeof setTimeout> | undefined;

  /** Opens the database `name`; `now` gives milliseconds of the Unix epoch. */
  constructor(engine: JournalEngine, { name = "pintail", now = Date.now }: { name?: string; now?: () => number } = {}) {
    this.#engine = engine;
    this.#book = this.#open(name).then((shelf) => new Book(shelf, this.#engine, now));
    if ("BroadcastChannel" in globalThis) {
      this.#channel = new BroadcastChannel(name);
      this.#channel.onmessage = (event: MessageEvent<string[]>) => this.#tell(event.data);
    }
  }

  /** Settles with whether the browser keeps what it is given. */
  get lasting(): Promise<boolean> {
    return this.#book.then((book) => book.shelf.lasting);
  }

  /** The name of this install: what it ticks and measures stands under it. */
  async device(): Promise<string> {
    const book = await this.#book;
    return book.alone(() => book.device());
  }

  /** All documents of a kind, in the order in which they were made. */
  async documents(kind: string): Promise<Document[]> {
    const rows = await (await this.#book).shelf.rows(kind);
    return rows.flatMap(({ doc, document }) => (document ? [{ doc, document }] : [])).sort((a, b) => (a.doc < b.doc ? -1 : 1));
  }

  /** The names of the documents of a kind that were there and are removed. */
  async removed(kind: string): Promise<string[]> {
    const rows = await (await this.#book).shelf.rows(kind);
    return rows.filter(({ document }) => document === undefined).map(({ doc }) => doc);
  }

  /** The names of the documents of a kind that were written more than once. */
  async editedAgain(kind: string): Promise<string[]> {
    const rows = await (await this.#book).shelf.rows(kind);
    return rows.filter(({ count }) => count > 1).map(({ doc }) => doc);
  }

  /** One document, undefined where there is none. */
  async read(doc: string): Promise<JsonObject | undefined> {
    return (await (await this.#book).shelf.row(doc))?.document;
  }

  /** Writes leaves: scalars, arrays, quantities such as {"lb": 4300}, or {} for an empty map. Resolves once they are on disk. */
  async write(doc: string, writes: Write[]): Promise<void> {
    const book = await this.#book;
    await book.alone(() => book.append(doc, writes, true));
    this.#changed([doc]);
  }

  /** Writes leaves of many documents, each named once: all of them, or nothing. It is not undone as one. */
  async writeAll(changes: { doc: string; writes: Write[] }[]): Promise<void> {
    const book = await this.#book;
    await book.alone(() => book.appendAll(changes));
    this.#changed(changes.map(({ doc }) => doc));
  }

  /** Makes the document say exactly this, by writing what differs. */
  async replace(doc: string, document: JsonObject): Promise<void> {
    await this.#replace(doc, document);
  }

  /** Removes a document; undo brings it back. */
  async remove(doc: string): Promise<void> {
    await this.write(doc, [{ path: "", removed: true }]);
  }

  /** Whether a server has acknowledged any of the document, and with it whoever shares that server. */
  async shared(doc: string): Promise<boolean> {
    const { shelf } = await this.#book;
    const [era, waiting, { entries }, aside = []] = await Promise.all([
      shelf.setting<string>("era"), shelf.waiting(), shelf.setOf(doc), shelf.setting<Aside[]>("aside"),
    ]);
    const here = new Set([...waiting, ...aside.map(({ entry }) => entry.id)]);
    return era !== undefined && entries.some(({ id }) => !here.has(id));
  }

  /** Takes back the last edit made here to the document, leaving alone what was changed since. Reports whether there was one. */
  async undo(doc: string): Promise<boolean> {
    const book = await this.#book;
    const done = await book.alone(async () => {
      for (let last = await book.shelf.lastEdit(doc); last; last = await book.shelf.lastEdit(doc)) {
        const now = await this.read(doc);
        const writes = last.edit.back.filter(({ path, expected }) => JSON.stringify(valueAt(now, path)) === expected);
        if (writes.length > 0) {
          await book.append(doc, writes.map(({ expected: _, ...write }) => write), false, { undone: last.key });
          return true;
        }
        await book.shelf.commit({ undone: last.key });
      }
      return false;
    });
    if (done) {
      this.#changed([doc]);
    }
    return done;
  }

  /** Whether there is an edit of the document to take back. */
  async undoable(doc: string): Promise<boolean> {
    return (await (await this.#book).shelf.lastEdit(doc)) !== undefined;
  }

  /** Every edit at a path of the document and under it, newest first. */
  async history(doc: string, path = ""): Promise<Change[]> {
    return (await this.#book).history(doc, path);
  }

  /** Calls back whenever a document, or any of a kind, has changed, in this tab or another. Returns how to end it. */
  subscribe(docOrKind: string, listener: Listener): () => void {
    const set = this.#listeners.get(docOrKind) ?? new Set();
    this.#listeners.set(docOrKind, set.add(listener));
    return () => void set.delete(listener);
  }

  /** A small setting of the app, on this device only. */
  async setting<T extends Json>(name: string): Promise<T | undefined> {
    return (await this.#book).shelf.setting<T>(`app.${name}`);
  }

  async setSetting(name: string, value: Json): Promise<void> {
    const book = await this.#book;
    await book.alone(() => book.shelf.commit({ settings: [[`app.${name}`, value]] }));
    this.#changed([`setting/${name}`]);
  }

  /** Everything, as the text of one JSON file. */
  async exportAll(): Promise<string> {
    const { entries, erasures } = await (await this.#book).shelf.everything();
    return JSON.stringify({ pintail_export: 1, entries, erasures } satisfies Export);
  }

  /** Merges an export, all of it or nothing. Returns how many edits were new and how many documents they changed. */
  async importAll(text: string): Promise<{ edits: number; documents: number }> {
    const book = await this.#book;
    const brought = readExport(text);
    const { docs, fresh } = await book.alone(() => book.absorb(brought, { offer: true }));
    this.#changed(docs);
    return { edits: fresh, documents: docs.length };
  }

  /** Exchanges edits with the server, where one takes them. One runs at a time. */
  sync(): Promise<SyncState> {
    this.#syncing ??= this.#sync().finally(() => (this.#syncing = undefined));
    return this.#syncing;
  }

  /**
   * Keeps the key of the server that this app came from, and tries it; undefined
   * removes it. It is on this device only: no export, document or message holds it.
   */
  async setKey(key: string | undefined): Promise<SyncState> {
    const book = await this.#book;
    await this.#syncing; // an exchange under the key before must not speak for this one
    await book.alone(() => book.shelf.commit({ settings: [["key", key]] }));
    this.#stands({ key: idOfKey(key) });
    return this.sync();
  }

  /** Asks the server that this app came from, with the key if there is one. Rejects where there is no answer. */
  async ask(path: string): Promise<Response> {
    return fetchWith(await (await this.#book).shelf.setting<string>("key"), path);
  }

  /** Copies of rigs that a server shows without taking edits; no part of the journal. */
  async copies(): Promise<Kept[]> {
    return (await (await this.#book).shelf.copies()).filter(({ from }) => from === "server");
  }

  async putCopy(copy: Kept): Promise<void> {
    await (await this.#book).shelf.putCopy(copy);
  }

  standing(): Standing {
    return this.#standing;
  }

  /** Calls back now, and whenever how the store stands has changed. Returns how to end it. */
  watch(watcher: (standing: Standing) => void): () => void {
    this.#watchers.add(watcher);
    watcher(this.#standing);
    return () => void this.#watchers.delete(watcher);
  }

  /**
   * Takes in what an earlier version kept, mends what another tab left, and
   * exchanges edits. Needs the engine; harmless to repeat.
   */
  async begin(): Promise<void> {
    const book = await this.#book;
    await this.#adopt(book);
    await book.alone(async () => {
      for (const doc of await book.shelf.stale()) {
        await book.shelf.commit({ rows: [await book.refold(doc)] });
        this.#tell([doc]);
      }
    });
    await this.#count();
    await this.sync();
  }

  /** Lets go of the database; the store is not used again. */
  async close(): Promise<void> {
    clearTimeout(this.#soon);
    this.#channel?.close();
    await (await this.#book).shelf.close();
  }

  /** A new document's name. */
  static newDoc(kind: string): string {
    return `${kind}/${uuid7()}`;
  }

  async #replace(doc: string, document: JsonObject): Promise<void> {
    const book = await this.#book;
    await book.alone(async () => book.append(doc, await book.diff((await book.shelf.row(doc))?.document, document), true));
    this.#changed([doc]);
  }

  async #open(name: string): Promise<Shelf> {
    try {
      const shelf = await openIndexedShelf(name, {
        blocked: () => this.#stands({ trouble: "blocked" }),
        superseded: () => this.#stands({ trouble: "superseded" }),
      });
      const evicted = (await shelf.setting("device")) === undefined && marked();
      this.#stands({ lasting: true, trouble: evicted ? "evicted" : undefined });
      void globalThis.navigator?.storage?.persisted?.().then((persistent) => this.#stands({ persistent }), () => {});
      return shelf;
    } catch (reason) {
      const newer = reason instanceof DOMException && reason.name === "VersionError";
      this.#stands({ lasting: false, trouble: newer ? "newer" : "refused" });
      return new MemoryShelf();
    }
  }

  /** Rigs that version 1 of the database kept as text become documents. */
  async #adopt(book: Book): Promise<void> {
    for (const copy of await book.shelf.copies()) {
      if (copy.from === "phone") {
        // The name comes from the old id, so that doing it twice does it once.
        await this.#replace(`rig/${copy.id.slice("phone:".length)}`, JSON.parse(copy.text) as JsonObject);
        await book.shelf.dropCopy(copy.id);
      }
    }
  }

  async #sync(): Promise<SyncState> {
    const book = await this.#book;
    this.#stands({ sync: "running", key: idOfKey(await book.shelf.setting<string>("key")), synced: await book.shelf.setting<number>("synced") });
    try {
      const state = await sync(book, (docs) => this.#publish(docs));
      if (state === "done") {
        const synced = Date.now();
        await book.shelf.commit({ settings: [["synced", synced]] });
        this.#stands({ synced });
      }
      this.#stands({ sync: state });
    } catch {
      this.#stands({ sync: "away" }); // the edits wait, and the next exchange takes them up
    }
    await this.#count();
    return this.#standing.sync;
  }

  async #count(): Promise<void> {
    const { shelf } = await this.#book;
    const [ids, aside] = await Promise.all([shelf.waiting(), shelf.setting<Aside[]>("aside")]);
    this.#stands({ waiting: ids.length, aside: aside ?? [] });
  }

  /** After an edit made here. */
  #changed(docs: string[]): void {
    this.#publish(docs);
    mark();
    void this.#askToKeep();
    void this.#count();
    if (this.#standing.sync !== "never") {
      clearTimeout(this.#soon);
      // One that runs already may have passed these edits by.
      this.#soon = setTimeout(() => void Promise.resolve(this.#syncing).then(() => this.sync()), 1500);
    }
  }

  /** Without this a browser short of space may clear what exists nowhere else. */
  async #askToKeep(): Promise<void> {
    if (this.#standing.lasting && !this.#standing.persistent) {
      const persistent = await globalThis.navigator?.storage?.persist?.().catch(() => undefined);
      this.#stands({ persistent });
    }
  }

  #publish(docs: string[]): void {
    if (docs.length > 0) {
      this.#channel?.postMessage(docs);
      this.#tell(docs);
    }
  }

  /** Whoever listens to a kind is told once, however many of it have changed at a time. */
  #tell(docs: string[]): void {
    const firsts = new Map(docs.map((doc) => [doc, doc]));
    docs.forEach((doc) => firsts.has(kindOf(doc)) || firsts.set(kindOf(doc), doc));
    firsts.forEach((doc, name) => this.#listeners.get(name)?.forEach((listener) => listener(doc)));
  }

  #stands(change: Partial<Standing>): void {
    this.#standing = { ...this.#standing, ...change };
    this.#watchers.forEach((watcher) => watcher(this.#standing));
  }
}

function readExport(text: string): Brought {
  let file: Partial<Export>;
  try {
    file = JSON.parse(text) as Partial<Export>;
  } catch {
    throw notAnExport(t("import.no_json"));
  }
  if (typeof file !== "object" || file === null || !Array.isArray(file.entries)) {
    throw notAnExport(t("import.no_edits"));
  }
  if (file.pintail_export !== 1) {
    throw notAnExport(t("import.newer"));
  }
  const brought: Brought = new Map();
  const of = (doc: string) => brought.get(doc) ?? brought.set(doc, { entries: [], erasures: [] }).get(doc)!;
  file.entries.forEach((entry) => of(String(entry?.doc)).entries.push(entry));
  file.erasures?.forEach((erasure) => of(String(erasure?.doc)).erasures.push(erasure));
  return brought;
}

/** A key is "<id>.<secret>". */
function idOfKey(key: string | undefined): string | undefined {
  return key?.slice(0, key.indexOf("."));
}

function notAnExport(detail: string): StoreFault {
  return new StoreFault("refused", {
    type: "urn:problem-type:pintail:invalid_value", title: t("import.title"), detail,
    errors: [{ pointer: "", code: "invalid_value", detail: t("import.no_export", { why: detail }) }],
  });
}

/** A mark outside the database, by which an emptied one is told from a new one. */
const MARK = "pintail.kept";

function mark(): void {
  try {
    localStorage.setItem(MARK, "1");
  } catch {
    // no mark, no telling
  }
}

function marked(): boolean {
  try {
    return localStorage.getItem(MARK) === "1";
  } catch {
    return false;
  }
}
