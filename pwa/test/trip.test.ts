import assert from "node:assert/strict";
import { test } from "node:test";
import { findPlaces, shortCode, type Place } from "../src/departure/places.ts";
import { dayOf, forEngine, inUnits, newTrip, withTripOf, wrongFigures } from "../src/departure/trip.ts";

const noon = new Date(2026, 10, 3, 12);

test("what is left empty is absent, never zero", () => {
  assert.deepEqual(forEngine({ ...newTrip(noon), route: ["US-OR"] }), { route: ["US-OR"], night: false, on: "2026-11-03" });
  assert.deepEqual(forEngine({ ...newTrip(noon), route: ["US-OR"], on: "" }), { route: ["US-OR"], night: false });
});

test("an empty figure is asked for in the reader's units, a typed one keeps its own", () => {
  const trip = { ...newTrip(noon), coldest: "20", distance: " " };
  assert.deepEqual([trip.coldestUnit, trip.speedUnit, trip.distanceUnit], ["f", "mph", "mi"]);
  const metric = inUnits(trip, "metric");
  assert.deepEqual([metric.coldestUnit, metric.speedUnit, metric.distanceUnit], ["f", "km_h", "km"]);
  assert.deepEqual(inUnits(metric, "us"), trip);
});

test("typed figures reach the engine in the unit chosen", () => {
  const trip = {
    ...newTrip(noon), route: ["US-OR", "US-CA"], night: true, coldest: "−4 °C", coldestUnit: "c" as const, driving: "6:30", grade: "6 %",
    speed: "60", distance: "1,200",
  };
  assert.deepEqual(wrongFigures(trip), {});
  assert.deepEqual(forEngine(trip), {
    route: ["US-OR", "US-CA"], on: "2026-11-03", night: true, coldest: { c: -4 }, driving_h: 6.5, steepest_grade_pct: 6,
    planned_speed: { mph: 60 }, distance: { mi: 1200 },
  });
});

test("each wrong figure is named", () => {
  const trip = { ...newTrip(noon), coldest: "mild", driving: "30", grade: "", speed: "60 km/h" };
  assert.deepEqual(Object.keys(wrongFigures(trip)).sort(), ["coldest", "driving", "speed"]);
});

test("a rig's own trip is taken over and comes back the same", () => {
  const given = {
    route: ["US-WA"], night: true, coldest: { f: 20 }, driving_h: 5.5, steepest_grade_pct: 7, planned_speed: { km_h: 90 }, distance: { km: 400 },
  };
  assert.deepEqual(forEngine(withTripOf(newTrip(noon), given)), { ...given, on: "2026-11-03" });
});

test("the day is the person's own", () => {
  assert.equal(dayOf(new Date(2026, 0, 1, 0, 5)), "2026-01-01");
  assert.equal(dayOf(new Date(2026, 11, 31, 23, 55)), "2026-12-31");
});

const places: Place[] = [
  { code: "US-CA", name: "California", neighbours: ["US-OR", "US-NV"] },
  { code: "US-NV", name: "Nevada", neighbours: ["US-CA"] },
  { code: "US-NE", name: "Nebraska", neighbours: [] },
  { code: "US-NC", name: "North Carolina", neighbours: [] },
  { code: "US-SC", name: "South Carolina", neighbours: [] },
  { code: "CA-QC", name: "Québec", neighbours: [] },
];

test("a typed word finds its place", () => {
  const found = (typed: string, after?: string) => findPlaces(typed, places, after).map(({ code }) => code);
  assert.deepEqual(found("ne", "US-CA"), ["US-NE", "US-NV"], "a code comes before names");
  assert.deepEqual(found("n", "US-CA")[0], "US-NV", "next door comes first");
  assert.deepEqual(found("car"), ["US-NC", "US-SC"], "a later word counts");
  assert.deepEqual(found("quebec"), ["CA-QC"], "accents do not matter");
  assert.deepEqual(found("us-ca"), ["US-CA"]);
  assert.deepEqual(found("  "), []);
  assert.deepEqual(found("zz"), []);
  assert.equal(shortCode("US-OR"), "OR");
});
