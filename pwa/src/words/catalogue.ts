/** The catalogue of the engine's sentences in the reader's language: the same files that the core reads. */

import { LANGUAGES, type Language } from "./languages.ts";
import { currentReader } from "./reader.ts";
import type { Catalogue } from "./sentence.ts";

const files = import.meta.glob<Record<string, string>>("../../../api/finding/catalogue/*/*.json", {
  eager: true,
  import: "default",
});

/** English is complete; another language falls back to it. */
const catalogues = Object.fromEntries(Object.keys(LANGUAGES).map((language) => [language, { ...of("en"), ...of(language) }])) as Record<Language, Catalogue>;

export function catalogue(): Catalogue {
  return catalogues[currentReader().language];
}

function of(language: string): Catalogue {
  return Object.assign({}, ...Object.entries(files).filter(([path]) => path.includes(`/${language}/`)).map(([, file]) => file));
}
