/** Brings the phone and the server's workspace together through /v1/entries. */

import type { Book, Brought } from "./book.ts";
import { compareEntries, type Clock, type Entry, type Erasure, type Write } from "./journal.ts";

/**
 * off: there is no such server here. refused: it asks for a key, or will not take
 * the one given. away: no answer. reading: it shows but does not take. no_room: it
 * shows, but its disk is full. Whichever it is, everything still works on the phone.
 */
export type SyncState = "never" | "running" | "off" | "refused" | "away" | "reading" | "no_room" | "done";

/** An entry the server will not take whatever is done, set aside so that nothing is stuck. It stays on the phone. */
export interface Aside {
  entry: Entry;
  reason: string;
  detail: string;
}

interface EntryOutcome {
  outcome: "taken" | "already" | "refused";
  reason?: string;
  detail?: string;
}
interface Taken {
  outcomes: EntryOutcome[];
  now_ms: number;
  clock: Clock;
  era: string;
}
interface Page {
  changes: { cursor: number; entry?: Entry; erasure?: Erasure }[];
  cursor: number;
  newest: number;
  era: string;
}

/** As many entries as the server takes at once. */
const PAGE = 500;

/** Pulls, pushes, pulls, with the key kept here if there is one. `changed` hears of documents that are not as they were. */
export async function sync(book: Book, changed: (docs: string[]) => void): Promise<SyncState> {
  const key = await book.shelf.setting<string>("key");
  const pulled = await pull(book, changed, key);
  if (pulled !== "done") {
    return pulled;
  }
  const pushed = await push(book, changed, key);
  return pushed.state !== "done" || !pushed.any ? pushed.state : pull(book, changed, key);
}

/** Asks the server this app came from, and no other: the page's policy lets it reach none. */
export function fetchWith(key: string | undefined, path: string, init: RequestInit = {}): Promise<Response> {
  return fetch(path, {
    ...init,
    headers: { Accept: "application/json", ...(key && { Authorization: `Bearer ${key}` }), ...init.headers },
    cache: key ? "no-store" : "default", // what a key opens is not left in the browser's own cache
    signal: AbortSignal.timeout(20_000),
  });
}

async function pull(book: Book, changed: (docs: string[]) => void, key: string | undefined): Promise<SyncState> {
  for (;;) {
    const after = (await book.shelf.setting<number>("cursor")) ?? 0;
    const page = await ask<Page>(key, `/v1/entries?after=${after}&limit=${PAGE}`);
    if (typeof page === "string") {
      return page;
    }
    const known = await book.shelf.setting<string>("era");
    if (known !== undefined && known !== page.era) {
      await beginAgain(book, page.era);
      continue;
    }
    if (known !== undefined && page.changes.length === 0 && page.cursor === after) {
      return "done"; // nothing new, nothing to lay down
    }
    const { docs } = await book.alone(() =>
      book.absorb(byDocument(page), { settings: [["cursor", page.cursor], ["era", page.era]] }),
    );
    changed(docs);
    if (page.cursor >= page.newest || page.changes.length === 0) {
      return "done";
    }
  }
}

/** The server's store was restored from a backup: read it from the start, and offer everything again. */
async function beginAgain(book: Book, era: string): Promise<void> {
  await book.alone(async () => {
    const { entries } = await book.shelf.everything();
    await book.shelf.commit({ settings: [["cursor", 0], ["era", era]], waiting: entries.map(({ id }) => id) });
  });
}

function byDocument(page: Page): Brought {
  const brought: Brought = new Map();
  for (const { entry, erasure } of page.changes) {
    const doc = (entry ?? erasure)?.doc;
    if (doc === undefined) continue;
    const here = brought.get(doc) ?? { entries: [], erasures: [] };
    brought.set(doc, here);
    if (entry) here.entries.push(entry);
    if (erasure) here.erasures.push(erasure);
  }
  return brought;
}

