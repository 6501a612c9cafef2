/** Shows texts of the catalogue: numbers large, their unit small beside. */

import type { Param, Text } from "../engine/types.ts";
import { catalogue } from "./catalogue.ts";
import { piece, pieces, type Piece } from "./sentence.ts";

export function Say({ text }: { text: Text }) {
  return <>{pieces(text, catalogue).map((p) => <One piece={p} />)}</>;
}

export function Value({ param }: { param: Param }) {
  return <One piece={piece(param, catalogue)} />;
}

/** A text as one plain string, for searching and for what is read aloud. */
export function sentenceOf(text: Text): string {
  return pieces(text, catalogue).map((p) => (typeof p === "string" ? p : `${p.number}${p.unit && (p.tight ? p.unit : ` ${p.unit}`)}`)).join("");
}

/** The catalogue's word for an id, or the id made readable where it has none. */
export function wordFor(id: string): string {
  return catalogue[id] ?? id.slice(id.indexOf(".") + 1).replaceAll("_", " ");
}

function One({ piece }: { piece: Piece }) {
  if (typeof piece === "string") {
    return <>{piece}</>;
  }
  return (
    <span class="quantity">
      {piece.number}
      {piece.unit && <small>{piece.tight ? piece.unit : ` ${piece.unit}`}</small>}
    </span>
  );
}
