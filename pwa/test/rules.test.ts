import assert from "node:assert/strict";
import { test } from "node:test";
import type { RuleChange, RuleRow, RuleRowAt } from "../src/engine/types.ts";
import { apartIn, seenIn } from "../src/rules/apart.ts";
import { changesIn, keeping, usable } from "../src/rules/changes.ts";
import { EXAMPLES, WEIGHTS } from "../src/rules/condition-examples.ts";
import { readSheet, sheetOf } from "../src/rules/sheet.ts";
import type { Change } from "../src/store/journal.ts";
import { startEngine } from "./engine-process.ts";

const ROW: RuleRow = { id: "US-VA.brakes.ours", jurisdiction: "US-VA", subject: "brakes", covers: "unclear", requirement: "Said to need brakes.", source_kind: "secondary", known: "low" };
const change = (row: RuleRow, more: Partial<RuleChange> = {}): RuleChange => ({ row: row.id, yours: row, by: "Desk", at: 1, reason: "why", ...more });

test("a cell comes back from a sheet as it was", () => {
  for (const note of ["plain", 'a "quoted", cell', "two\nlines", "=cmd|' /C calc'!A0", "-5", "'=x", "''", "é € 𐍈"]) {
    assert.deepEqual(readSheet(sheetOf({ id: "x", note })), [{ id: "x", note }]);
  }
  assert.equal(sheetOf({ id: "x", note: "" }), 'id\n"x"\n');
  assert.match(sheetOf({ note: "=1" }), /"'=1"/);
  assert.deepEqual(readSheet("a,b\r\n1,\r\n\r\n,2\r\n"), [{ a: "1", b: "" }, { a: "", b: "2" }]);
});

test("a route carries the changes of its own places only", () => {
  const other = { ...ROW, id: "US-UT.brakes.ours", jurisdiction: "US-UT" };
  assert.deepEqual(changesIn([change(ROW), change(other)], ["US-UT"]).map(({ row }) => row), ["US-UT.brakes.ours"]);
});

test("what the engine refuses is left out, and what it takes counts", async () => {
  const engine = startEngine();
  try {
    const kept = (one: RuleChange) => ({ doc: keeping(one).doc, document: { change: [one] } as never });
    const bad = change({ ...ROW, id: "US-VA.brakes.bad", known: "high" });
    const { all, leftOut } = await usable(engine, [kept(change(ROW)), kept(bad), { doc: "rule/US-VA.brakes.odd", document: { change: "yes" } }]);
    assert.deepEqual(all.map(({ row }) => row), [ROW.id]);
    assert.deepEqual(leftOut, ["US-VA.brakes.bad", "US-VA.brakes.odd"]);
    const rows = await engine.run<{ rows: RuleRowAt[] }>("rules/rows", JSON.stringify({ id: ROW.id, rule_changes: all }));
    assert.ok(rows.ok && rows.value.rows[0]?.standing === "added");
  } finally {
    engine.end();
  }
});

test("changes that did not know of each other are told apart, and a decision ends it", () => {
  const made = (by: string, at: number, device: string, seen: [string, number][] = []) => ({ by, at, device, seen });
  const history = (...newestFirst: ReturnType<typeof made>[]): Change[] => newestFirst.map(({ by, at, device, seen }, n) => ({
    entry: { id: `${at}-${by}`, doc: keeping(change(ROW)).doc, path: "/change", at: { wall: at, counter: 0 }, device, value: [change(ROW, { by, at, seen: seen.map(([who, when]) => ({ by: who, at: when })) })] as never },
    standing: n === 0 ? "current" : "superseded",
  }));
  const others = (past: Change[]) => apartIn(past).others.map(({ by }) => by);
  const first = made("Ann", 1, "a");
  assert.deepEqual(others([]), []);
  assert.deepEqual(others(history(first)), []);
  assert.deepEqual(others(history(made("Ben", 2, "b", [["Ann", 1]]), first)), [], "one after the other");
  assert.deepEqual(others(history(made("Ann", 2, "a"), first)), [], "a device knows its own");
  const both = history(made("Ben", 3, "b", [["Ann", 1]]), made("Cy", 2, "c", [["Ann", 1]]), first);
  assert.deepEqual(others(both), ["Cy"], "both over the first");
  assert.deepEqual(others(history(made("Ben", 3, "b", [["Ann", 2]]), made("Ann", 2, "a"), made("Cy", 1, "c"))), ["Cy"], "one that came late");
  assert.deepEqual(seenIn(apartIn(both)), [{ by: "Ben", at: 3 }, { by: "Cy", at: 2 }]);
  assert.deepEqual(others([...history(made("Di", 4, "a", [["Ben", 3], ["Cy", 2]])), ...both.map((one): Change => ({ ...one, standing: "superseded" }))]), [], "decided");
  assert.deepEqual(apartIn(both.map((one): Change => ({ ...one, standing: "hidden" }))), { counts: undefined, others: [] }, "removed");
});

test("every example of a condition is read as it is explained, and every weight is one", async () => {
  const engine = startEngine();
  try {
    const { jurisdiction, covers, requirement, source_kind, known } = ROW;
    const lines = [...EXAMPLES.map(([line]) => line), ...WEIGHTS.map((weight) => `${weight} over 1 lb`)];
    const sheets = lines.map((when, n) => sheetOf({ id: `US-VA.breakaway.x${n}`, jurisdiction, subject: "breakaway", covers, requirement, source_kind, known, when }));
    const text = sheets.map((sheet, n) => (n === 0 ? sheet : sheet.slice(sheet.indexOf("\n") + 1))).join("");
    const outcome = await engine.run<{ changes: RuleChange[]; problems: unknown[] }>("rules/import", JSON.stringify({ format: "csv", text, by: "Desk", at: 1, reason: "why" }));
    assert.ok(outcome.ok);
    assert.deepEqual(outcome.value.problems, []);
    EXAMPLES.forEach(([line, test], n) => assert.deepEqual(outcome.value.changes[n]?.yours?.when, test, line));
  } finally {
    engine.end();
  }
});
