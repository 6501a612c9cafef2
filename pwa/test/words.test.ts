import assert from "node:assert/strict";
import { test } from "node:test";
import { readdirSync, readFileSync } from "node:fs";
import { showDay, showNumber, showParam } from "../src/words/format.ts";
import { pointerInWords } from "../src/words/pointer.ts";
import { pieces } from "../src/words/sentence.ts";

test("numbers", () => {
  const cases: [number, string][] = [
    [0, "0"], [4300, "4,300"], [1655.5, "1,655.5"], [0.125, "0.13"], [-12.5, "−12.5"], [-0.001, "0"], [1234567.891, "1,234,567.89"],
  ];
  for (const [value, want] of cases) {
    assert.equal(showNumber(value), want);
  }
});

test("quantities keep the unit they were entered in", () => {
  assert.deepEqual(showParam({ mass: { lb: 4300 } }), { number: "4,300", unit: "lb", tight: false });
  assert.deepEqual(showParam({ temperature: { f: -4 } }), { number: "−4", unit: "°F", tight: false });
  assert.deepEqual(showParam({ speed: { km_h: 90 } }), { number: "90", unit: "km/h", tight: false });
  assert.deepEqual(showParam({ number: 3.5, unit: "deg" }), { number: "3.5", unit: "°", tight: true });
  assert.deepEqual(showParam({ number: 2 }), { number: "2", unit: "", tight: false });
  assert.equal(showParam({ text: "as typed" }), undefined);
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
  assert.equal(pointerInWords("/towed/front_axle/rating"), "towed car › front axle › rating");
  assert.equal(pointerInWords("/towing/gvwr"), "motorhome › GVWR");
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
