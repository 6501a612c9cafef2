import assert from "node:assert/strict";
import { after, test } from "node:test";
import type { LightTestReport } from "../src/engine/types.ts";
import { colourOf, rearLampsOf, unknownMake } from "../src/lamps/look.ts";
import { layOut } from "../src/lamps/rear-layout.ts";
import { startEngine } from "./engine-process.ts";

const engine = startEngine();
after(() => engine.end());

const tapped = { circuits: { supply_v: 13.8, tail: { tapped: true }, left: { tapped: true }, right: { tapped: true }, stop: { tapped: true } } };
const RIGS: [string, object][] = [
  ["nothing known", {}],
  ["diodes", { towed: { rear_lamps: "combined" }, harness: { signals: "combined", approach: "steering_diodes" } }],
  ["own bulbs on a tapped motorhome", { towing: tapped, towed: { rear_lamps: "combined" }, harness: { signals: "combined", approach: "separate_bulbs", lamps: { plate: true } } }],
  ["own bulbs beside amber turn lamps", { towing: tapped, towed: { rear_lamps: "separate_amber" }, harness: { signals: "separate", approach: "separate_bulbs", lamps: { plate: true } } }],
  ["separate, amber", { towing: tapped, towed: { rear_lamps: "separate_amber" }, harness: { signals: "separate", approach: "steering_diodes" } }],
  ["separate, red", { towed: { rear_lamps: "separate_red" }, harness: { signals: "separate", approach: "relay_bypass" } }],
  ["lamp bar on a car with amber turn lamps", { towed: { rear_lamps: "separate_amber" }, harness: { signals: "combined", approach: "removable_lamps", lamps: { clearance: { left: true, right: true }, plate: true } } }],
];

async function testOf(rig: object): Promise<LightTestReport> {
  const outcome = await engine.run<LightTestReport>("lamps/test", JSON.stringify({ rig }));
  assert.ok(outcome.ok, outcome.text);
  return outcome.value;
}

for (const [name, rig] of RIGS) {
  test(`the rear view of a rig: ${name}`, async () => {
    const report = await testOf(rig);
    for (const { step, expect } of report.steps) {
      const lamps = expect[0]?.lamps ?? [];
      const { width, height, placed, elsewhere } = layOut(lamps);
      // Every lamp is drawn, or named as not seen from behind.
      assert.deepEqual([...placed.map(({ lamp }) => lamp.lamp), ...elsewhere.map(({ lamp }) => lamp)].sort(), lamps.map(({ lamp }) => lamp).sort(), step);
      assert.ok(elsewhere.every(({ lens }) => lens === "car_park"), `${step}: ${elsewhere.map(({ lens }) => lens)}`);
      for (const one of placed) {
        assert.ok(one.x >= 0 && one.x + one.width <= width && one.y >= 0 && one.y + one.height <= height, `${step}: ${one.lamp.lamp} is in the picture`);
        for (const other of placed) {
          const apart = one.x + one.width <= other.x || other.x + other.width <= one.x || one.y + one.height <= other.y || other.y + other.height <= one.y;
          assert.ok(one === other || apart, `${step}: ${one.lamp.lamp} covers ${other.lamp.lamp}`);
        }
        const side = /_(left|right)$/.exec(one.lamp.lamp)?.[1];
        if (side) assert.equal(one.x + one.width / 2 < width / 2, side === "left", `${one.lamp.lamp} is on its side`);
      }
    }
  });
}

test("amber is drawn only where the rig says so", async () => {
  for (const [name, rig] of RIGS) {
    const report = await testOf(rig);
    const rearLamps = rearLampsOf(report);
    const amber = report.steps.flatMap(({ expect }) => expect.flatMap(({ lamps }) => lamps)).filter((lamp) => colourOf(lamp, rearLamps) === "amber");
    assert.equal(amber.length > 0, name === "separate, amber" || name === "own bulbs beside amber turn lamps", name);
    assert.ok(amber.every(({ job }) => job === "turn"));
  }
});

test("what decides the picture and nobody entered is named", async () => {
  assert.deepEqual(unknownMake(await testOf({})), ["/harness/signals", "/harness/approach", "/towed/rear_lamps"]);
  assert.deepEqual(unknownMake(await testOf(RIGS[1]?.[1] ?? {})), []);
});
