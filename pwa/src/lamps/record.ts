/**
 * A light test as it is kept, the document test/<id>, and the writes that people
 * make by working through it. Each device writes what it saw under its own path,
 * so that nothing of two phones is lost.
 */

import type {
  ExpectedPicture, FaultPlace, LampComparison, LampPicture, LightStep, LightTestBy, LightTestReport, LightTestStep, RecordReport, TestRecord, TraceInput, TraceReading, TraceTools,
} from "../engine/types.ts";
import type { Json, Write } from "../store/journal.ts";
import type { Document } from "../store/store.ts";
import { leaves, pointer } from "../walk/walk.ts";
import { benchSeen } from "./bench.ts";
import { sameLook } from "./look.ts";

/** What one device saw in one step. */
export interface Sighting {
  /** When, in milliseconds of the Unix epoch. */
  at: number;
  /** Whether the person has said that this is all of it. Until then it says nothing. */
  done: boolean;
  /** Every lamp that was looked at, as the contract's lamps/trace takes them. */
  pictures: LampPicture[];
  comparisons?: LampComparison[];
}

/** What was mended, which began a new round. */
export interface Repair {
  at: number;
  device: string;
  /** In words, as they were shown. */
  what: string;
  /** Ids of the fault catalogue; absent where the cause was another. */
  faults?: string[];
  /** The steps that were not as expected before it. */
  again: LightStep[];
}

export interface KeptReading {
  at: number;
  device: string;
  reading: TraceReading;
}

/** How a record came to be: what people tapped, step by step. */
export interface Run {
  /** The rig's name, and its JSON text as it was. */
  rig_name: string;
  rig_text: string;
  started: number;
  finished?: number;
  tools?: TraceTools;
  /** By round, step and device. A repair begins a round: what was seen before it says nothing of the harness after it. */
  seen?: Record<string, Record<string, Record<string, Sighting>>>;
  /** By round and an id of their own. */
  readings?: Record<string, Record<string, KeptReading>>;
  /** By round: where something that comes and goes was moved. */
  wiggled?: Record<string, Partial<Record<FaultPlace, boolean>>>;
  /** By the round that it began. */
  repairs?: Record<string, Repair>;
  /** The figures of a bench test, by what they are of and by pin; at lamps and with the car's switches by those as well. */
  bench?: Record<string, Record<string, number | Record<string, number>>>;
}

/** The contract's test record, and how it came to be where this app made it. It has a moment and a result once it is finished. */
export interface LightTest extends Omit<TestRecord, "at"> {
  at?: string;
  run?: Run;
}

/** A light test that this app works through. */
export type Running = LightTest & { run: Run };

/** A light test and its document's name. */
export interface Kept {
  doc: string;
  value: LightTest;
}

/** When it was made, in milliseconds of the Unix epoch; 0 where nothing says. */
export function momentOf({ at, run }: LightTest): number {
  return run?.finished ?? run?.started ?? (at === undefined ? 0 : Date.parse(at) || 0);
}

/** The light tests and bench tests among the test records, the newest first. */
export function keptTests(documents: Document[] | undefined): Kept[] | undefined {
  return documents
    ?.map(({ doc, document }) => ({ doc, value: document as unknown as LightTest }))
    .filter(({ value }) => value.kind === "light_test" || value.kind === "bench")
    .sort((a, b) => momentOf(b.value) - momentOf(a.value));
}

/** Whether somebody still works on it. */
export function isRunning(test: LightTest): test is Running {
  return test.run !== undefined && test.run.finished === undefined;
}

export function beginning(about: { name: string; rig: string; by: LightTestBy; run: Pick<Run, "rig_name" | "rig_text"> }, now: number): Write[] {
  return leaves("", { ...about, kind: about.by === "bench" ? "bench" : "light_test", run: { ...about.run, started: now } });
}

/** A moment where the person is, as RFC 3339 has it, with the offset of the place. */
export function stamp(now: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  const east = -now.getTimezoneOffset();
  const local = new Date(now.getTime() + east * 60_000).toISOString().slice(0, 19);
  return `${local}${east < 0 ? "-" : "+"}${two(Math.floor(Math.abs(east) / 60))}:${two(Math.abs(east) % 60)}`;
}

