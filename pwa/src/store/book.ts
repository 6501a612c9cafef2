/** The journal on this device: stamps, folds, merges and lays down, one at a time across tabs. */

import type { Outcome } from "../engine/client.ts";
import { faultOf, StoreFault } from "./fault.ts";
import { kindOf, sameEntry, valueAt, type Change, type Clock, type Entry, type EntrySet, type Erasure, type JsonObject, type Write } from "./journal.ts";
import type { Batch, Row, Shelf } from "./shelf.ts";
import { uuid7 } from "./uuid7.ts";

/** The part of the engine that the journal needs. */
export interface JournalEngine {
  edit<T>(call: string, input: string): Promise<Outcome<T>>;
}

/** What a server, or a file, brings of one document. */
export type Brought = Map<string, { entries: Entry[]; erasures: Erasure[] }>;

const ZERO: Clock = { wall: 0, counter: 0 };

export class Book {
  readonly shelf: Shelf;
  #engine: JournalEngine;
  #now: () => number;
  #turn: Promise<unknown> = Promise.resolve();

  constructor(shelf: Shelf, engine: JournalEngine, now: () => number) {
    this.shelf = shelf;
    this.#engine = engine;
    this.#now = now;
  }

  /** Runs alone, in this tab and across tabs where the browser has locks. */
  alone<T>(work: () => Promise<T>): Promise<T> {
    const run = async () => {
      try {
        return await work();
      } catch (reason) {
        throw faultOf(reason);
      }
    };
    if (this.shelf.lasting && globalThis.navigator?.locks) {
      return navigator.locks.request("pintail-store", run) as Promise<T>;
    }
    const turn = this.#turn.then(run, run);
    this.#turn = turn.catch(() => {});
    return turn;
  }

