import assert from "node:assert/strict";
import { after, test } from "node:test";
import type { PlanReport } from "../src/engine/types.ts";
import { broken, layOut, type Layout } from "../src/rig/wiring-layout.ts";
import { startEngine } from "./engine-process.ts";

const engine = startEngine();
after(() => engine.end());

const rig = (harness: object, more: object = {}) => ({ towed: { rear_lamps: "combined" }, ...more, harness: { signals: "combined", approach: "steering_diodes", feeds: { tail: true, left: true, right: true, ground: true }, ...harness } });

/** Harnesses of every kind, from nothing known to every part there. */
const RIGS: [string, object][] = [
  ["nothing known", {}],
  ["diodes", rig({})],
  ["relays, interrupted", rig({ approach: "relay_bypass", stop_switch_interrupted: true })],
  ["lamp bar", rig({ approach: "removable_lamps" })],
  ["own bulbs", rig({ approach: "separate_bulbs", lamps: { plate: true } })],
  ["spliced on", rig({ approach: "spliced_on", lamps: { plate: true } })],
  ["no ground wire", rig({ feeds: { tail: true, left: true, right: true, ground: false } })],
  ["one feed", rig({ feeds: { tail: false, left: true, right: false, ground: true } })],
  ["separate signals, amber", rig({ signals: "separate", feeds: { tail: true, left: true, right: true, brake: true, ground: true } }, { towed: { rear_lamps: "separate_amber" } })],
  ["combining converter", rig({ signals: "separate", converter: "separate_to_combined" })],
  ["splitting converter", rig({ converter: "combined_to_separate" }, { towed: { rear_lamps: "separate_amber" } })],
];

async function planOf(of: object): Promise<PlanReport> {
  const outcome = await engine.run<PlanReport>("lamps/plan", JSON.stringify({ rig: of }));
  assert.ok(outcome.ok, outcome.text);
  return outcome.value;
}

for (const [name, of] of RIGS) {
  test(`the map is the plan: ${name}`, async () => {
    const plan = await planOf(of);
    const layout = layOut(plan.points, plan.links, () => 2);
    assert.deepEqual(layout.wires.map(({ link }) => link.id), plan.links.map(({ id }) => id), "every wire of the plan, in its order");
    assert.deepEqual(layout.points.map(({ point }) => point.id).sort(), plan.points.map(({ id }) => id).sort());
    assert.deepEqual(faults(layout), []);
    assert.deepEqual(backwards(layout), []);
  });
}

test("the check finds what it should", async () => {
  const plan = await planOf(rig({}));
  const layout = layOut(plan.points, plan.links, () => 2);
  const [first, ...rest] = layout.wires;
  assert.ok(first);
  const spread = (wires: Layout["wires"]) => faults({ ...layout, wires });
  assert.ok(spread([first, ...rest.map((wire) => ({ ...wire, x: first.x }))]).length > 0, "all in one lane");
  assert.ok(spread([{ ...first, to: layout.height + 9 }, ...rest]).length > 0, "beyond the picture, and not at its point");
  const turned = { ...layout, points: layout.points.map((placed) => ({ ...placed, flow: -placed.flow })) };
  assert.equal(backwards(turned).length, plan.points.filter(({ kind }) => kind === "diode").length);
});

test("the points go from the motorhome backwards, and each after what feeds it", async () => {
  const plan = await planOf(rig({}));
  const { points, bands } = layOut(plan.points, plan.links, () => 1);
  assert.deepEqual(bands.map(({ zone }) => zone), ["motorhome", "umbilical", "car_front", "car_body", "car_rear"]);
  const y = new Map(points.map(({ point, y }) => [point.id, y]));
  for (const { from, to } of plan.links.filter((link) => link.function !== "ground")) {
    assert.ok((y.get(from) ?? 0) < (y.get(to) ?? 0), `${from} above ${to}`);
  }
});

test("more words beside a point take more room", () => {
  const point = (id: string) => ({ id, kind: "splice" as const, zone: "car_rear" as const, side: "left" as const, name: { id, sentence: id } });
  const height = (lines: number) => layOut([point("a"), point("b")], [], () => lines).height;
  assert.ok(height(6) > height(2));
  assert.deepEqual(broken("Contact of the left stop lamp", 16), ["Contact of the", "left stop lamp"]);
  assert.deepEqual(broken("Steuerungsleuchte an", 6), ["Steuerungsleuchte", "an"]);
});

/** Wires on one another, off their ends, through points that they do not join, or out of the picture. */
function faults({ wires, points, bands, width, height, words }: Layout): string[] {
  const found: string[] = [];
  const span = ({ from, to }: { from: number; to: number }) => [Math.min(from, to), Math.max(from, to)] as const;
  wires.forEach((wire, at) => {
    const [top, bottom] = span(wire);
    for (const other of wires.slice(at + 1)) {
      const [above, below] = span(other);
      if (wire.x === other.x && Math.max(top, above) < Math.min(bottom, below)) found.push(`${wire.link.id} lies on ${other.link.id}`);
    }
    for (const { point, y, ports } of points) {
      const joins = wire.link.from === point.id || wire.link.to === point.id;
      if (joins && (!ports.includes(wire.x) || (y !== wire.from && y !== wire.to))) found.push(`${wire.link.id} does not reach ${point.id}`);
      if (!joins && y > top && y < bottom && ports.includes(wire.x)) found.push(`${wire.link.id} runs through ${point.id}`);
      if (Math.abs(y - wire.label) < 28) found.push(`the words of ${wire.link.id} lie on ${point.id}`);
    }
    if (top < 0 || bottom > height || wire.x < 0 || wire.x > words) found.push(`${wire.link.id} is out of the picture`);
  });
  points.forEach(({ point, y }, at) => {
    const band = bands.find(({ zone }) => zone === point.zone);
    if (!band || y < band.y || y > band.y + band.height) found.push(`${point.id} is not in its zone`);
    const next = points[at + 1];
    if (next && next.y - y < 56) found.push(`${point.id} lies on ${next.point.id}`);
  });
  return words < width ? found : [...found, "no room for words"];
}

/** Diodes drawn against the current that is meant to run through them, or not drawn as diodes. */
function backwards({ points, wires }: Layout): string[] {
  return points.filter(({ point }) => point.kind === "diode").filter(({ point, shape, flow }) => {
    const [into, out] = [wires.find(({ link }) => link.to === point.id), wires.find(({ link }) => link.from === point.id)];
    return shape !== "diode" || !into || !out || into.x !== out.x || Math.sign(into.to - into.from) !== flow || Math.sign(out.to - out.from) !== flow;
  }).map(({ point }) => point.id);
}
