import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { judgeRig } from "../src/departure/judge.ts";
import type { Outcome } from "../src/engine/client.ts";

/** The real engine, run under Node for each call. */
const engine = {
  async run<T>(operation: string, input: string | Uint8Array): Promise<Outcome<T>> {
    const runner = fileURLToPath(new URL("../../test/run-engine.mjs", import.meta.url));
    const line = JSON.stringify({ operation, input_base64: Buffer.from(input).toString("base64") });
    const { ok, body } = JSON.parse(spawnSync(process.execPath, [runner], { input: line, encoding: "utf8" }).stdout) as { ok: boolean; body: string };
    return ok ? { ok, value: JSON.parse(body), text: body } : { ok, problem: JSON.parse(body), text: body };
  },
};

const judge = (text: string | Uint8Array) => judgeRig(engine, typeof text === "string" ? new TextEncoder().encode(text) : text);

test("a rig is taken as it came", async () => {
  const text = '{ "name": "A", "towing": {"description": "M"}, "towed": {"description": "C", "curb": {"lb": 3000.0}} }';
  const judged = await judge(text);
  assert.ok(judged.ok);
  assert.equal(judged.rig, text);
});

test("a rig inside an input is taken out of it", async () => {
  const judged = await judge('{"rig": {"name": "B"}}');
  assert.ok(judged.ok);
  assert.equal(judged.rig, '{"name":"B"}');
});

test("what is wrong is said with its place", async () => {
  const cases: [string | Uint8Array, string, string][] = [
    ['{"towed": {"colour": "red"}}', "unknown_member", "/rig/towed/colour"],
    ['{"name": "a", "name": "b"}', "duplicate_member", "/rig/name"],
    ['{"rig": {"name": "a", "name": "b"}}', "duplicate_member", "/rig/name"],
    ['{"towed": {"curb": {"lb": -5}}}', "invalid_value", "/rig/towed/curb"],
    [new Uint8Array([0x7b, 0x22, 0x6e, 0x61, 0x6d, 0x65, 0x22, 0x3a, 0x22, 0xff, 0x22, 0x7d]), "invalid_utf8", "/rig/name"],
    ["not JSON", "malformed_json", "/rig"],
    ["", "malformed_json", "/rig"],
    ["[]", "wrong_type", "/rig"],
    ['{}, "name": 1', "unknown_member", "/name"],
    ['{"name": "a"}, "rig2": {}', "unknown_member", "/rig2"],
  ];
  for (const [text, code, pointer] of cases) {
    const judged = await judge(text);
    assert.ok(!judged.ok, String(text));
    assert.deepEqual([judged.problem.errors[0]?.code, judged.problem.errors[0]?.pointer], [code, pointer], String(text));
  }
});
