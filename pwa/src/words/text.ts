/** The app's own words, by message id, in the reader's language. Sentences of the engine's answers are in the core's catalogue: say.tsx. */

import type en from "./en.json";
import type { Language } from "./languages.ts";
import { currentReader } from "./reader.ts";

export type TextId = keyof typeof en;
export type Texts = Partial<Record<string, string>>;

const texts: Partial<Record<Language, Texts>> = {};

/** Takes over a language's texts. English is complete; another language falls back to it. */
export function speak(language: Language, words: Texts): void {
  texts[language] = words;
}

/** The text of an id with its {params} filled in. */
export function t(id: TextId, params: Record<string, string | number> = {}): string {
  return (textOf(id) ?? id).replace(/\{(\w+)\}/g, (whole, name: string) => String(params[name] ?? whole));
}

/** The text of an id that is made from data, as a field's is; undefined where there is none. */
export function textOf(id: string): string | undefined {
  return texts[currentReader().language]?.[id] ?? texts.en?.[id];
}