async function push(book: Book, changed: (docs: string[]) => void, key: string | undefined): Promise<{ state: SyncState; any: boolean }> {
  let any = false;
  // With a key, nothing is offered too: only so is it known whether the key may write.
  for (let asked = key === undefined; ; asked = true) {
    const ids = await book.shelf.waiting();
    const entries = (await book.shelf.entries(ids)).sort(compareEntries).slice(0, PAGE);
    if (entries.length === 0 && asked) {
      await book.shelf.commit({ settled: ids }); // ids of entries that are no more
      return { state: "done", any };
    }
    const taken = await ask<Taken>(key, "/v1/entries", { entries });
    if (typeof taken === "string") {
      return { state: taken, any };
    }
    if (entries.length === 0) {
      continue;
    }
    any = true;
    changed(await book.alone(() => settle(book, entries, taken)));
  }
}

/** Acts on each outcome; every entry offered leaves the outbox, by itself or written again. */
async function settle(book: Book, entries: Entry[], taken: Taken): Promise<string[]> {
  const settled: string[] = [];
  const again: Entry[] = [];
  const aside = (await book.shelf.setting<Aside[]>("aside")) ?? [];
  entries.forEach((entry, at) => {
    const { outcome, reason = "", detail = "" } = taken.outcomes[at] ?? { outcome: "refused", reason: "no_answer" };
    if (outcome === "refused" && (reason === "clock_ahead" || reason === "other_body")) {
      again.push(entry);
      return;
    }
    settled.push(entry.id);
    if (outcome === "refused" && reason !== "already_erased") {
      aside.push({ entry, reason, detail });
    }
  });
  const late = taken.outcomes.some(({ reason }) => reason === "clock_ahead");
  await book.shelf.commit({ settled, settings: [["aside", aside], ...(late ? ([["skew", taken.now_ms - Date.now()]] as ["skew", number][]) : [])] });
  return again.length === 0 ? [] : reissue(book, again, taken, late);
}

/** Writes refused entries again under new ids, in their order, with times the server takes. */
async function reissue(book: Book, again: Entry[], taken: Taken, late: boolean): Promise<string[]> {
  const withdrawn = new Set(again.map(({ id }) => id));
  let clock: Clock | undefined = late ? (taken.clock.wall > taken.now_ms ? { wall: taken.now_ms, counter: 0 } : taken.clock) : undefined;
  const docs = [...new Set(again.map(({ doc }) => doc))];
  for (const doc of docs) {
    const writes = again.filter((entry) => entry.doc === doc).map(({ path, value, removed }): Write => ({
      path, ...(value !== undefined && { value }), ...(removed && { removed }),
    }));
    const made = await book.stamp(doc, { entries: [] }, writes, clock);
    clock = made.clock;
    const old = again.filter((entry) => entry.doc === doc).map(({ id }) => id);
    await book.shelf.commit({
      withdrawn: old,
      settled: old,
      entries: made.entries,
      waiting: made.entries.map(({ id }) => id),
      rows: [await book.foldWithout(doc, withdrawn, made.entries)],
      settings: [["clock", clock]],
    });
  }
  return docs;
}

/** Asks the server; a word where it gave no answer of use. */
async function ask<T>(key: string | undefined, path: string, body?: unknown): Promise<T | "off" | "refused" | "reading" | "no_room" | "away"> {
  try {
    const response = await fetchWith(key, path, body === undefined ? {} : {
      method: "POST", body: JSON.stringify(body), headers: { "Content-Type": "application/json" },
    });
    const word = WORDS[response.status];
    return word ?? (response.ok ? ((await response.json()) as T) : "away");
  } catch {
    return "away";
  }
}

const WORDS: Record<number, "off" | "refused" | "reading" | "no_room"> = {
  401: "refused", 403: "reading", 404: "off", 405: "off", 421: "off", 507: "no_room",
};
