/** Who reads: the one place that knows which units are chosen. The frame sets it before anything is drawn. */

import { remember, remembered } from "../keep/local.ts";
import type { Units } from "./units.ts";

export interface Reader {
  units: Units;
}

let reader: Reader = kept();
const listeners = new Set<() => void>();
globalThis.addEventListener?.("storage", () => tell(kept())); // chosen in another tab

export function currentReader(): Reader {
  return reader;
}

/** Chooses, and remembers it on this device. */
export function setReader(change: Partial<Reader>): void {
  tell({ ...reader, ...change });
  remember("units", reader.units);
}

/** Calls back when another choice is made. Returns how to end it. */
export function watchReader(listener: () => void): () => void {
  listeners.add(listener);
  return () => void listeners.delete(listener);
}

function tell(next: Reader): void {
  reader = next;
  listeners.forEach((listener) => listener());
}

function kept(): Reader {
  return { units: remembered<Units>("units") === "metric" ? "metric" : "us" };
}
