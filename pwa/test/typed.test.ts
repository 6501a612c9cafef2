import assert from "node:assert/strict";
import { test } from "node:test";
import { readNumber } from "../src/words/typed.ts";

const read = (typed: string, unit: string) => {
  const got = readNumber(typed, unit, -1000, 20_000);
  return got.ok ? got.value : undefined;
};

test("numbers as people write them", () => {
  const cases: [string, string, number][] = [
    ["20", "f", 20], [" 20 °F ", "f", 20], ["20f", "f", 20], ["-5", "c", -5], ["−5°C", "c", -5], ["minus 5", "c", -5], ["+3", "c", 3],
    ["6.5", "h", 6.5], ["6,5", "h", 6.5], ["6½", "h", 6.5], ["6 1/2 hours", "h", 6.5], ["½", "h", 0.5], ["1/4", "h", 0.25],
    ["6:30", "h", 6.5], ["6h30", "h", 6.5], ["6 h 30 min", "h", 6.5], ["45 min", "h", 0.75], ["10 minutes", "h", 0.167],
    ["6", "pct", 6], ["6 %", "pct", 6], ["6 percent", "pct", 6], [".5", "pct", 0.5],
    ["1,250", "mi", 1250], ["1,250.5 miles", "mi", 1250.5], ["1250", "mi", 1250], ["60 mph", "mph", 60], ["95 km/h", "km_h", 95],
  ];
  for (const [typed, unit, want] of cases) {
    assert.equal(read(typed, unit), want, typed);
  }
});

test("what is no number of this field is refused, never guessed", () => {
  const cases: [string, string][] = [
    ["twenty", "f"], ["20 C", "f"], ["20 F", "c"], ["5 ft", "mi"], ["1,2,3", "mi"], ["12,3456", "mi"], ["1.2.3", "mi"], ["6:75", "h"],
    ["6..5", "h"], ["6.5 1/2", "h"], ["1/0", "h"], ["-", "c"], ["", "c"], ["--5", "c"], ["1e3", "mi"], ["Infinity", "mi"], ["0x10", "mi"],
    ["5 6", "mi"], ["½½", "h"], ["6:30", "mi"],
  ];
  for (const [typed, unit] of cases) {
    assert.equal(read(typed, unit), undefined, typed);
  }
});

test("the bounds are said", () => {
  assert.deepEqual(readNumber("25", "h", 0, 24), { ok: false, why: "Want 0 to 24." });
  assert.deepEqual(readNumber("-80", "f", -76, 140), { ok: false, why: "Want −76 to 140." });
  assert.deepEqual(readNumber("24", "h", 0, 24), { ok: true, value: 24 });
});
