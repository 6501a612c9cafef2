/** The English catalogue: the same files that the core reads. */

import type { Catalogue } from "./sentence.ts";

const files = import.meta.glob<Record<string, string>>("../../../api/finding/catalogue/en/*.json", {
  eager: true,
  import: "default",
});

export const catalogue: Catalogue = Object.assign({}, ...Object.values(files));
