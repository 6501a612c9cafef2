/** The journal's shapes, as package journal of the core has them, in JSON. */

export type Json = string | number | boolean | Json[] | JsonObject;
export type JsonObject = { [member: string]: Json };

export interface Clock {
  wall: number;
  counter: number;
}

/** One change of a leaf: a value, or its removal. `path` is a JSON Pointer; an object is written leaf by leaf. */
export interface Write {
  path: string;
  value?: Json;
  removed?: true;
}

export interface Entry extends Write {
  id: string;
  doc: string;
  at: Clock;
  device: string;
}

export interface Erasure {
  id: string;
  doc: string;
  path: string;
  up_to: Clock;
  at: Clock;
  device: string;
  reason?: string;
}

/** The entries and erasures of one document. */
export interface EntrySet {
  entries: Entry[];
  erasures?: Erasure[];
}

/** One entry of a history, and what became of it. */
export interface Change {
  entry: Entry;
  standing: "current" | "superseded" | "hidden";
}

/** Orders entries as the core does. */
export function compareEntries(a: Entry, b: Entry): number {
  return a.at.wall - b.at.wall || a.at.counter - b.at.counter || compareText(a.device, b.device) || compareText(a.id, b.id);
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Whether two entries of one id are the same edit, whatever the order of members. */
export function sameEntry(a: Entry, b: Entry): boolean {
  return a.doc === b.doc && a.path === b.path && a.removed === b.removed && a.device === b.device &&
    a.at.wall === b.at.wall && a.at.counter === b.at.counter && sorted(a.value) === sorted(b.value);
}

function sorted(value: Json | undefined): string | undefined {
  return JSON.stringify(value, (_name, inner: Json) =>
    typeof inner === "object" && inner !== null && !Array.isArray(inner) ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1))) : inner,
  );
}

/** rig/0192… is of the kind rig. */
export function kindOf(doc: string): string {
  return doc.slice(0, doc.indexOf("/"));
}

/** The value at a JSON Pointer, undefined where there is none. */
export function valueAt(document: Json | undefined, pointer: string): Json | undefined {
  let here = document;
  for (const part of pointer.split("/").slice(1)) {
    const name = part.replaceAll("~1", "/").replaceAll("~0", "~");
    if (typeof here !== "object" || Array.isArray(here) || !Object.hasOwn(here, name)) {
      return undefined;
    }
    here = here[name];
  }
  return here;
}
