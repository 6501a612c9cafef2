import assert from "node:assert/strict";
import { test } from "node:test";
import { askReadiness, recordsOf } from "../src/departure/records.ts";
import type { TestRecord } from "../src/engine/types.ts";
import { startEngine } from "./engine-process.ts";

const kept = (id: string, document: unknown) => ({ doc: `test/${id}`, document: document as never });
const PASSED: TestRecord = {
  kind: "light_test", rig: "a", at: "2026-05-02T08:12:00-06:00", result: "passed", hangs_on: [{ field: "/harness/approach", how: "entered", word: "steering_diodes" }],
};

test("a rig's own tests go along, newest first by the clock, without what was seen", () => {
  const earlier = { ...PASSED, at: "2026-05-02T15:00:00+02:00", pictures: [{ step: "tail", lamp: "tail_left" }] };
  const all = recordsOf([kept("1", earlier), kept("2", PASSED), kept("3", { ...PASSED, rig: "b" }), kept("4", { rig: "a", kind: "lamps" })], "a");
  assert.deepEqual(all.map(({ at }) => at), [PASSED.at, earlier.at, undefined]);
  assert.equal(all[1]?.pictures, undefined);
});

test("a record of another version is left out, and what stands counts", async () => {
  const engine = startEngine();
  try {
    const question = (approach: string) => (records: TestRecord[]) =>
      JSON.stringify({ rig: { harness: { approach } }, trip: { route: ["US-UT"] }, test_records: records });
    const records = [{ kind: "lamps", rig: "a" } as never, PASSED];
    const says = async (approach: string) => {
      const outcome = await askReadiness(engine, question(approach), records);
      assert.ok(outcome.ok);
      return outcome.value.findings.find(({ id }) => id === "record.light-test");
    };
    assert.equal((await says("steering_diodes"))?.verdict, "ok");
    const changed = await says("separate_bulbs");
    assert.equal(changed?.verdict, "find_out");
    assert.deepEqual(changed?.fields, ["/harness/approach"]);
    const refused = await askReadiness(engine, (taken) => JSON.stringify({ rig: {}, trip: {}, test_records: taken }), records);
    assert.ok(!refused.ok, "what else is wrong is still said");
  } finally {
    engine.end();
  }
});
