import assert from "node:assert/strict";
import { test } from "node:test";
import { readdirSync, readFileSync } from "node:fs";
import { plainly, showDay, showNumber, showParam } from "../src/words/format.ts";
import { pointerInWords } from "../src/words/pointer.ts";
import { currentReader, setReader } from "../src/words/reader.ts";
import { pieces } from "../src/words/sentence.ts";
import { converted, type Amount } from "../src/words/units.ts";

test("numbers", () => {
  const cases: [number, string][] = [
    [0, "0"], [4300, "4,300"], [1655.5, "1,655.5"], [0.125, "0.13"], [-12.5, "−12.5"], [-0.001, "0"], [1234567.891, "1,234,567.89"],
  ];
  for (const [value, want] of cases) {
    assert.equal(showNumber(value), want);
  }
});

test("a quantity in the reader's units is shown as it was given", () => {
  assert.deepEqual(showParam({ mass: { lb: 4300 } }), { number: "4,300", unit: "lb", tight: false });
  assert.deepEqual(showParam({ temperature: { f: -4 } }), { number: "−4", unit: "°F", tight: false });
  assert.deepEqual(showParam({ number: 3.5, unit: "deg" }), { number: "3.5", unit: "°", tight: true });
  assert.deepEqual(showParam({ number: 2 }), { number: "2", unit: "", tight: false });
  assert.equal(showParam({ text: "as typed" }), undefined);
});

// Factors: NIST Special Publication 811 (2008), appendix B.8: 1 lb = 0.453 592 37 kg, 1 in = 2.54 cm, 1 ft = 0.3048 m,
// 1 mi = 1.609 344 km, all exact; t/°C = (t/°F − 32)/1.8.
test("a quantity of the other system is converted, no finer than it can be read", () => {
  const cases: [Amount, Amount][] = [
    [{ value: 4300, unit: "lb" }, { value: 1950, unit: "kg" }], [{ value: 26000, unit: "lb" }, { value: 11793, unit: "kg" }],
    [{ value: 2.5, unit: "lb" }, { value: 1.1, unit: "kg" }], [{ value: -300, unit: "lb" }, { value: -136, unit: "kg" }],
    [{ value: 18.5, unit: "in" }, { value: 47, unit: "cm" }], [{ value: 80, unit: "in" }, { value: 203.2, unit: "cm" }],
    [{ value: 186, unit: "in" }, { value: 4.72, unit: "m" }], [{ value: 65, unit: "ft" }, { value: 19.81, unit: "m" }],
    [{ value: 200, unit: "mi" }, { value: 322, unit: "km" }], [{ value: 65, unit: "mph" }, { value: 105, unit: "km_h" }],
    [{ value: -40, unit: "f" }, { value: -40, unit: "c" }], [{ value: 0, unit: "f" }, { value: -18, unit: "c" }], [{ value: 212, unit: "f" }, { value: 100, unit: "c" }],
  ];
  for (const [given, want] of cases) {
    assert.deepEqual(converted(given, "metric"), want, JSON.stringify(given));
    assert.equal(converted(given, "us"), undefined);
    assert.equal(converted(want, "metric"), undefined);
  }
  const back: [Amount, Amount][] = [
    [{ value: 1950, unit: "kg" }, { value: 4299, unit: "lb" }], [{ value: 47, unit: "cm" }, { value: 18.5, unit: "in" }], [{ value: 470, unit: "mm" }, { value: 18.5, unit: "in" }],
    [{ value: 20, unit: "m" }, { value: 65.6, unit: "ft" }], [{ value: 300, unit: "km" }, { value: 186, unit: "mi" }], [{ value: 90, unit: "km_h" }, { value: 56, unit: "mph" }],
    [{ value: 37, unit: "c" }, { value: 99, unit: "f" }],
  ];
  for (const [given, want] of back) {
    assert.deepEqual(converted(given, "us"), want, JSON.stringify(given));
  }
  for (const unit of ["", "h", "min", "deg", "pct", "V", "A", "Ah", "ohm"]) {
    assert.equal(converted({ value: 1, unit }, "metric"), undefined, unit);
  }
});

test("what is shown follows the reader and says what was given where law asks", () => {
  const before = currentReader().units;
  setReader({ units: "metric" });
  const shown = showParam({ mass: { lb: 3000 } });
  assert.deepEqual(shown, { number: "1,361", unit: "kg", tight: false, given: "3,000 lb" });
  assert.deepEqual(shown && [plainly(shown), plainly(shown, true)], ["1,361 kg", "1,361 kg (3,000 lb)"]);
  assert.deepEqual(showParam({ number: 60.04, unit: "in" }), { number: "152.5", unit: "cm", tight: false, given: "60.04 in" });
  assert.deepEqual(showParam({ mass: { kg: 1950.5 } }), { number: "1,950.5", unit: "kg", tight: false });
  assert.deepEqual(pieces({ id: "a", params: { cold: { temperature: { f: 14 } } }, sentence: "" }, { a: "At {cold}." }), ["At ", { number: "−10", unit: "°C", tight: false, given: "14 °F" }, "."]);
  setReader({ units: before });
});

test("a sentence is cut into words and values", () => {
  const catalogue = { "a.over": "The car weighs {actual}: {over} more than {what}.", "a.gvwr": "its GVWR" };
  const text = {
    id: "a.over",
    params: { actual: { mass: { lb: 4300 } }, over: { mass: { lb: 300 } }, what: { word: "a.gvwr" } },
    sentence: "The car weighs 4,300 lb: 300 lb more than its GVWR.",
  };
  assert.deepEqual(pieces(text, catalogue), [
    "The car weighs ", { number: "4,300", unit: "lb", tight: false }, ": ", { number: "300", unit: "lb", tight: false }, " more than ", "its GVWR", ".",
  ]);
});

test("without its id, or without a value, the sentence that came is shown", () => {
  const text = { id: "new.id", sentence: "A newer engine says this." };
  assert.deepEqual(pieces(text, {}), [text.sentence]);
  assert.deepEqual(pieces(text, { "new.id": "Wants {something}." }), [text.sentence]);
});

test("a pointer in words", () => {
  assert.equal(pointerInWords("/towed/front_axle/rating"), "towed car › Front axle, rating (GAWR)");
  assert.equal(pointerInWords("/rig/towing/gvwr"), "motorhome › Most it may weigh (GVWR)");
  assert.equal(pointerInWords("/coupling/parts/0192f0c1/rating"), "coupling chain › Rating");
  assert.equal(pointerInWords("/towed/front_axle"), "towed car › front axle");
  assert.equal(pointerInWords("/trip/coldest"), "trip › Coldest on the way");
  assert.equal(pointerInWords("/a~1b/c~0d"), "a/b › c~d");
  assert.equal(pointerInWords(""), "");
});

test("a day", () => {
  assert.equal(showDay("2026-11-03"), "3 Nov 2026");
  assert.equal(showDay(""), "no date");
});

// The core and the app read the same files: what one can render, so can the other.
test("the catalogue holds plain sentences with named values", () => {
  const folder = new URL("../../../api/finding/catalogue/en/", import.meta.url);
  for (const name of readdirSync(folder)) {
    const part = JSON.parse(readFileSync(new URL(name, folder), "utf8")) as Record<string, unknown>;
    for (const [id, sentence] of Object.entries(part)) {
      assert.equal(typeof sentence, "string", id);
      assert.match((sentence as string).replace(/\{[a-z][a-z0-9_]*\}/g, ""), /^[^{}]*$/, id);
    }
  }
});
