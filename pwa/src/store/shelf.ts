/** Where the store lays things down: IndexedDB, or memory where the browser refuses it. */

import type { Kept } from "./copies.ts";
import type { Entry, EntrySet, Erasure, JsonObject, Write } from "./journal.ts";

/** A document as its entries fold; no document once it is removed. */
export interface Row {
  doc: string;
  kind: string;
  document?: JsonObject;
  /** How many entries it was folded from. */
  count: number;
}

/** What takes one own edit back: writes, each with the value it expects to find there. */
export interface Edit {
  doc: string;
  back: (Write & { expected?: string })[];
}

/** Settings the store itself keeps, the server's key among them; the app's own are under "app." names. */
export type SettingName = "device" | "key" | "synced" | "clock" | "cursor" | "era" | "skew" | "aside" | `app.${string}`;

/** Changes that are laid down together or not at all. */
export interface Batch {
  entries?: Entry[];
  /** Ids of entries to take away: erased ones, and those written again under another id. */
  withdrawn?: string[];
  erasures?: Erasure[];
  /** Ids that wait for a server's acknowledgement, and that no longer do. */
  waiting?: string[];
  settled?: string[];
  rows?: Row[];
  settings?: [SettingName, unknown][];
  edit?: Edit;
  /** The key of an edit that was taken back. */
  undone?: number;
}

export interface Shelf {
  readonly lasting: boolean;
  setOf(doc: string): Promise<EntrySet>;
  row(doc: string): Promise<Row | undefined>;
  rows(kind: string): Promise<Row[]>;
  /** Documents whose row is not folded from all their entries. */
  stale(): Promise<string[]>;
  everything(): Promise<Required<EntrySet>>;
  /** The ids of entries that wait, oldest first. */
  waiting(): Promise<string[]>;
  entries(ids: string[]): Promise<Entry[]>;
  setting<T>(name: SettingName): Promise<T | undefined>;
  /** The last edit of a document that can be taken back, with its key. */
  lastEdit(doc: string): Promise<{ key: number; edit: Edit } | undefined>;
  /** Resolves once the changes are on disk; rejects with nothing changed. */
  commit(batch: Batch): Promise<void>;
  /** Copies of what a server showed; no part of the journal. */
  copies(): Promise<Kept[]>;
  putCopy(copy: Kept): Promise<void>;
  dropCopy(id: string): Promise<void>;
  close(): Promise<void>;
}
