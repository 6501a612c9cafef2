import assert from "node:assert/strict";
import { after, test } from "node:test";
import type { LightTestReport, RecordReport, TraceReport } from "../src/engine/types.ts";
import { figureAt, measured, type Figure } from "../src/lamps/bench.ts";
import { lookId, sameLook } from "../src/lamps/look.ts";
import {
  asExpected, asked, beginning, differs, dueSteps, evidenceOf, finishing, isRunning, mended, ownSighting, recordOf, recordSoFar, reopening, roundOf, saw, sightings, stamp, stateOf, tookBack, took, wiggled,
  type LightTest, type Running,
} from "../src/lamps/record.ts";
import { LEAD_MS, momentOf, seatSteps, STEP_MS } from "../src/lamps/script.ts";
import type { Json, JsonObject, Write } from "../src/store/journal.ts";
import { startEngine } from "./engine-process.ts";

const engine = startEngine();
after(() => engine.end());

const rig = { towing: { circuits: { hazard_and_brake: "hazard_flashes" } }, towed: { rear_lamps: "combined" }, harness: { signals: "combined", approach: "steering_diodes", feeds: { tail: true, left: true, right: true, ground: true } } };
const RIG = JSON.stringify(rig);

async function run<T>(operation: string, input: object): Promise<T> {
  const outcome = await engine.run<T>(operation, JSON.stringify(input));
  assert.ok(outcome.ok, outcome.text);
  return outcome.value;
}

/** A document with more writes: enough of a journal for one device. */
function written(before: LightTest | undefined, writes: Write[]): LightTest {
  const document = structuredClone(before ?? {}) as unknown as JsonObject;
  for (const { path, value, removed } of writes) {
    const parts = path.slice(1).split("/");
    const last = parts.pop() ?? "";
    const at = parts.reduce((object, part) => (object[part] ??= {}) as JsonObject, document);
    if (removed) delete at[last];
    else at[last] = value as Json;
  }
  return document as unknown as LightTest;
}

function running(test: LightTest): Running {
  assert.ok(isRunning(test));
  return test;
}

const began = () => running(written(undefined, beginning({ name: "Light test: Mine", rig: "mine", by: "two_people", run: { rig_name: "Mine", rig_text: RIG } }, 1000)));

test("a look is the same whatever goes without saying", () => {
  assert.equal(lookId({ glow: "dark", pattern: "steady" }), "look.dark");
  assert.ok(sameLook({ glow: "full", pattern: "flashing" }, { glow: "full", pattern: "flashing", phase: "in_step" }));
  assert.ok(!sameLook({ glow: "full", pattern: "flashing" }, { glow: "full", pattern: "flashing", phase: "opposed" }));
});

test("a whole light test: wrong, traced, mended, tested again, recorded", async () => {
  const report = await run<LightTestReport>("lamps/test", { rig, by: "two_people" });
  const brake = report.steps.find(({ step }) => step === "brake");
  const picture = brake?.expect[0];
  assert.ok(brake && picture);
  let doc = began();
  assert.equal(recordOf(doc), undefined, "what is not finished is no record");
  assert.equal(stateOf(doc, brake, undefined), "open");

  // One lamp dark: kept as a draft it says nothing, kept as whole it is wrong.
  const dark = asExpected("brake", picture).map((one) => (one.lamp === "stop_left" ? { step: one.step, lamp: one.lamp, glow: "dark" as const, trust: "sure" as const } : one));
  doc = running(written(doc, saw(doc, "brake", "a", { at: 2000, done: false, pictures: dark })));
  assert.equal(ownSighting(doc, "brake", "a")?.pictures.length, asked(picture).length);
  assert.deepEqual(evidenceOf(doc, report).pictures, []);
  doc = running(written(doc, saw(doc, "brake", "a", { at: 2000, done: true, pictures: dark, comparisons: [{ step: "brake", lamp: "stop", brighter: "right" }] })));
  const judged = await run<RecordReport>("lamps/record", { rig, record: recordSoFar(doc, report, stamp(new Date(3000))) });
  assert.equal(stateOf(doc, brake, judged), "wrong");
  assert.ok(differs(dark, brake));

  // The evidence is what lamps/trace takes; a reading is added and taken back.
  doc = running(written(doc, [...wiggled(doc, "car", true), ...took(doc, "x", { at: 3000, device: "a", reading: { step: "brake", point: "end_left", v: 12.4 } })]));
  const traced = await run<TraceReport>("lamps/trace", { rig, tools: "meter", ...evidenceOf(doc, report) });
  assert.ok(traced.groups[0]?.causes.some(({ faults }) => faults.includes("lamp_out_stop_left")), JSON.stringify(traced.groups[0]?.causes.map(({ faults }) => faults)));
  assert.equal(evidenceOf(running(written(doc, tookBack(doc, "x"))), report).readings.length, 0);

  // A repair begins a round in which nothing seen before counts.
  doc = running(written(doc, mended(doc, { at: 4000, device: "a", what: "The bulb", faults: ["lamp_out_stop_left"], again: ["brake"] })));
  assert.equal(roundOf(doc), 1);
  assert.deepEqual(evidenceOf(doc, report), { pictures: [], comparisons: [], readings: [], intermittents: [] });
  assert.equal(sightings(doc, "brake", 0).length, 1, "but it is kept");
  const due = dueSteps(doc, report);
  assert.ok(due.includes(brake) && due.every((step) => step.needed || step === brake));
  for (const step of due) {
    const expected = step.expect[0];
    if (expected) doc = running(written(doc, saw(doc, step.step, "b", { at: 5000, done: true, pictures: asExpected(step.step, expected) })));
  }

  // Finished it is the contract's record, judged by the core, and opens again.
  const kept = await run<RecordReport>("lamps/record", { rig, record: recordSoFar(doc, report, stamp(new Date(6000))) });
  assert.equal(kept.record.result, "passed", JSON.stringify([kept.misfits, kept.missing]));
  const finished = written(doc, finishing(kept.record, RIG, 6000));
  assert.ok(!isRunning(finished));
  const record = recordOf(finished);
  assert.ok(record && !("run" in record));
  assert.equal((await run<RecordReport>("lamps/record", { rig, record })).record.result, "passed");
  assert.equal(recordOf(written(finished, reopening())), undefined);
});

