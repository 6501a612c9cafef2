/**
 * A survey as it is kept while somebody measures, the document test/<id>: each
 * figure under a path of its own. What follows from it is said by the engine.
 */

import type { CarLampSurvey, CarSwitch, CarWire, RecordReport, SocketReading, SocketSurvey, SurveyEdit, TestRecord } from "../engine/types.ts";
import { valueAt, type Json, type JsonObject, type Write } from "../store/journal.ts";
import type { Document } from "../store/store.ts";
import { leaves, pointer } from "../walk/walk.ts";

export const KINDS = ["socket_survey", "lamp_survey"] as const;
export type SurveyKind = (typeof KINDS)[number];

/** What was typed and chosen, by row and member. */
type Typed = Record<string, Record<string, Json>>;

export interface Survey extends Omit<Partial<TestRecord>, "kind"> {
  kind: SurveyKind;
  run?: { rig_name: string; started: number; finished?: number; typed?: Typed };
}

export interface Kept {
  doc: string;
  value: Survey;
}

export const isSurvey = (kind: unknown): kind is SurveyKind => (KINDS as readonly unknown[]).includes(kind);

/** The surveys among the test records, the newest first. */
export function keptSurveys(documents: Document[] | undefined): Kept[] {
  return (documents ?? [])
    .filter(({ document }) => isSurvey(document.kind))
    .map(({ doc, document }) => ({ doc, value: document as unknown as Survey }))
    .sort((a, b) => began(b.value) - began(a.value));
}

/** When it was finished, or begun, in milliseconds of the Unix epoch; 0 where nothing says. */
export function began({ run, at }: Survey): number {
  return run?.finished ?? run?.started ?? (at === undefined ? 0 : Date.parse(at) || 0);
}

export function beginning(about: { name: string; kind: SurveyKind; rig: string; rigName: string }, now: number): Write[] {
  const { rigName, ...rest } = about;
  return leaves("", { ...rest, run: { rig_name: rigName, started: now } });
}

/** How a member is asked for: volts, amperes, ohms, an answer, or switches. */
export type Asked = "v" | "a" | "ohm" | "yes" | "switches";

export interface Row {
  id: string;
  asks: [member: string, as: Asked][];
}

/** Rows that belong together: a pin, or a lamp. */
export interface Group {
  id: string;
  rows: Row[];
}

const BOTH: Row["asks"] = [["open_v", "v"], ["loaded_v", "v"], ["load_a", "a"]];

function side(pin: "left" | "right"): Group {
  return {
    id: pin,
    rows: [
      { id: `${pin}-${pin}`, asks: [...BOTH, ["ground_v", "v"]] }, { id: `${pin}-brake`, asks: BOTH },
      { id: `${pin}-hazard_brake`, asks: [["flashing", "yes"]] }, { id: `${pin}-off`, asks: [["open_v", "v"], ["rest_ohm", "ohm"]] },
    ],
  };
}

/** The readings of a socket, in the order of the work. A row is named by pin and switches; the engine runs except where it says rest. */
const SOCKET: Group[] = [
  { id: "supply", rows: [{ id: "supply-off", asks: [["open_v", "v"]] }] },
  { id: "tail", rows: [{ id: "tail-tail", asks: [...BOTH, ["ground_v", "v"]] }, { id: "tail-off", asks: [["open_v", "v"], ["rest_ohm", "ohm"]] }] },
  side("left"),
  side("right"),
  { id: "stop", rows: [{ id: "stop-brake", asks: BOTH }, { id: "stop-off", asks: [["open_v", "v"], ["rest_ohm", "ohm"]] }] },
  { id: "charge", rows: [{ id: "charge-off", asks: BOTH }, { id: "charge-off-rest", asks: [["open_v", "v"]] }] },
];

const LIT: Row["asks"] = [["lit_by", "switches"], ["on_v", "v"], ["off_v", "v"], ["a", "a"], ["pwm", "yes"], ["warns", "yes"]];

const CAR: Group[] = [
  { id: "car", rows: [{ id: "car", asks: [["battery_v", "v"], ["bus", "yes"], ["sides_tied", "yes"]] }] },
  ...(["tail", "stop_left", "stop_right", "turn_left", "turn_right", "plate", "high_stop", "park_lamps"] as const).map((lamp): Group => ({ id: lamp, rows: [{ id: lamp, asks: asksOf(lamp) }] })),
];

