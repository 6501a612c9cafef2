import assert from "node:assert/strict";
import { test } from "node:test";
import { readdirSync, readFileSync } from "node:fs";
import { choiceOf, helpOf, labelOf } from "../src/rig/field-words.ts";
import { NAME, SECTIONS, type Field } from "../src/rig/fields.ts";
import en from "../src/words/en.json" with { type: "json" };
import { currentReader, setReader } from "../src/words/reader.ts";
import { t, textOf } from "../src/words/text.ts";

const texts: Record<string, string> = en;
const fields: Field[] = [NAME, ...SECTIONS.flatMap(({ fields, entries = [], after = [] }) => [...fields, ...entries.flatMap((one) => one.fields), ...after])];

test("a text with its values", () => {
  assert.equal(t("rig.missing_decide", { n: 3, decide: 1 }), "3 missing, 1 must be known");
  assert.equal(t("route.added", { place: "Oregon" }), "Oregon added as number {n}.", "a value that is not given is seen");
  assert.equal(textOf("no.such"), undefined);
});

test("a language that is not known gives way to English", () => {
  const before = currentReader();
  setReader({ language: "en" });
  assert.equal(t("undo"), "Undo");
  setReader(before);
});

test("every field of the rig, and every choice, has its words", () => {
  for (const field of fields) {
    assert.ok(textOf(`rig${field.name}`), field.name);
    for (const choice of field.set === "/bulb" ? [] : (field.choices ?? [])) { // a bulb's designation is its name everywhere
      assert.notEqual(choiceOf(field, choice), choice, `${field.name}=${choice}`);
    }
  }
  for (const { id, entries = [] } of SECTIONS) {
    assert.ok(textOf(`section.${id}`), id);
    entries.forEach(({ at }) => assert.ok(textOf(`entry${at}`) && textOf(`entry${at}+`), at));
  }
  assert.equal(labelOf(NAME), "What you call this rig");
  assert.equal(helpOf(NAME), undefined);
});

test("no text is left that nothing shows", () => {
  const source = filesUnder("../../src/").map((file) => readFileSync(file, "utf8")).join("\n");
  // Ids that are put together, as `verdict.${verdict}`, are used where their beginning stands so.
  const beginnings = [...source.matchAll(/`([a-z_.]+\.|entry)\$\{/g)].map(([, beginning = ""]) => beginning);
  const names = new Set(fields.flatMap(({ name, set = name, choices = [] }) => [`rig${name}`, `rig${name}?`, `rig${name}#`, ...choices.map((choice) => `choice${set}=${choice}`)]));
  const unused = Object.keys(texts).filter((id) => !names.has(id) && !source.includes(`"${id}"`) && !beginnings.some((beginning) => id.startsWith(beginning)));
  assert.deepEqual(unused, []);
});

test("texts are plain, with named values", () => {
  for (const [id, text] of Object.entries(texts)) {
    assert.match(text.replace(/\{[a-z_]+\}/g, ""), /^[^{}<>]*$/, id);
  }
});

function filesUnder(folder: string): URL[] {
  const root = new URL(folder, import.meta.url);
  return readdirSync(root, { recursive: true, encoding: "utf8" }).filter((name) => /\.tsx?$/.test(name)).map((name) => new URL(name, root));
}
