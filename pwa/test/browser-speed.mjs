// How long the engine takes in the browser's worker, with the network off, and
// whether the page stays free meanwhile. It prints what it measures and asserts
// only what holds on a busy machine too: ratios within the run.

import assert from "node:assert/strict";

const rig = {
  harness: { signals: "combined", approach: "steering_diodes", converter: "none", diodes: { kind: "schottky" }, lamps: { plate: true } },
  towed: { rear_lamps: "combined" },
  brake_unit: { fitted: true, presses_pedal: true },
};
const tapped = { tapped: true };
const heavy = { ...rig, towing: { circuits: { tail: tapped, left: tapped, right: tapped, stop: tapped } } };
const evidence = {
  tools: "meter",
  pictures: [
    { step: "tail", lamp: "tail_left", glow: "full" }, { step: "tail", lamp: "tail_right", glow: "full" },
    { step: "brake", lamp: "stop_left", glow: "dim" }, { step: "brake", lamp: "stop_right", glow: "dim" },
    { step: "tail_brake", lamp: "stop_left", glow: "glow" }, { step: "tail_brake", lamp: "stop_right", glow: "glow" },
    { step: "tail_left", lamp: "stop_left", glow: "dim", pattern: "flashing" }, { step: "tail_right", lamp: "stop_right", glow: "dim", pattern: "flashing" },
  ],
  readings: [{ step: "tail_brake", point: "body", v: 4.1 }],
};

export function speedScenarios({ serve, open }) {
  async function speed() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    await context.setOffline(true);
    await page.reload();
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    const { took, free } = await page.evaluate(measure, [
      ["lamps/plan", "lamps/plan", { rig: heavy }],
      ["lamps/coverage", "lamps/coverage", { rig }],
      ["lamps/trace, new harness", "lamps/trace", { rig, ...evidence }, { rig: heavy, ...evidence }],
      ["lamps/trace, same harness", "lamps/trace", { rig, ...evidence }],
      ["readiness", "readiness", { rig, trip: { route: ["US-WA", "US-ID", "US-MT", "US-WY", "US-CO", "US-NM"] } }],
    ]);
    for (const [name, { first, best, body }] of Object.entries(took)) {
      console.log(`${name}: ${best.toFixed(1)} ms, the first time ${first.toFixed(1)} ms`);
      assert.equal(body, undefined, name);
    }
    console.log(`the page: no longer than ${free.gap.toFixed(1)} ms between two ticks, long tasks ${JSON.stringify(free.long)}`);
    const cold = took["lamps/trace, new harness"].best, warm = took["lamps/trace, same harness"].best;
    assert.ok(warm < 0.7 * cold, `what a trace keeps of its harness is used again: ${warm} ms after ${cold} ms`);
    assert.ok(free.gap < free.whole / 10, `the page is free while the worker works: ${free.gap} ms of ${free.whole}`);
    done();
  }
  return { speed };
}

/** Runs each operation several times in a worker of its own, and watches the page meanwhile. */
async function measure(operations) {
  // The worker's file is among what this page has loaded.
  const script = performance.getEntriesByType("resource").map(({ name }) => name).find((name) => /\/worker-[^/]+\.js$/.test(name));
  const worker = new Worker(script, { type: "module" });
  const answers = [];
  await new Promise((resolve, reject) => {
    worker.onerror = reject;
    worker.onmessage = ({ data }) => {
      if (data.failed) reject(new Error(data.failed));
      else if (data.versions) resolve();
      else answers.shift()(data);
    };
  });
  const call = (name, input) => new Promise((resolve) => {
    answers.push(resolve);
    worker.postMessage({ id: 1, of: "table", name, input: JSON.stringify(input) });
  });
  const long = [];
  new PerformanceObserver((list) => long.push(...list.getEntries().map(({ duration }) => duration))).observe({ type: "longtask" });
  let gap = 0, last = performance.now();
  const began = last;
  const ticks = setInterval(() => {
    const now = performance.now();
    gap = Math.max(gap, now - last);
    last = now;
  }, 4);
  const took = {};
  for (const [title, name, input, between] of operations) {
    let first, best = Infinity, body;
    for (let n = 0; n < 6; n++) {
      if (between) await call(name, between);
      const start = performance.now();
      const answer = await call(name, input);
      const ms = performance.now() - start;
      first ??= ms;
      best = Math.min(best, ms);
      if (!answer.ok) body = answer.body;
    }
    took[title] = { first, best, body };
  }
  clearInterval(ticks);
  worker.terminate();
  return { took, free: { gap, long, whole: performance.now() - began } };
}