function asksOf(lamp: string): Row["asks"] {
  if (lamp.startsWith("stop")) return [...LIT, ["lit_asleep", "yes"]];
  return lamp.startsWith("turn") ? [...LIT, ["amber", "yes"]] : lamp === "park_lamps" ? [["a", "a"]] : LIT;
}

export const groupsOf = (kind: SurveyKind): Group[] => (kind === "socket_survey" ? SOCKET : CAR);

export const typedIn = ({ run }: Survey, row: string, member: string): Json | undefined => run?.typed?.[row]?.[member];

/** The write of what was typed or chosen; undefined takes it back. */
export function typing(row: string, member: string, value: Json | undefined): Write[] {
  const path = pointer("run", "typed", row, member);
  return [value === undefined ? { path, removed: true } : { path, value }];
}

/** The survey as the engine takes it. */
export function measuredIn(survey: Survey): { socket: SocketSurvey } | { car: CarLampSurvey } {
  const rows = Object.entries(survey.run?.typed ?? {}).filter(([, typed]) => Object.keys(typed).length > 0);
  if (survey.kind === "socket_survey") {
    return { socket: survey.socket ?? { readings: rows.map(([row, typed]) => reading(row, typed)) } };
  }
  const about = rows.find(([row]) => row === "car")?.[1] ?? {};
  const wires = rows.filter(([row]) => row !== "car").map(([lamp, typed]) => ({ lamp, ...typed }) as unknown as CarWire);
  return { car: survey.car ?? { ...about, wires } };
}

function reading(row: string, typed: Record<string, Json>): SocketReading {
  const [pin = "", state = "", rest] = row.split("-");
  // With all switches off, a lamp's pin is read at rest as well: its ohms mean nothing while anything runs.
  const running = rest === undefined && (state !== "off" || pin === "supply" || pin === "charge");
  return { pin, state, engine: running, key: running, ...typed } as unknown as SocketReading;
}

/** The record so far, as one made at that moment. */
export function recordSoFar(survey: Survey, at: string): TestRecord {
  const { name, kind, rig } = survey;
  return { kind, at, ...(name && { name }), ...(rig && { rig }), ...measuredIn(survey) };
}

/** The writes that finish a survey with what the core made of it. */
export function finishing({ record }: RecordReport, now: number): Write[] {
  const members = ["at", "socket", "car", "gives", "result", "not_shown", "hangs_on"] as const;
  return [
    ...members.flatMap((name): Write[] => (record[name] === undefined ? [{ path: `/${name}`, removed: true }] : leaves(`/${name}`, record[name]))),
    { path: "/run/finished", value: now },
  ];
}

/** The writes that open it again: what was found stands no more until it is finished anew. */
export function reopening(): Write[] {
  return ["/run/finished", "/at", "/result", "/socket", "/car", "/gives", "/not_shown", "/hangs_on"].map((path) => ({ path, removed: true }));
}

/** What an edit would enter in the rig. */
export function valueOf({ number, word, yes }: SurveyEdit): Json {
  return number ?? word ?? yes ?? false;
}

/** The writes in the rig's document that enter an edit, and mark it as measured. */
export function entering(edit: SurveyEdit, record: string, day: string): Write[] {
  const mark = pointer("measured", edit.key);
  const value = valueOf(edit);
  const as = edit.number !== undefined ? "number" : edit.word !== undefined ? "word" : "yes";
  return [
    { path: edit.field, value }, { path: `${mark}/field`, value: edit.field }, { path: `${mark}/${as}`, value },
    { path: `${mark}/on`, value: day }, { path: `${mark}/record`, value: record },
  ];
}

/** Whether the rig says what the edit would enter, as measured. */
export function isEntered(edit: SurveyEdit, rig: JsonObject): boolean {
  return valueAt(rig, edit.field) === valueOf(edit) && valueAt(rig, pointer("measured", edit.key, "field")) === edit.field;
}

export const SWITCHES: CarSwitch[] = ["stop", "left", "right", "park"];
