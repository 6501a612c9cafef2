/** Says a JSON Pointer into a rig in words. */

import { t, textOf, type TextId } from "./text.ts";

/** /towed/front_axle/rating becomes "towed car › Front axle, rating (GAWR)", as the Rig screen calls it. */
export function pointerInWords(pointer: string): string {
  const parts = pointer.split("/").slice(1).map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"));
  const place = parts[0] === "rig" ? parts.slice(1) : parts;
  const label = labelOf(place);
  const words = label === undefined ? place.slice(1).map(plain) : [label];
  return [...place.slice(0, 1).map((part) => textOf(`at.${part}`) ?? plain(part)), ...words].join(" › ");
}

/** The fields of a trip, as Departure calls them. */
const OF_TRIP: Record<string, TextId> = { coldest: "day.coldest", driving_h: "day.driving", steepest_grade_pct: "day.grade", planned_speed: "day.speed", distance: "day.distance" };

/** The label of the field at a place; the entries of a map have the same ones. */
function labelOf(parts: string[]): string | undefined {
  const [at, field = ""] = parts;
  const ofTrip = at === "trip" ? OF_TRIP[field] : undefined;
  if (ofTrip) {
    return t(ofTrip);
  }
  return textOf(`rig/${parts.join("/")}`) ?? textOf(`rig/${parts.map((part, at) => (at === 2 ? "-" : part)).join("/")}`);
}

function plain(part: string): string {
  return part.replaceAll("_", " ");
}
