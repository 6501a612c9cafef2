import assert from "node:assert/strict";
import { test } from "node:test";
import { Heights } from "../src/rules/heights.ts";

const keys = (n: number) => Array.from({ length: n }, (_, i) => `row-${i}`);

test("a list of 10,000 guesses what it has not drawn", () => {
  const heights = new Heights(100);
  heights.lay(keys(10_000));
  assert.equal(heights.before(10_000), 1_000_000);
  assert.deepEqual(heights.within(0, 800), [0, 9]);
  assert.deepEqual(heights.within(500_000, 500_800), [4999, 5009]);
});

test("a measured height moves all that stand below it, once", () => {
  const heights = new Heights(100);
  heights.lay(keys(3));
  assert.equal(heights.measure("row-0", 250), true);
  assert.equal(heights.measure("row-0", 250.4), false);
  assert.deepEqual([0, 1, 2, 3].map((at) => heights.before(at)), [0, 250, 350, 450]);
  assert.equal(heights.after(1, 3), 200);
  heights.forget();
  assert.equal(heights.before(3), 300);
});

test("heights follow their keys when the list is filtered", () => {
  const heights = new Heights(100);
  heights.lay(["a", "b", "c"]);
  heights.measure("c", 40);
  heights.lay(["c"]);
  assert.equal(heights.before(1), 40);
});

test("whatever is asked, what is drawn covers it and at least one item", () => {
  const heights = new Heights(50);
  heights.lay(keys(20));
  for (const [top, bottom] of [[-5000, -4000], [0, 0], [990, 5000], [5000, 6000]] as const) {
    const [from, to] = heights.within(top, bottom);
    assert.ok(from >= 0 && to <= 20 && to > from, `${top}..${bottom}: ${from}..${to}`);
  }
  assert.deepEqual(new Heights(50).within(0, 100), [0, 0]);
});
