/** The rigs this device keeps, in IndexedDB. */

import { openDB, type DBSchema, type IDBPDatabase } from "idb";

/** One rig as it is kept: its JSON text as it came, so that nothing is lost. */
export interface Kept {
  /** "server:" or "phone:" and an id, so that the two never meet. */
  id: string;
  name: string;
  /** Motorhome and towed car, in the words of whoever entered them. */
  about: string;
  /** The rig's JSON text. */
  text: string;
  /** The trip that came with it, as JSON text. */
  trip?: string;
  from: "server" | "phone";
  /** The server's revision of it. */
  revision?: number;
}

interface Schema extends DBSchema {
  rigs: { key: string; value: Kept };
}

/** Keeps rigs. Where the browser refuses storage it keeps them until it is closed. */
export class RigStore {
  /** Settles with whether the browser keeps what it is given. */
  readonly lasting: Promise<boolean>;
  #db: Promise<IDBPDatabase<Schema> | undefined>;
  #memory = new Map<string, Kept>();

  constructor() {
    this.#db = open();
    this.lasting = this.#db.then((db) => db !== undefined);
  }

  /** All rigs, by name. */
  async all(): Promise<Kept[]> {
    const db = await this.#db;
    const rigs = db ? await db.getAll("rigs") : [...this.#memory.values()];
    return rigs.sort((a, b) => a.name.localeCompare(b.name, "en"));
  }

  async put(rig: Kept): Promise<void> {
    const db = await this.#db;
    if (db) {
      await db.put("rigs", rig);
    } else {
      this.#memory.set(rig.id, rig);
    }
  }

  async remove(id: string): Promise<void> {
    const db = await this.#db;
    if (db) {
      await db.delete("rigs", id);
    } else {
      this.#memory.delete(id);
    }
  }
}

async function open(): Promise<IDBPDatabase<Schema> | undefined> {
  try {
    return await openDB<Schema>("pintail", 1, {
      upgrade: (db) => {
        db.createObjectStore("rigs", { keyPath: "id" });
      },
    });
  } catch {
    return undefined; // private windows and full disks refuse
  }
}