  /** Writes leaves of a document. Must run alone. `more` is laid down with them. */
  async append(doc: string, writes: Write[], undoable: boolean, more: Batch = {}): Promise<void> {
    if (writes.length === 0) {
      return;
    }
    const set = await this.shelf.setOf(doc);
    const before = (await this.shelf.row(doc))?.document;
    const { entries, clock } = await this.stamp(doc, set, writes);
    const row = await this.#fold(doc, { ...set, entries: [...set.entries, ...entries] });
    await this.shelf.commit({
      ...more,
      entries,
      waiting: entries.map(({ id }) => id),
      rows: [row],
      settings: [...(more.settings ?? []), ["clock", clock]],
      ...(undoable && { edit: { doc, back: await this.#back(row.document, before) } }),
    });
  }

  /** Writes leaves of many documents, each named once: all of them, or nothing. Must run alone. */
  async appendAll(changes: { doc: string; writes: Write[] }[]): Promise<void> {
    const skew = (await this.shelf.setting<number>("skew")) ?? 0;
    const documents = await Promise.all(changes.map(async ({ doc, writes }) => ({ doc, writes, set: await this.shelf.setOf(doc), ids: writes.map(() => uuid7()) })));
    const laid = await this.#ask<{ documents: { entries: Entry[]; document?: JsonObject }[]; clock: Clock }>("lay", {
      documents, device: await this.device(), last: (await this.shelf.setting<Clock>("clock")) ?? ZERO, now: Math.max(0, Math.round(this.#now() + skew)),
    });
    const entries = laid.documents.flatMap((made) => made.entries);
    await this.shelf.commit({
      entries,
      waiting: entries.map(({ id }) => id),
      rows: laid.documents.map(({ entries, document }, at) => {
        const { doc, set } = documents[at]!;
        return { doc, kind: kindOf(doc), count: set.entries.length + entries.length, ...(document !== undefined && { document }) };
      }),
      settings: [["clock", laid.clock]],
    });
  }

  /** Makes entries of writes, later than all that is known. */
  async stamp(doc: string, set: EntrySet, writes: Write[], last?: Clock): Promise<{ entries: Entry[]; clock: Clock }> {
    const skew = (await this.shelf.setting<number>("skew")) ?? 0;
    return this.#ask("entries", {
      doc, set, writes,
      ids: writes.map(() => uuid7()),
      device: await this.device(),
      last: last ?? (await this.shelf.setting<Clock>("clock")) ?? ZERO,
      now: Math.max(0, Math.round(this.#now() + skew)),
    });
  }

  /** Merges what came from elsewhere, all or nothing. Must run alone. Returns the documents that changed and how many entries were new. */
  async absorb(brought: Brought, { offer, ...more }: Batch & { offer?: boolean } = {}): Promise<{ docs: string[]; fresh: number }> {
    const batch: Required<Pick<Batch, "entries" | "erasures" | "withdrawn" | "waiting" | "rows" | "settled">> = {
      entries: [], erasures: [], withdrawn: [...(more.withdrawn ?? [])], waiting: [...(more.waiting ?? [])], rows: [], settled: [...(more.settled ?? [])],
    };
    const displaced = await this.#displaced(brought);
    batch.waiting.push(...displaced.again);
    batch.settled.push(...displaced.ids);
    for (const [doc, theirs] of displaced.brought) {
      const kept = await this.shelf.setOf(doc);
      const ours = { ...kept, entries: kept.entries.filter(({ id }) => !displaced.ids.has(id)) };
      const had = new Set(ours.entries.map(({ id }) => id));
      const { set } = await this.#ask<{ set: EntrySet }>("merge", { a: ours, b: theirs });
      const fresh = set.entries.filter(({ id }) => !had.has(id));
      const stays = new Set(set.entries.map(({ id }) => id));
      const erased = [...had].filter((id) => !stays.has(id));
      batch.entries.push(...fresh);
      batch.erasures.push(...(set.erasures ?? []));
      batch.withdrawn.push(...erased);
      batch.settled.push(...erased);
      if (offer) batch.waiting.push(...fresh.map(({ id }) => id));
      if (fresh.length > 0 || erased.length > 0) batch.rows.push(await this.#fold(doc, set));
    }
    await this.shelf.commit({ ...more, ...batch });
    return { docs: batch.rows.map(({ doc }) => doc), fresh: batch.entries.length };
  }

  /** Where an entry comes under the id of another one here, ours is written again under a new id: nothing is lost to a twin. */
  async #displaced(from: Brought): Promise<{ brought: Brought; ids: Set<string>; again: string[] }> {
    const brought: Brought = new Map([...from].map(([doc, { entries, erasures }]) => [doc, { entries: [...entries], erasures }]));
    const ids = new Set<string>();
    const again: string[] = [];
    const theirs = new Map([...from.values()].flatMap(({ entries }) => entries.map((entry) => [entry?.id, entry] as const)));
    for (const ours of await this.shelf.entries([...theirs.keys()].filter((id) => typeof id === "string"))) {
      const twin = theirs.get(ours.id);
      if (twin && !sameEntry(ours, twin)) {
        const copy = { ...ours, id: uuid7() };
        ids.add(ours.id);
        again.push(copy.id);
        const here = brought.get(ours.doc) ?? { entries: [], erasures: [] };
        brought.set(ours.doc, { ...here, entries: [...here.entries, copy] });
      }
    }
    return { brought, ids, again };
  }

  /** Folds a document again, as where another tab without locks wrote meanwhile. */
  async refold(doc: string): Promise<Row> {
    return this.#fold(doc, await this.shelf.setOf(doc));
  }

  async foldWithout(doc: string, withdrawn: Set<string>, entries: Entry[]): Promise<Row> {
    const set = await this.shelf.setOf(doc);
    return this.#fold(doc, { ...set, entries: [...set.entries.filter(({ id }) => !withdrawn.has(id)), ...entries] });
  }

  async diff(from: JsonObject | undefined, to: JsonObject | undefined): Promise<Write[]> {
    return (await this.#ask<{ writes: Write[] }>("diff", { from, to })).writes;
  }

  async history(doc: string, path: string): Promise<Change[]> {
    return (await this.#ask<{ changes: Change[] }>("history", { set: await this.shelf.setOf(doc), path })).changes;
  }

  /** The name of this install, made once. */
  async device(): Promise<string> {
    const known = await this.shelf.setting<string>("device");
    if (known !== undefined) {
      return known;
    }
    const device = `app-${uuid7()}`;
    await this.shelf.commit({ settings: [["device", device]] });
    return device;
  }

  async #fold(doc: string, set: EntrySet): Promise<Row> {
    const { document } = await this.#ask<{ document?: JsonObject }>("fold", { set });
    return { doc, kind: kindOf(doc), count: set.entries.length, ...(document !== undefined && { document }) };
  }

  /** What takes an edit back, and what it must find to do so. */
  async #back(after: JsonObject | undefined, before: JsonObject | undefined) {
    return (await this.diff(after, before)).map((write) => {
      const found = valueAt(after, write.path);
      return { ...write, ...(found !== undefined && { expected: JSON.stringify(found) }) };
    });
  }

  async #ask<T>(call: string, input: unknown): Promise<T> {
    const outcome = await this.#engine.edit<T>(call, JSON.stringify(input)).catch((reason: unknown) => {
      throw new StoreFault("engine", undefined, reason);
    });
    if (!outcome.ok) {
      throw new StoreFault("refused", outcome.problem);
    }
    return outcome.value;
  }
}
