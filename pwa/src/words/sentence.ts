/** Cuts a sentence of the catalogue into words and values. */

import type { Param, Text } from "../engine/types.ts";
import { showParam, type Shown } from "./format.ts";

export type Catalogue = Readonly<Record<string, string>>;
export type Piece = string | Shown;

/**
 * Renders a text by its message id. Where the catalogue has no such id, or the
 * sentence wants a value the text does not carry (an answer of a newer engine),
 * the sentence that came with it is shown as it is.
 */
export function pieces(text: Text, catalogue: Catalogue): Piece[] {
  const template = catalogue[text.id];
  if (template === undefined) {
    return [text.sentence];
  }
  const out: Piece[] = [];
  let at = 0;
  for (const match of template.matchAll(/\{([^{}]*)\}/g)) {
    const param = text.params?.[match[1] ?? ""];
    if (param === undefined) {
      return [text.sentence];
    }
    out.push(template.slice(at, match.index), piece(param, catalogue));
    at = match.index + match[0].length;
  }
  out.push(template.slice(at));
  return out.filter((p) => p !== "");
}

/** One value: a number with its unit, a catalogue word, or text as it is. */
export function piece(param: Param, catalogue: Catalogue): Piece {
  if (param.word !== undefined) {
    return catalogue[param.word] ?? param.word;
  }
  return showParam(param) ?? param.text ?? "";
}
