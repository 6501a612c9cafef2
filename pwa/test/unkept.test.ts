import assert from "node:assert/strict";
import { test } from "node:test";
import { setUnkept, unkeptAt } from "../src/keep/unkept.ts";

test("what could not be kept is remembered by its place until it is kept or given up", () => {
  const kept = new Map<string, string>();
  const storage = { getItem: (name: string) => kept.get(name) ?? null, setItem: (name: string, text: string) => void kept.set(name, text), removeItem: (name: string) => void kept.delete(name) };
  Object.defineProperty(globalThis, "localStorage", { value: storage, configurable: true });
  setUnkept("rig/a/towed/curb", "heavy");
  setUnkept("rig/b/towed/curb", "light");
  assert.equal(unkeptAt("rig/a/towed/curb"), "heavy");
  setUnkept("rig/a/towed/curb", "");
  assert.equal(unkeptAt("rig/a/towed/curb"), "", "an emptied field that could not be emptied");
  setUnkept("rig/a/towed/curb", undefined);
  setUnkept("rig/b/towed/curb", undefined);
  assert.equal(unkeptAt("rig/a/towed/curb"), undefined);
  assert.equal(kept.size, 0);
  for (let n = 0; n < 150; n++) setUnkept(`rig/${n}/name`, "x");
  assert.equal(unkeptAt("rig/0/name"), undefined, "the oldest give way");
  assert.equal(unkeptAt("rig/149/name"), "x");
  Object.defineProperty(globalThis, "localStorage", { get: () => { throw new Error("refused"); }, configurable: true });
  setUnkept("rig/a/name", "x");
  assert.equal(unkeptAt("rig/a/name"), undefined, "refused storage breaks nothing");
});
