/** Says a JSON Pointer into a rig in words. */

import { textOf } from "./text.ts";

/** /towed/front_axle/rating becomes "towed car › Front axle, rating (GAWR)", as the Rig screen calls it. */
export function pointerInWords(pointer: string): string {
  const parts = pointer.split("/").slice(1).map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"));
  const place = parts[0] === "rig" ? parts.slice(1) : parts;
  const label = labelOf(place);
  const words = label === undefined ? place.slice(1).map(plain) : [label];
  return [...place.slice(0, 1).map((part) => textOf(`at.${part}`) ?? plain(part)), ...words].join(" › ");
}

/** The label of the field at a place; the entries of a map have the same ones. */
function labelOf(parts: string[]): string | undefined {
  return textOf(`rig/${parts.join("/")}`) ?? textOf(`rig/${parts.map((part, at) => (at === 2 ? "-" : part)).join("/")}`);
}

function plain(part: string): string {
  return part.replaceAll("_", " ");
}