test("a lamp a word dimmer passes and is said; what is doubtful is not clear; two phones both count", async () => {
  const report = await run<LightTestReport>("lamps/test", { rig });
  const brake = report.steps.find(({ step }) => step === "brake");
  const picture = brake?.expect[0];
  assert.ok(brake && picture);
  const expected = asExpected("brake", picture);
  const with_ = (change: object) => expected.map((one) => (one.lamp === "stop_left" ? { ...one, ...change } : one));
  const stateWith = async (pictures: typeof expected, other?: typeof expected) => {
    let doc = began();
    doc = running(written(doc, saw(doc, "brake", "a", { at: 1, done: true, pictures })));
    if (other) doc = running(written(doc, saw(doc, "brake", "b", { at: 2, done: true, pictures: other })));
    return stateOf(doc, brake, await run<RecordReport>("lamps/record", { rig, record: recordSoFar(doc, report, stamp(new Date(0))) }));
  };
  assert.equal(await stateWith(expected), "as_expected");
  assert.equal(await stateWith(with_({ glow: "dim" })), "near");
  assert.equal(await stateWith(with_({ trust: "doubtful" })), "unclear");
  assert.equal(await stateWith(with_({ glow: "dark", trust: "cant_tell" })), "unclear");
  assert.equal(await stateWith(with_({ pattern: "flashing" })), "wrong");
  assert.equal(await stateWith(expected, with_({ glow: "dark" })), "wrong", "one phone saw it dark");
});

test("a bench test: figures are kept one by one, judged by the core, and are the contract's", async () => {
  const report = await run<LightTestReport>("lamps/test", { rig, by: "bench" });
  const { bench } = report;
  assert.ok(bench);
  let doc = running(written(undefined, beginning({ name: "Bench test: Mine", rig: "mine", by: "bench", run: { rig_name: "Mine", rig_text: RIG } }, 1000)));
  assert.equal(doc.kind, "bench");
  const take = (figure: Figure, value: number | undefined) => (doc = running(written(doc, measured(figure, value))));
  const judged = () => run<RecordReport>("lamps/record", { rig, record: recordSoFar(doc, report, stamp(new Date(2000))) });
  assert.equal((await judged()).record.result, "open", "nothing measured yet");
  for (const { pin, a, ground_drop_v, lamps } of bench.pins) {
    take({ of: "a", pin }, a);
    take({ of: "ground", pin }, ground_drop_v);
    lamps.forEach(({ lamp, v }) => take({ of: "lamp", pin, lamp }, v));
  }
  for (const { switch: by, pins } of bench.back) pins.forEach(({ pin }) => take({ of: "back", pin, by }, 0));
  const kept = await judged();
  assert.equal(kept.record.result, "passed", JSON.stringify(kept.record.not_shown));
  take({ of: "back", pin: "left", by: "stop" }, 11.9);
  assert.deepEqual((await judged()).record.not_shown, ["left"], "the car sends volts back");
  take({ of: "back", pin: "left", by: "stop" }, undefined);
  assert.equal(figureAt(doc, { of: "back", pin: "left", by: "stop" }), undefined);
  assert.equal((await judged()).record.result, "open");
  const finished = finishing(kept.record, RIG, 3000);
  assert.ok(finished.every(({ value }) => value === undefined || Array.isArray(value) || typeof value !== "object"), "written leaf by leaf");
  assert.deepEqual(recordOf(written(doc, finished)), kept.record);
});

test("a moment is written with the offset of the place", () => {
  assert.match(stamp(new Date(0)), /^19(69|70)-\d\d-\d\dT\d\d:\d\d:00[+-]\d\d:\d\d$/);
  assert.equal(Date.parse(stamp(new Date(1_790_000_000_000))), 1_790_000_000_000);
});

test("the clock alone drives a timed script", async () => {
  const report = await run<LightTestReport>("lamps/test", { rig: { ...rig, brake_unit: { fitted: true, actuation: "portable_inertia", presses_pedal: true } } });
  const steps = seatSteps(report);
  assert.ok(steps.length > 8 && steps.every(({ step }) => !/unplugged|unit_/.test(step)));
  assert.deepEqual(momentOf(0, 2), { at: "lead", left: LEAD_MS / 1000 });
  assert.deepEqual(momentOf(LEAD_MS, 2), { at: "step", index: 0, left: STEP_MS / 1000 });
  assert.deepEqual(momentOf(LEAD_MS + STEP_MS - 1, 2), { at: "step", index: 0, left: 1 });
  assert.deepEqual(momentOf(LEAD_MS + STEP_MS, 2), { at: "step", index: 1, left: STEP_MS / 1000 });
  assert.deepEqual(momentOf(LEAD_MS + 2 * STEP_MS, 2), { at: "over" });
});
