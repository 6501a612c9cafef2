/** What the room Rules lists and counts. Names of subjects and sentences of the law are the catalogue's. */

import type { LawSubject } from "../engine/types.ts";
import { showNumber } from "../words/format.ts";
import { t } from "../words/text.ts";

/** The ways to look at the rules, by what the address says after #rules; the first by nothing. */
export const VIEWS = ["", "place", "subject", "rows"] as const;

/** In the order of a report. */
export const SUBJECTS: LawSubject[] = [
  "brakes", "brakes_share", "breakaway", "safety_chain", "tail_lamps", "stop_lamps", "turn_signals", "plate_lamp", "reflectors",
  "clearance_lamps", "coupling_length", "combination_length", "towed_units", "speed", "stopping_distance", "restricted_roads", "towed_brake_exempt",
];

export function rowsOf(n: number): string {
  return n === 1 ? t("rules.row") : t("rules.rows", { n: showNumber(n) });
}
