import assert from "node:assert/strict";
import { test } from "node:test";
import { A_BREAK, mustAsk, wasAway, type Absence } from "../src/walk/absence.ts";
import { phonesOf, whoSays } from "../src/walk/phones.ts";
import type { Stand } from "../src/engine/types.ts";
import type { Walk } from "../src/walk/walk.ts";

const walk: Walk = { name: "Hook-up: Mine", list: "hook_up", rig: "mine", rig_name: "Mine", rig_text: "{}" };
const MINUTE = 60_000;

/** Ticks of another phone at these minutes. */
function ticksOf(device: string, ...minutes: number[]): Walk {
  return { ...walk, ticks: Object.fromEntries(minutes.map((minute, at) => [`s${at}`, { [device]: { done: true, at: minute * MINUTE } }])) };
}

function away(minutes: number, said = false): Absence {
  return { walk: "w", left_at: 100 * MINUTE, back_at: (100 + minutes) * MINUTE, said };
}

test("an absence counts once something is ticked, until it is finished, and from five minutes on", () => {
  const begun: Walk = { ...walk, ticks: { a: { d: { done: true } } } };
  assert.equal(wasAway(begun, 0, A_BREAK), true);
  assert.equal(wasAway(begun, 0, A_BREAK - 1), false);
  assert.equal(wasAway(walk, 0, A_BREAK), false);
  assert.equal(wasAway({ ...begun, finished: 1 }, 0, A_BREAK), false);
});

test("a phone is asked about its own absence, not where another went on all the time", () => {
  assert.equal(mustAsk(walk, "me", away(10)), true, "nobody went on");
  assert.equal(mustAsk(ticksOf("me", 103, 107), "me", away(10)), true, "one's own ticks prove nothing");
  assert.equal(mustAsk(ticksOf("other", 103, 107), "me", away(10)), false, "never alone for five minutes");
  assert.equal(mustAsk(ticksOf("other", 103), "me", away(10)), true, "alone from the third minute on");
  assert.equal(mustAsk(ticksOf("other", 106), "me", away(10)), true, "alone to the sixth minute");
  assert.equal(mustAsk(ticksOf("other", 90, 200), "me", away(10)), true, "what was before and after does not count");
});

test("who says that they leave is asked however short it was, unless another went on", () => {
  assert.equal(mustAsk(walk, "me", away(1, true)), true);
  assert.equal(mustAsk(ticksOf("other", 100.5), "me", away(1, true)), false);
  assert.equal(mustAsk(walk, "me", { walk: "w", left_at: 5, said: true }), false, "not while it lasts");
});

test("a time that is answered for already is not asked about twice", () => {
  const answered: Walk = { ...walk, breaks: { b: { left_at: 101 * MINUTE, back_at: 118 * MINUTE, left: true, again: { arms: { other: { done: true, at: 119 * MINUTE } } } } } };
  assert.equal(mustAsk(answered, "me", away(20)), false);
  assert.equal(mustAsk(answered, "me", away(30)), true, "but what came after is");
  const open: Walk = { ...walk, breaks: { b: { left_at: 101 * MINUTE, back_at: 118 * MINUTE } } };
  assert.equal(mustAsk(open, "me", away(20)), true, "a break without an answer answers nothing");
});

test("phones have names, or are told apart", () => {
  const ticks = { a: { me: { done: true, at: 1 }, x1: { done: true, at: 1 } }, b: { x2: { done: false, at: 1 } } };
  assert.deepEqual([...phonesOf({ ...walk, ticks }, "me")], [["me", "this phone"], ["x1", "another phone (1)"], ["x2", "another phone (2)"]]);
  assert.deepEqual([...phonesOf({ ...walk, ticks, phones: { x1: "Ann" } }, "me")], [["me", "this phone"], ["x1", "Ann"], ["x2", "another phone"]]);
});

test("a step says who says what of it", () => {
  const at = new Date().setHours(8, 12, 0, 0);
  const said = { id: "a", sentence: "a" };
  const stand: Stand = { state: "disagree", done: ["me"], not_done: ["x1"], step: { id: "a", place: "cab", holding: false, hold: "none", after: [], from_manual: false, do: said, basis: [] } };
  assert.equal(whoSays({ ...walk, ticks: { a: { me: { done: true, at }, x1: { done: false, at } } } }, stand, "me"), "Done: this phone 08:12. Not done: another phone 08:12.");
});