/** The members of the contract's record; what else a document has is no part of it. */
const MEMBERS = ["name", "kind", "rig", "at", "place", "watcher", "by", "note", "pictures", "comparisons", "readings", "intermittents", "bench", "result", "not_shown", "hangs_on"] as const;

/** The record as the core takes it; undefined where the test has not come to one. */
export function recordOf(test: LightTest): TestRecord | undefined {
  if (test.at === undefined || isRunning(test)) {
    return undefined;
  }
  return Object.fromEntries(MEMBERS.filter((name) => test[name] !== undefined).map((name) => [name, test[name]])) as unknown as TestRecord;
}

/** What was seen and read in the round so far, as a record made at that moment. */
export function recordSoFar(test: Running, report: LightTestReport, at: string): TestRecord {
  const { name, kind, rig, place, watcher, by, note } = test;
  const evidence = report.bench ? { bench: benchSeen(test, report.bench) } : Object.fromEntries(Object.entries(evidenceOf(test, report)).filter(([, list]) => list.length > 0));
  return { kind, at, ...(name && { name }), ...(rig && { rig }), ...(place && { place }), ...(watcher && { watcher }), ...(by && { by }), ...(note && { note }), ...evidence };
}

/** The writes that finish a test: the record as the core gave it, and the rig as it was. */
export function finishing(record: TestRecord, rig: string, now: number): Write[] {
  const members = MEMBERS.flatMap((name) => (record[name] === undefined ? [{ path: `/${name}`, removed: true as const }] : leaves(`/${name}`, record[name])));
  return [...members, { path: "/run/rig_text", value: rig }, { path: "/run/finished", value: now }];
}

/** The writes that open a finished test again: until it is finished anew it has come to nothing. */
export function reopening(): Write[] {
  return ["/run/finished", "/result", "/at"].map((path) => ({ path, removed: true }));
}

/** The round that is being tested: 0, and one more for each repair. */
export function roundOf({ run }: Running): number {
  return Math.max(0, ...Object.keys(run.repairs ?? {}).map((key) => Number(key.slice(1))));
}

/** A round as it is kept: a name of digits alone would be that of an element of a list. */
const keyOf = (round: number) => `r${round}`;

/** What all devices saw of a step in a round, and said to be all of it. */
export function sightings({ run }: Running, step: LightStep, round: number): Sighting[] {
  return Object.values(run.seen?.[keyOf(round)]?.[step] ?? {}).filter(({ done }) => done);
}

/** All looks of a round, whatever the step. */
export function allSeen({ run }: Running, round: number): LampPicture[] {
  return Object.values(run.seen?.[keyOf(round)] ?? {}).flatMap((by) => Object.values(by)).filter(({ done }) => done).flatMap(({ pictures }) => pictures);
}

export function ownSighting(test: Running, step: LightStep, device: string): Sighting | undefined {
  return test.run.seen?.[keyOf(roundOf(test))]?.[step]?.[device];
}

/** The looks of a step that other devices have kept in this round. */
export function othersSaw(test: Running, step: LightStep, device: string): LampPicture[] {
  return Object.entries(test.run.seen?.[keyOf(roundOf(test))]?.[step] ?? {}).filter(([of, { done }]) => of !== device && done).flatMap(([, { pictures }]) => pictures);
}

/** Lamps that are asked about: those seen from behind that no brighter one outshines. */
export function asked({ lamps }: ExpectedPicture) {
  return lamps.filter(({ lens, hidden }) => lens !== "car_park" && !hidden);
}

/** The expected picture, as if it had been seen. */
export function asExpected(step: LightStep, picture: ExpectedPicture): LampPicture[] {
  return asked(picture).map(({ lamp, glow, pattern, phase }) => ({
    step, lamp, glow, ...(glow !== "dark" && pattern && { pattern }), ...(glow !== "dark" && pattern !== "steady" && phase && { phase }), trust: "sure",
  }));
}

