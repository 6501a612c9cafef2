import assert from "node:assert/strict";
import * as fs from "node:fs";
import { test } from "node:test";
import { mergeData } from "../merge-data.mjs";

/** A module with one exported page of memory and the data segments given. */
function moduleWith(...segments) {
  const data = segments.flatMap(([address, bytes]) => [0, 0x41, ...address, 0x0b, bytes.length, ...bytes]);
  return Buffer.from([
    0, 0x61, 0x73, 0x6d, 1, 0, 0, 0,
    5, 3, 1, 0, 1, // one memory of one page
    7, 5, 1, 1, 0x6d, 2, 0, // exported as m
    11, data.length + 1, segments.length, ...data,
  ]);
}

function memoryOf(module) {
  return new Uint8Array(new WebAssembly.Instance(new WebAssembly.Module(module)).exports.m.buffer);
}

test("memory begins the same, in fewer segments", () => {
  // Addresses 64 and 32,768 need care as signed LEB128.
  const module = moduleWith([[0xc0, 0], [1, 2, 3]], [[4], [9]], [[0xc8, 0], [7]], [[0x80, 0x80, 2], [5, 6]]);
  const small = mergeData(module);
  assert.deepEqual(memoryOf(small), memoryOf(module));
  assert.equal(memoryOf(small)[32768], 5);
  const sections = small.subarray(8 + 5 + 7);
  assert.equal(sections[2], 2, "the first three are one, the far one stays apart");
});

test("what is not understood is refused", () => {
  assert.throws(() => mergeData(moduleWith([[4], [1, 2]], [[5], [3]])), /overlap/);
  const passive = moduleWith([[4], [1]]);
  passive[8 + 5 + 7 + 3] = 1;
  assert.throws(() => mergeData(passive), /constant address/);
});

test("a merged module stays as it is", () => {
  const module = mergeData(moduleWith([[4], [1]], [[8], [2]]));
  assert.deepEqual(mergeData(module), module);
});

test("the built engine is merged", () => {
  const engine = fs.readFileSync(new URL("../src/generated/engine.wasm", import.meta.url));
  assert.ok(mergeData(engine).equals(engine));
});
