import assert from "node:assert/strict";
import { test } from "node:test";
import type { Stand } from "../src/engine/types.ts";
import { setUpWrites } from "../src/walk/set-up-record.ts";
import { beginning, leaves, observed, pointer, runInput, stationsOf, ticked, touched, unticked, type Walk } from "../src/walk/walk.ts";

const walk: Walk = { name: "Hook-up: Mine", list: "hook_up", rig: "mine", rig_name: "Mine", rig_text: "{}" };

function stand(id: string, place: Stand["step"]["place"], state: Stand["state"] = "open", holding = false): Stand {
  const said = { id, sentence: id };
  return { state, step: { id, place, holding, hold: "none", after: [], from_manual: false, do: said, basis: [] } };
}

test("a path is escaped as RFC 6901 asks", () => {
  assert.equal(pointer("ticks", "manual.a", "a/b~c"), "/ticks/manual.a/a~1b~0c");
});

test("an object is written leaf by leaf, an empty one as itself", () => {
  assert.deepEqual(leaves("/x", { a: 1, b: { c: "d", e: {} }, f: undefined, g: [1] }), [
    { path: "/x/a", value: 1 }, { path: "/x/b/c", value: "d" }, { path: "/x/b/e", value: {} }, { path: "/x/g", value: [1] },
  ]);
});

test("a new walk-round says what it is about", () => {
  const writes = beginning({ list: "unhook", rig: "mine", rig_name: "Mine", rig_text: "{}", changes: { arms: {}, "manual.a": { words: "Key out.", tag: "sets_ignition" } } }, 7);
  assert.deepEqual(new Map(writes.map(({ path, value }) => [path, value])), new Map<string, unknown>([
    ["/name", "Unhook: Mine"], ["/list", "unhook"], ["/rig", "mine"], ["/rig_name", "Mine"], ["/rig_text", "{}"], ["/started", 7],
    ["/changes/arms", {}], ["/changes/manual.a/words", "Key out."], ["/changes/manual.a/tag", "sets_ignition"],
  ]));
});

test("neighbours at one place are one station; what is not needed is in none", () => {
  const steps = [stand("a", "cab"), stand("b", "hitch"), stand("c", "hitch"), stand("d", "car_side", "not_needed"), stand("e", "hitch"), stand("f", "cab")];
  assert.deepEqual(stationsOf(steps).map(({ place, steps: own }) => [place, own.map(({ step }) => step.id)]), [
    ["cab", ["a"]], ["hitch", ["b", "c", "e"]], ["cab", ["f"]],
  ]);
});

test("each device ticks under its own path", () => {
  assert.deepEqual(ticked(walk, stand("arms", "hitch"), "app-1", 5), [{ path: "/ticks/arms/app-1/done", value: true }, { path: "/ticks/arms/app-1/at", value: 5 }]);
  assert.deepEqual(unticked("arms", "app-1", 6), [{ path: "/ticks/arms/app-1/done", value: false }, { path: "/ticks/arms/app-1/at", value: 6 }]);
});

test("a holding item ticked for the first time after a break is touched since; ticked again it is not", () => {
  const left: Walk = { ...walk, breaks: { b: { left: true }, n: { left: false }, u: {} } };
  const holding = stand("arms", "hitch", "open", true);
  const paths = (writes: { path: string }[]) => writes.map(({ path }) => path);
  assert.deepEqual(paths(ticked(left, holding, "d", 5)).slice(2), [
    "/breaks/b/again/arms/d/done", "/breaks/b/again/arms/d/at", "/breaks/u/again/arms/d/done", "/breaks/u/again/arms/d/at",
  ]);
  const before: Walk = { ...left, ticks: { arms: { d: { done: false } } } };
  assert.equal(ticked(before, holding, "d", 5).length, 2);
  assert.deepEqual(paths(touched({ ...left, breaks: { b: { left: true, again: { arms: { d: { done: true } } } } } }, "arms", "d", 5)), []);
});

test("what is seen is written as leaves, what is taken away is removed", () => {
  assert.deepEqual(observed("dash", "d", { reading: { temperature: { f: 120 } } }), [{ path: "/ticks/dash/d/reading/temperature", value: { f: 120 } }]);
  assert.deepEqual(observed("dash", "d", { reading: { volts: 12.4 } }), [{ path: "/ticks/dash/d/reading/volts", value: 12.4 }]);
  assert.deepEqual(observed("arms", "d", { count: undefined, note: "" }), [{ path: "/ticks/arms/d/count", removed: true }, { path: "/ticks/arms/d/note", removed: true }]);
  assert.deepEqual(observed("arms", "d", { count: 0 }), [{ path: "/ticks/arms/d/count", value: 0 }]);
});

test("the engine is asked with what it knows, and nothing else of the document", () => {
  const full: Walk = { ...walk, started: 1, ticks: { a: { d: { done: true } } }, hook_up: "h", changes: { arms: {} } };
  assert.deepEqual(JSON.parse(runInput(full, '{"name":"Mine"}', 9)), {
    rig: { name: "Mine" }, list: "hook_up", run: { started: 1, ticks: { a: { d: { done: true } } } }, changes: { arms: {} }, now: 9,
  });
});

test("a set-up test passed goes into the rig with its day, one taken back goes out, one left alone stays", () => {
  assert.deepEqual(setUpWrites({ set_up: { static: true, pull: false } }, "2026-11-29"), [
    { path: "/brake_unit/set_up/static/passed", value: true }, { path: "/brake_unit/set_up/static/on", value: "2026-11-29" },
    { path: "/brake_unit/set_up/pull", removed: true },
  ]);
  assert.deepEqual(setUpWrites({}, "2026-11-29"), []);
});
