import assert from "node:assert/strict";
import { test } from "node:test";
import { dayCurves, figure, holdCurve, inWords, place, stoppingCurve, type Curve } from "../src/brakes/curve.ts";
import { dayOfTrip, segments, wrongDay } from "../src/brakes/day.ts";
import { isBehindTwenty, readMeasured, type Measured } from "../src/brakes/measured.ts";
import { partOf } from "../src/brakes/parts.ts";
import { askedOfTrip, gradeAsked, stopAsked, wrongStop } from "../src/brakes/stop-asked.ts";
import { choiceInput } from "../src/brakes/use.ts";
import { newTrip } from "../src/departure/trip.ts";

// 20,000 lb measured 26.0 ft from 20 mph alone, 4,000 lb unbraked: 31.2 ft, by forces and masses added; at 40 mph four times that.
const STOPS = [
  { speed_mph: 20, alone_ft: 26, pair_unbraked_ft: 31.2 },
  { speed_mph: 40, alone_ft: 104, pair_unbraked_ft: 124.8 },
];

test("a stopping curve has a line for each stop that is known, in the reader's units", () => {
  const us = stoppingCurve({ curve: STOPS }, "us") as Curve;
  assert.deepEqual([us.x, us.alongUnit, us.unit, us.lines.map(({ look, values }) => [look, values])], [[20, 40], "mph", "ft", [[1, [26, 104]], [2, [31.2, 124.8]]]]);
  // 1 mi = 1.609344 km and 1 ft = 0.3048 m, exact: NIST SP 811, appendix B.8.
  const metric = stoppingCurve({ curve: STOPS }, "metric") as Curve;
  assert.deepEqual(metric.x.map((x) => place(metric, x)), ["32", "64"]);
  assert.deepEqual(metric.lines[0]?.values.map((value) => figure(metric, value)), ["7.9", "31.7"]);
  assert.equal(stoppingCurve({ curve: [] }, "us"), undefined);
  assert.equal(stoppingCurve({ curve: [{ speed_mph: 20 }] }, "us"), undefined, "without a figure there is no curve");
});

test("a stop without end leaves a gap, and the words say where a line ends", () => {
  const curve = stoppingCurve({ curve: [...STOPS, { speed_mph: 60, alone_ft: 234 }] }, "us") as Curve;
  assert.deepEqual(curve.lines[1]?.values, [31.2, 124.8, null]);
  assert.equal(figure(curve, null), "–");
  assert.equal(
    inWords(curve),
    "Braking distance over speed. Motorhome alone: 26 ft at 20 mph, 234 ft at 60 mph. The pair, the car not braking: 31.2 ft at 20 mph, 124.8 ft at 40 mph.",
  );
});

test("the hold curve shows the band and the 15 minutes wanted", () => {
  const curve = [{ celsius: 0, low_min: 11.5, high_min: 16.9, stretched: false }, { celsius: 25, low_min: 17.3, high_min: 24.6, stretched: false }];
  const us = holdCurve({ curve }, "us") as Curve;
  assert.deepEqual(us.x, [32, 77]);
  assert.deepEqual(us.lines.map(({ values }) => values), [[16.9, 24.6], [11.5, 17.3], [15, 15]]);
  assert.match(inWords(holdCurve({ curve }, "metric") as Curve), /At least: 11\.5 min at 0 °C, 17\.3 min at 25 °C\./);
  assert.equal(holdCurve({ curve: [] }, "us"), undefined);
});

test("the day has a curve of charge and one of volts", () => {
  const point = { h: 0, low_pct: 92.857, high_pct: 100, low_v: 12.594, high_v: 12.93, low_line_a: 5.36, high_line_a: 3.98 };
  const [charge, volts] = dayCurves({ curve: [point, { ...point, h: 0.208333, low_pct: 90 }] });
  assert.ok(charge && volts);
  assert.deepEqual([figure(charge, charge.lines[1]?.values[0]), figure(volts, volts.lines[1]?.values[0]), place(charge, charge.x[1])], ["93", "12.59", "0.21"]);
  assert.deepEqual(dayCurves({ curve: [] }), []);
});

test("a day is half the driving, the halt, the other half; what is not known is absent", () => {
  const day = { ...dayOfTrip({ ...newTrip(new Date(2026, 5, 1)), driving: "9", coldest: "41", night: true }), halt: "1", terrain: "hills" as const };
  assert.deepEqual(segments(day), {
    day: [{ state: "drive", hours: 4.5, dark: true, terrain: "hills" }, { state: "halt", hours: 1 }, { state: "drive", hours: 4.5, dark: true, terrain: "hills" }],
    temperature: { f: 41 },
  });
  assert.deepEqual(segments({ ...day, driving: "6:20", halt: "", dark: false, terrain: "", temperature: "" }), { day: [{ state: "drive", hours: 6.333, dark: false }] });
  const [first, , last] = segments({ ...day, driving: "6.333" }).day ?? [];
  assert.equal(((first?.hours ?? 0) + (last?.hours ?? 0)).toFixed(3), "6.333");
  assert.deepEqual(segments({ ...day, driving: "", temperature: "" }), {});
  assert.deepEqual(Object.keys(wrongDay({ ...day, driving: "25", halt: "long", temperature: "-80" })), ["driving", "halt", "temperature"]);
  assert.deepEqual(wrongDay({ ...day, driving: "", halt: "", temperature: "" }), {});
});

