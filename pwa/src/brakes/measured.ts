/** A measured stop as a person enters it, made into writes. */

import { readQuantity, type Quantity } from "../rig/quantity.ts";
import { valueAt, type JsonObject, type Write } from "../store/journal.ts";
import { t } from "../words/text.ts";
import type { Units } from "../words/units.ts";

export interface Measured {
  /** What stopped: the motorhome alone, or both as they travel. */
  of: "alone" | "pair";
  speed: string;
  distance: string;
  /** YYYY-MM-DD. */
  on: string;
}

export type Read = { ok: true; writes: Write[] } | { ok: false; wrong: Partial<Record<"speed" | "distance" | "on", string>> };

/** The writes that keep it, or what is wrong with each figure. A stop of the pair from 20 mph has a field of its own. */
export function readMeasured(rig: JsonObject, { of, speed, distance, on }: Measured, units: Units): Read {
  const us = units === "us";
  const from = readQuantity(speed, "speed", us ? "mph" : "km_h");
  const length = readQuantity(distance, "length", us ? "ft" : "m");
  if (!from.ok || !length.ok || on === "") {
    return { ok: false, wrong: { ...(!from.ok && { speed: from.why }), ...(!length.ok && { distance: length.why }), ...(on === "" && { on: t("stop.no_day") }) } };
  }
  if (of === "pair" && isTwentyMph(from.value)) {
    return { ok: true, writes: [{ path: "/stopping/pair_from_20_mph", value: length.value }, { path: "/stopping/on", value: on }] };
  }
  const at = `/stopping/${of}`;
  const writes: Write[] = [{ path: `${at}/from`, value: from.value }, { path: `${at}/distance`, value: length.value }, { path: `${at}/how`, value: "measured" }, { path: `${at}/on`, value: on }];
  // A lag measured with an earlier stop is not this one's.
  return { ok: true, writes: valueAt(rig, `${at}/lag_s`) === undefined ? writes : [...writes, { path: `${at}/lag_s`, removed: true }] };
}

/** Whether an older stop of the pair from 20 mph goes on being the one reckoned with. */
export function isBehindTwenty(rig: JsonObject, { of }: Measured, writes: Write[]): boolean {
  return of === "pair" && valueAt(rig, "/stopping/pair_from_20_mph") !== undefined && !writes.some(({ path }) => path === "/stopping/pair_from_20_mph");
}

function isTwentyMph(speed: Quantity): boolean {
  return speed.mph === 20;
}
