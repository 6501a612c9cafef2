/** What the room Rules says. Names of subjects and sentences of the law are the catalogue's. */

import type { Coverage, LawRow, LawSubject, Met, Requirement } from "../engine/types.ts";

export const W = {
  heading: "Rules",
  viewsLabel: "Ways to look at the rules",
  views: { "": "This route", place: "One state", subject: "One subject", rows: "All rows" } as Record<string, string>,
  promise: "What could be read of the law, and how well it is known. Not read does not mean not required. It is no legal advice.",
  noRoute: "No route yet. Add the states of your trip on Departure; here you then see what each of them asks.",
  toDeparture: "To Departure",
  changeTrip: "Change the trip",
  withoutRig: "No rig is chosen, so nothing here is judged.",
  waiting: "Getting the rules…",
  failed: "The engine did not load, so the rules cannot be shown. Load the page again once there is signal.",
  strictest: "The strictest line, and who draws it",
  strictestHint: "Meet these and the pair meets what was read of every state on the route.",
  nothingStrict: "Nothing that was read asks for anything on this route.",
  asked: "What is asked where",
  columns: { subject: "Subject", asks: "Asks", source: "Read in", rig: "Your rig" },
  legs: (numbers: number[]) => (numbers.length === 1 ? `Leg ${numbers[0]}` : `Legs ${numbers.join(", ")}`),
  print: "Print the route table",
  notRead: "Not read:",
  silent: "Read, and says nothing:",
  places: "States and provinces",
  subjects: "Subjects",
  coverageOf: (read: number, of: number) => `${read} of ${of} subjects read`,
  rowsOf: (n: number) => (n === 1 ? "1 row" : `${n.toLocaleString("en-US")} rows`),
  howFar: "How far it was read",
  rowsRead: "The rows",
  noRows: "No row. That means nobody has read it, not that nothing is asked.",
  allRows: "All rows",
  look: "Look for a word",
  lookHint: "In requirement, section or note",
  onlyPlace: "State or province",
  onlySubject: "Subject",
  every: "All",
  noMatch: "No row fits. Take a word or a choice away.",
  unknownPlace: "There is no state or province with this code.",
  unknownSubject: "There is no such subject.",
  textOf: (year: number) => `text of ${year}`,
  covers: "Whom it covers",
  doubt: "In doubt:",
};

export const COVERAGE: Record<Coverage, string> = {
  read: "read",
  partly: "partly read",
  silent: "read, says nothing",
  not_found: "not read",
};

export const READING: Record<Requirement, string> = {
  required: "Required",
  depends: "Depends on something not known",
  may_not_cover: "The words may not cover a towed car",
  not_required: "Not required of this rig",
  silent: "Read, and says nothing",
  not_read: "Not read",
};

export const MET: Record<Met, string> = {
  met: "Met",
  not_met: "Not met",
  not_known: "Not known",
  none: "Nothing asked of it",
};

export const COVERS: Record<NonNullable<LawRow["covers"]>, string> = {
  any_towed_vehicle: "any towed vehicle",
  towed_motor_vehicle: "a towed motor vehicle",
  trailer: "a trailer, by this state's own definition of the word",
  unclear: "the words do not say whom",
  other: "something no towed car is",
};

export const KNOWN: Record<LawRow["known"], string> = {
  high: "read, and clear",
  medium: "from a summary or reprint",
  low: "second-hand: a lead, not a fact",
};

/** In the order of a report. */
export const SUBJECTS: LawSubject[] = [
  "brakes", "brakes_share", "breakaway", "safety_chain", "tail_lamps", "stop_lamps", "turn_signals", "plate_lamp", "reflectors",
  "clearance_lamps", "coupling_length", "combination_length", "towed_units", "speed", "stopping_distance", "restricted_roads", "towed_brake_exempt",
];
