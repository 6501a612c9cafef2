// Runs the built engine under Node, outside any browser: what the phone would
// answer, for tests to compare with the other faces.
//
//	node pwa/test/run-engine.mjs < asks.jsonl > answers.jsonl
//
// Each line of standard input is one call, {"operation": "readiness", "input":
// "<JSON text>"}, or with "input_base64" in place of "input" where the bytes
// need not be text; a call of the journal names it as "edit" in place of
// "operation". Each gives one line, in order: {"ok": true, "body": "<JSON
// text>"}, the body byte for byte as the engine gave it. The engine is the one
// that `go generate ./pwa` built; without it the program ends with status 1.

import * as fs from "node:fs";
import { createInterface } from "node:readline";

const generated = new URL("../src/generated/", import.meta.url);
await import(new URL("wasm_exec.js", generated)); // defines Go, the loader of this compiler

const go = new globalThis.Go();
const { instance } = await WebAssembly.instantiate(fs.readFileSync(new URL("engine.wasm", generated)), go.importObject);
go.run(instance);

for await (const line of createInterface({ input: process.stdin })) {
  const call = JSON.parse(line);
  const bytes = call.input === undefined ? Buffer.from(call.input_base64, "base64") : Buffer.from(call.input, "utf8");
  const { ok, body } = call.edit === undefined
    ? globalThis.pintailEngine.run(call.operation, new Uint8Array(bytes))
    : globalThis.pintailEngine.edit(call.edit, new Uint8Array(bytes));
  process.stdout.write(JSON.stringify({ ok, body }) + "\n");
}
// The engine itself waits for ever; what is still on its way into the pipe goes first.
process.stdout.write("", () => process.exit(0));
