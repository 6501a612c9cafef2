/** Who reads: the one place that knows which units and language are chosen. The frame draws everything anew when it changes. */

import { remember, remembered } from "../keep/local.ts";
import { LANGUAGES, type Language } from "./languages.ts";
import type { Units } from "./units.ts";

export interface Reader {
  units: Units;
  language: Language;
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
  remember("language", reader.language);
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
  const language = remembered<Language>("language") ?? "en";
  return { units: remembered<Units>("units") === "metric" ? "metric" : "us", language: Object.hasOwn(LANGUAGES, language) ? language : "en" };
}
