// The Rig screen has a field for every leaf of the contract's Rig, or says why not.

import assert from "node:assert/strict";
import { test } from "node:test";
import { NAME, SECTIONS } from "../.test/src/rig/fields.js";
import { helpOf, labelOf } from "../.test/src/rig/field-words.js";
import { leavesOf } from "./schema.mjs";

/** Leaves without a field, each with the reason. */
const NO_FIELD = {
  "/coupling/parts/-/order": "written by Earlier and Later",
  "/coupling/cables/-/order": "written by Earlier and Later",
  "/manual/steps/-/order": "written by Earlier and Later",
  "/brake_unit/set_up/-/passed": "answered by the id of a test, where brakes/choice lists the tests of this unit",
  "/brake_unit/set_up/-/on": "answered by the id of a test, where brakes/choice lists the tests of this unit",
  "/permission/page_photos/-/on": "written with the photo",
  "/measured/-/field": "written by lamps/survey",
  "/measured/-/number": "written by lamps/survey",
  "/measured/-/word": "written by lamps/survey",
  "/measured/-/yes": "written by lamps/survey",
  "/measured/-/on": "written by lamps/survey",
  "/measured/-/record": "written by lamps/survey",
};

/** The kinds of field that take a leaf of each kind. */
const TAKES = { text: ["text", "long", "date"], length: ["length", "distance"] };

const fields = new Map([NAME, ...SECTIONS.flatMap(({ fields, entries = [], after = [] }) => [...fields, ...entries.flatMap((one) => one.fields), ...after])].map((field) => [field.name, field]));
const leaves = leavesOf("Rig");

test("every leaf of the rig has a field, or a reason why not", () => {
  assert.ok(leaves.length > 100, `${leaves.length} leaves`);
  assert.deepEqual(leaves.map(({ at }) => at).filter((at) => !fields.has(at) && !NO_FIELD[at]), []);
  assert.deepEqual(Object.keys(NO_FIELD).filter((at) => fields.has(at) || !leaves.some((leaf) => leaf.at === at)), [], "reasons that no longer hold");
});

test("every field is a leaf of the rig, takes its kind, and offers its values", () => {
  const known = new Map(leaves.map((leaf) => [leaf.at, leaf]));
  for (const [name, field] of fields) {
    const leaf = known.get(name);
    assert.ok(leaf, name);
    assert.ok((TAKES[leaf.kind] ?? [leaf.kind]).includes(field.kind), `${name}: ${field.kind} for ${leaf.kind}`);
    assert.deepEqual([...(field.choices ?? [])].sort(), [...(leaf.values ?? [])].sort(), name);
  }
});

test("every electrical field says where it is read, and no two of a section are called the same under one heading", () => {
  for (const { id, fields: own } of SECTIONS.filter(({ id }) => id === "wiring")) {
    own.forEach((field) => assert.ok(helpOf(field), `${id}${field.name}`));
    assert.equal(new Set(own.map(labelOf)).size, own.length);
  }
});

test("the leaves are read as the contract has them", () => {
  const at = (pointer) => leaves.find((leaf) => leaf.at === pointer);
  assert.equal(at("/towed/actual/weight")?.kind, "mass");
  assert.deepEqual(at("/coupling/parts/-/rating_kind")?.values, ["working_load", "breaking_strength"]);
  assert.equal(at("/harness/feeds/tail")?.kind, "yes_no");
});
