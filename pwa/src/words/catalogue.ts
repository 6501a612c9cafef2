/**
 * The catalogue of the engine's sentences. English comes from the engine itself, which carries it anyway; until
 * then there is no answer to put into words. Another language lies over it.
 */

import type { Language } from "./languages.ts";
import { currentReader } from "./reader.ts";
import type { Catalogue } from "./sentence.ts";

const files = import.meta.glob<Record<string, string>>(["../../../api/finding/catalogue/*/*.json", "!../../../api/finding/catalogue/en/*.json"], {
  eager: true,
  import: "default",
});
let english: Catalogue = {};
const catalogues = new Map<Language, Catalogue>();

/** Takes over the engine's own sentences. */
export function learn(sentences: Catalogue): void {
  english = sentences;
  catalogues.clear();
}

export function catalogue(): Catalogue {
  const { language } = currentReader();
  let all = catalogues.get(language);
  if (!all) {
    all = Object.assign({}, english, ...Object.entries(files).filter(([path]) => path.includes(`/${language}/`)).map(([, file]) => file)) as Catalogue;
    catalogues.set(language, all);
  }
  return all;
}
