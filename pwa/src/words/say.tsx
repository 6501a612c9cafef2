/** Shows texts of the catalogue: numbers large, their unit small beside. */

import type { Param, Text } from "../engine/types.ts";
import { catalogue } from "./catalogue.ts";
import { plainly } from "./format.ts";
import { piece, pieces, type Piece } from "./sentence.ts";

interface Given {
  /** Whether a figure shown converted is shown as it was given too: law names its own units. */
  given?: boolean;
}

export function Say({ text, given = false }: { text: Text } & Given) {
  return <>{pieces(text, catalogue()).map((p) => <One piece={p} given={given} />)}</>;
}

export function Value({ param, given = false }: { param: Param } & Given) {
  return <One piece={piece(param, catalogue())} given={given} />;
}

/** A text as one plain string, for searching and for what is read aloud. */
export function sentenceOf(text: Text): string {
  return pieces(text, catalogue()).map((p) => (typeof p === "string" ? p : plainly(p))).join("");
}

/** The catalogue's word for an id, or the id made readable where it has none. */
export function wordFor(id: string): string {
  return catalogue()[id] ?? id.slice(id.indexOf(".") + 1).replaceAll("_", " ");
}

function One({ piece, given }: { piece: Piece; given: boolean }) {
  if (typeof piece === "string") {
    return <>{piece}</>;
  }
  return (
    <span class="quantity">
      {piece.number}
      {piece.unit && <small>{piece.tight ? piece.unit : ` ${piece.unit}`}</small>}
      {given && piece.given && <small class="given"> ({piece.given})</small>}
    </span>
  );
}
