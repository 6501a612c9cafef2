/** The shelf in IndexedDB. */

import { openDB, unwrap, type DBSchema, type IDBPDatabase, type IDBPTransaction } from "idb";
import type { Kept } from "./copies.ts";
import { compareEntries, type Entry, type EntrySet, type Erasure } from "./journal.ts";
import type { Batch, Edit, Row, SettingName, Shelf } from "./shelf.ts";

interface Schema extends DBSchema {
  rigs: { key: string; value: Kept };
  entries: { key: string; value: Entry; indexes: { doc: string } };
  erasures: { key: string; value: Erasure; indexes: { doc: string } };
  outbox: { key: string; value: { id: string } };
  documents: { key: string; value: Row; indexes: { kind: string } };
  settings: { key: string; value: unknown };
  edits: { key: number; value: Edit; indexes: { doc: string } };
}

type Upgrade = IDBPDatabase<Schema>;

/** One step a version, append-only: a database of any earlier version comes up through the rest. */
const MIGRATIONS: ((db: Upgrade) => void)[] = [
  (db) => {
    db.createObjectStore("rigs", { keyPath: "id" });
  },
  (db) => {
    db.createObjectStore("entries", { keyPath: "id" }).createIndex("doc", "doc");
    db.createObjectStore("erasures", { keyPath: "id" }).createIndex("doc", "doc");
    db.createObjectStore("outbox", { keyPath: "id" });
    db.createObjectStore("documents", { keyPath: "doc" }).createIndex("kind", "kind");
    db.createObjectStore("settings");
    db.createObjectStore("edits", { autoIncrement: true }).createIndex("doc", "doc");
  },
];

/** How many edits of one document can be taken back. */
const KEPT_EDITS = 100;

export interface Events {
  /** Another tab holds an older version open and this one waits for it. */
  blocked(): void;
  /** Another tab wants a newer version: this one has let go and must be loaded again. */
  superseded(): void;
}

/** Opens the database. Rejects where the browser refuses one, with VersionError where a newer app made it. */
export async function openIndexedShelf(name: string, events: Events): Promise<Shelf> {
  return new IndexedShelf(await open(name, events), () => open(name, events));
}

function open(name: string, events: Events): Promise<IDBPDatabase<Schema>> {
  return openDB<Schema>(name, MIGRATIONS.length, {
    upgrade: (db, from) => MIGRATIONS.slice(from).forEach((step) => step(db)),
    blocked: () => events.blocked(),
    blocking: (_from, _to, event) => {
      (event.target as IDBDatabase).close();
      events.superseded();
    },
  });
}

const JOURNAL = ["entries", "erasures", "outbox", "documents", "settings", "edits"] as const;
type JournalTransaction = IDBPTransaction<Schema, typeof JOURNAL, "readwrite">;

class IndexedShelf implements Shelf {
  readonly lasting = true;
  #db: IDBPDatabase<Schema>;
  #reopen: () => Promise<IDBPDatabase<Schema>>;

  constructor(db: IDBPDatabase<Schema>, reopen: () => Promise<IDBPDatabase<Schema>>) {
    this.#db = db;
    this.#reopen = reopen;
  }

  async setOf(doc: string): Promise<EntrySet> {
    const db = await this.#open();
    const [entries, erasures] = await Promise.all([db.getAllFromIndex("entries", "doc", doc), db.getAllFromIndex("erasures", "doc", doc)]);
    return { entries: entries.sort(compareEntries), ...(erasures.length > 0 && { erasures }) };
  }

  async row(doc: string) {
    return (await this.#open()).get("documents", doc);
  }

  async rows(kind: string) {
    return (await this.#open()).getAllFromIndex("documents", "kind", kind);
  }

  async stale() {
    const tx = (await this.#open()).transaction(["entries", "documents"]);
    const stale: string[] = [];
    const byDoc = tx.objectStore("entries").index("doc");
    for (let at = await byDoc.openKeyCursor(null, "nextunique"); at; at = await at.continue()) {
      const [row, count] = await Promise.all([tx.objectStore("documents").get(at.key), byDoc.count(at.key)]);
      if (row?.count !== count) stale.push(at.key);
    }
    return stale;
  }

  async everything() {
    const db = await this.#open();
    const [entries, erasures] = await Promise.all([db.getAll("entries"), db.getAll("erasures")]);
    return { entries: entries.sort(compareEntries), erasures };
  }

  async waiting() {
    return (await this.#open()).getAllKeys("outbox");
  }

  async entries(ids: string[]) {
    const tx = (await this.#open()).transaction("entries");
    const found = await Promise.all(ids.map((id) => tx.store.get(id)));
    return found.filter((entry) => entry !== undefined);
  }

  async setting<T>(name: SettingName) {
    return (await (await this.#open()).get("settings", name)) as T | undefined;
  }

  async lastEdit(doc: string) {
    const tx = (await this.#open()).transaction("edits");
    const at = await tx.store.index("doc").openCursor(doc, "prev");
    return at ? { key: at.primaryKey, edit: at.value } : undefined;
  }

  async commit(batch: Batch) {
    // Strict: an acknowledged edit survives the battery coming out.
    const tx = (await this.#open()).transaction(JOURNAL, "readwrite", { durability: "strict" });
    try {
      await Promise.all(requests(tx, batch));
      await forgetOldEdits(tx, batch.edit?.doc);
      await tx.done;
    } catch (reason) {
      tx.done.catch(() => {}); // the reason is told once
      try {
        tx.abort();
      } catch {
        // it has ended by itself
      }
      throw tx.error ?? reason;
    }
  }

  async copies() {
    return (await this.#open()).getAll("rigs");
  }

  async putCopy(copy: Kept) {
    await (await this.#open()).put("rigs", copy);
  }

  async dropCopy(id: string) {
    await (await this.#open()).delete("rigs", id);
  }

  async close() {
    this.#db.close();
  }

  /** The connection, opened again where the browser has closed it under us, as phones do to an app put aside. */
  async #open() {
    try {
      unwrap(this.#db).transaction("settings").abort();
    } catch {
      this.#db = await this.#reopen();
    }
    return this.#db;
  }
}

function requests(tx: JournalTransaction, batch: Batch): Promise<unknown>[] {
  const store = <N extends (typeof JOURNAL)[number]>(name: N) => tx.objectStore(name);
  return [
    ...(batch.withdrawn ?? []).map((id) => store("entries").delete(id)),
    ...(batch.entries ?? []).map((entry) => store("entries").put(entry)),
    ...(batch.erasures ?? []).map((erasure) => store("erasures").put(erasure)),
    ...(batch.settled ?? []).map((id) => store("outbox").delete(id)),
    ...(batch.waiting ?? []).map((id) => store("outbox").put({ id })),
    ...(batch.rows ?? []).map((row) => store("documents").put(row)),
    ...(batch.settings ?? []).map(([name, value]) => store("settings").put(value, name)),
    ...(batch.undone === undefined ? [] : [store("edits").delete(batch.undone)]),
    ...(batch.edit === undefined ? [] : [store("edits").add(batch.edit)]),
  ];
}

async function forgetOldEdits(tx: JournalTransaction, doc: string | undefined): Promise<void> {
  if (doc === undefined) {
    return;
  }
  const keys = await tx.objectStore("edits").index("doc").getAllKeys(doc);
  await Promise.all(keys.slice(0, Math.max(0, keys.length - KEPT_EDITS)).map((key) => tx.objectStore("edits").delete(key)));
}