/** The writes of what a device saw in a step. */
export function saw(test: Running, step: LightStep, device: string, sighting: Sighting): Write[] {
  const at = pointer("run", "seen", keyOf(roundOf(test)), step, device);
  const { comparisons = [], pictures, ...rest } = sighting;
  return [
    { path: `${at}/at`, value: rest.at }, { path: `${at}/done`, value: rest.done }, { path: `${at}/pictures`, value: pictures as unknown as Json },
    comparisons.length > 0 ? { path: `${at}/comparisons`, value: comparisons as unknown as Json } : { path: `${at}/comparisons`, removed: true },
  ];
}

/** The writes of a reading. */
export function took(test: Running, id: string, kept: KeptReading): Write[] {
  return leaves(pointer("run", "readings", keyOf(roundOf(test)), id), kept);
}

/** Where a wire or a plug can be moved. */
export const PLACES: FaultPlace[] = ["motorhome", "umbilical", "car"];

export function wiggled(test: Running, place: FaultPlace, on: boolean): Write[] {
  return [{ path: pointer("run", "wiggled", keyOf(roundOf(test)), place), value: on }];
}

export function isWiggled({ run }: Running, place: FaultPlace, round: number): boolean {
  return run.wiggled?.[keyOf(round)]?.[place] === true;
}

/** The readings of a round, the earliest first. */
export function readingsOf({ run }: Running, round: number): { id: string; kept: KeptReading }[] {
  return Object.entries(run.readings?.[keyOf(round)] ?? {}).map(([id, kept]) => ({ id, kept })).sort((a, b) => a.kept.at - b.kept.at);
}

/** The writes that take a reading of this round back. */
export function tookBack(test: Running, id: string): Write[] {
  return [{ path: pointer("run", "readings", keyOf(roundOf(test)), id), removed: true }];
}

/** The repair that began a round. */
export function repairOf({ run }: Running, round: number): Repair | undefined {
  return run.repairs?.[keyOf(round)];
}

/** The writes that say that something was mended: the next round begins. */
export function mended(test: Running, repair: Repair): Write[] {
  return leaves(pointer("run", "repairs", keyOf(roundOf(test) + 1)), repair);
}

/** How a step stands in the round: what the core calls wrong, a word brighter or darker than expected, or not seen for sure. */
export type StepState = "open" | "as_expected" | "near" | "wrong" | "unclear";

export function stateOf(test: Running, step: LightTestStep, judged: RecordReport | undefined): StepState {
  const seen = sightings(test, step.step, roundOf(test)).flatMap(({ pictures }) => pictures);
  if (seen.length === 0) {
    return "open";
  }
  if (judged?.misfits.some((misfit) => misfit.step === step.step)) {
    return "wrong";
  }
  return seen.some(({ trust }) => trust === "doubtful" || trust === "cant_tell") ? "unclear" : differs(seen, step) ? "near" : "as_expected";
}

/** Whether any look is another than each of the expected pictures has it. */
export function differs(seen: LampPicture[], { expect }: LightTestStep): boolean {
  return !expect.some((picture) => seen.every((one) => {
    const lamp = picture.lamps.find(({ lamp }) => lamp === one.lamp);
    return one.glow === undefined || one.trust === "cant_tell" || (lamp !== undefined && sameLook({ ...one, glow: one.glow }, lamp));
  }));
}

/**
 * The steps of a round, in the order of the light test. After a repair those that
 * were wrong before it and the fewest that show all that can be shown are due.
 */
export function dueSteps(test: Running, report: LightTestReport): LightTestStep[] {
  const again = repairOf(test, roundOf(test))?.again;
  return again === undefined ? report.steps : report.steps.filter((step) => step.needed || again.includes(step.step));
}

/** The evidence of the round, as lamps/trace takes it. */
export function evidenceOf(test: Running, report: LightTestReport): Required<Pick<TraceInput, "pictures" | "comparisons" | "readings" | "intermittents">> {
  const round = roundOf(test);
  const seen = report.steps.flatMap(({ step }) => sightings(test, step, round));
  return {
    pictures: seen.flatMap(({ pictures }) => pictures),
    comparisons: seen.flatMap(({ comparisons = [] }) => comparisons),
    readings: readingsOf(test, round).map(({ kept }) => kept.reading),
    intermittents: PLACES.filter((place) => isWiggled(test, place, round)).map((place) => ({ place })),
  };
}
