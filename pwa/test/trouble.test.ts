import assert from "node:assert/strict";
import { test } from "node:test";
import type { Failure, Text } from "../src/engine/types.ts";
import { findFailures, indexOf } from "../src/trouble/find.ts";

const text = (sentence: string): Text => ({ id: sentence, sentence });

function failure(id: string, name: string, signs: string, ...steps: string[]): Failure {
  return {
    id, symptoms: [], halt: "now", go_on: "no", never: [], basis: [], name: text(name), signs: text(signs), cause: text(""),
    stand: text(""), condition: text(""), do: steps.map(text),
  };
}

const failures = [
  failure("fire", "Fire at the car", "Flames or thick smoke at a wheel."),
  failure("clip", "A clip is missing", "A pin has no clip, or it rattles."),
  failure("drag", "The brakes drag", "Hot hubs, a smell.", "Look for a missing clip at the pedal."),
];
const find = (typed: string) => findFailures(typed, failures, indexOf(failures, ({ sentence }) => sentence)).map(({ id }) => id);

test("a typed word finds the failures that speak of it", () => {
  const cases: [string, string[]][] = [
    ["smo", ["fire"]], ["CLIP", ["clip", "drag"]], ["clip missing", ["clip", "drag"]], ["hot hub", ["drag"]],
    ["ire", []], // no word begins so
    ["hot, hub!", ["drag"]], ["", []], ["  ", []], ["zebra", []], ["clip zebra", []],
  ];
  for (const [typed, want] of cases) {
    assert.deepEqual(find(typed), want, typed);
  }
});
