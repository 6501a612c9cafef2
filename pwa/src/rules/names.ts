/** Names that the rules are told by. */

import type { LawSubject } from "../engine/types.ts";
import { wordFor } from "../words/say.tsx";

/** In the order of a report. */
export const SUBJECTS: LawSubject[] = [
  "brakes", "brakes_share", "breakaway", "safety_chain", "tail_lamps", "stop_lamps", "turn_signals", "plate_lamp", "reflectors",
  "clearance_lamps", "coupling_length", "combination_length", "towed_units", "speed", "stopping_distance", "restricted_roads", "towed_brake_exempt",
];

/** The subject's name as a heading. */
export function subjectName(subject: string): string {
  const words = wordFor(`law.subject.${subject}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}