const STOP: Measured = { of: "alone", speed: "20", distance: "26", on: "2026-09-13" };

test("a measured stop is kept where the rig has it", () => {
  assert.deepEqual(readMeasured({}, STOP, "us"), { ok: true, writes: [
    { path: "/stopping/alone/from", value: { mph: 20 } }, { path: "/stopping/alone/distance", value: { ft: 26 } },
    { path: "/stopping/alone/how", value: "measured" }, { path: "/stopping/alone/on", value: "2026-09-13" },
  ] });
  assert.deepEqual(readMeasured({}, { ...STOP, of: "pair", distance: "28 ft 6 in" }, "us"), { ok: true, writes: [
    { path: "/stopping/pair_from_20_mph", value: { in: 342 } }, { path: "/stopping/on", value: "2026-09-13" },
  ] });
  const metric = readMeasured({}, { ...STOP, of: "pair", speed: "40", distance: "9,5" }, "metric");
  assert.deepEqual(metric.ok && metric.writes.slice(0, 2), [{ path: "/stopping/pair/from", value: { km_h: 40 } }, { path: "/stopping/pair/distance", value: { m: 9.5 } }]);
  const again = readMeasured({ stopping: { alone: { lag_s: 0.3 } } }, STOP, "us");
  assert.deepEqual(again.ok && again.writes.at(-1), { path: "/stopping/alone/lag_s", removed: true }, "an earlier lag goes");
});

test("what is wrong with a measured stop is said at its figure", () => {
  const read = readMeasured({}, { ...STOP, speed: "", distance: "far", on: "" }, "us");
  assert.deepEqual(!read.ok && Object.keys(read.wrong), ["speed", "distance", "on"]);
});

test("an older stop of the pair from 20 mph is not overwritten by one from another speed, and that is known", () => {
  const rig = { stopping: { pair_from_20_mph: { ft: 30 } } };
  const behind = (stop: Measured) => {
    const read = readMeasured(rig, stop, "us");
    return read.ok && isBehindTwenty(rig, stop, read.writes);
  };
  assert.equal(behind({ ...STOP, of: "pair", speed: "30" }), true);
  assert.equal(behind({ ...STOP, of: "pair" }), false);
  assert.equal(behind(STOP), false);
});

test("what a unit is for: an answer not given is absent", () => {
  assert.deepEqual(choiceInput({ terrain: "", rough: "", cars: "", motorhomes: "" }), {});
  assert.deepEqual(choiceInput({ terrain: "mountains", rough: "no", cars: "yes", motorhomes: "no" }), { terrain: "mountains", rough_roads: false, cars: 2, motorhomes: 1 });
});

test("the stop asked about begins at the trip's fastest; downhill is a grade below nothing, and nothing is guessed", () => {
  const begin = askedOfTrip({ ...newTrip(new Date(2026, 5, 1)), speed: "55", speedUnit: "mph" });
  assert.deepEqual(stopAsked(begin), { speed: { mph: 55 } });
  assert.deepEqual(stopAsked({ ...begin, speed: "90", unit: "km_h", down: "6 %", reaction: "1.5 s", surface: "wet" }), { speed: { km_h: 90 }, grade_pct: -6, reaction_s: 1.5, surface: "wet" });
  assert.deepEqual(stopAsked({ ...begin, speed: "", reaction: "0" }), { reaction_s: 0 });
  assert.deepEqual(gradeAsked({ ...begin, down: "6" }), { grade_pct: 6, speed: { mph: 55 } });
  assert.deepEqual([gradeAsked(begin), gradeAsked({ ...begin, down: "0" }), gradeAsked({ ...begin, down: "6", speed: "" })], [undefined, undefined, undefined]);
  assert.deepEqual(Object.keys(wrongStop({ ...begin, speed: "200", down: "100", reaction: "long" })), ["speed", "down", "reaction"]);
  assert.deepEqual(wrongStop({ ...begin, speed: "" }), {});
});

test("a finding leads to the part that shows what stands behind it", () => {
  const part = (id: string) => partOf({ id, area: "brakes", verdict: "mind", decides: false, says: { id: "a.b", sentence: "" } });
  assert.deepEqual(
    ["brakes.stopping", "brakes.limits", "brakes.limit.0", "brakes.tightened.1", "brakes.lock", "brakes.no-stop", "brakes.grade", "brakes.grade-share", "breakaway.hold", "breakaway.reckoned-new", "battery.day", "battery.day-unit"].map(part),
    ["stopping", "stopping", "stopping", "stopping", "stopping", "stopping", "descent", "descent", "hold", "hold", "day", "day"],
  );
  for (const id of ["brakes.unit", "brakes.label", "breakaway.lanyard", "battery.state", "battery.charge-line", "law.stopping_distance.met"]) assert.equal(part(id), undefined, id);
});
