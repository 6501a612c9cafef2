/** The hooked-up state of a rig, from the walk-rounds kept. */

import type { Engine } from "../engine/client.ts";
import type { Change, Happening, HookedUpReport, WalkroundKind, WalkroundRunReport } from "../engine/types.ts";
import { idOf, runInput, type Kept, type Walk } from "./walk.ts";

export interface HookedUpState {
  /** The hook-up's walk-round. */
  walk: Kept;
  report: HookedUpReport;
}

/** The newest whole hook-up of a rig, and whether it still holds; undefined where there is none. */
export async function hookedUpState(engine: Engine, walks: Kept[], rig: string, now: number): Promise<HookedUpState | undefined> {
  const walk = newest(walks, rig, "hook_up", (candidate) => candidate.hooked_up !== undefined && candidate.finished !== undefined);
  if (!walk?.value.hooked_up) {
    return undefined;
  }
  const happened = await happenedSince(engine, walks, walk, now);
  const outcome = await engine.run<HookedUpReport>("walkround/hooked_up", JSON.stringify({ hooked_up: walk.value.hooked_up, happened, now }));
  return outcome.ok ? { walk, report: outcome.value } : undefined;
}

/** What people said of the hooked-up rig, and what the lists worked through since mean for it. */
async function happenedSince(engine: Engine, walks: Kept[], hookUp: Kept, now: number): Promise<Record<string, Happening>> {
  const all: Record<string, Happening> = { ...hookUp.value.happened };
  for (const { doc, value } of walks) {
    if (`walk/${value.hook_up}` !== hookUp.doc) {
      continue;
    }
    const outcome = await engine.run<WalkroundRunReport>("walkround/run", runInput(value, value.rig_text, now));
    for (const [what, happening] of Object.entries((outcome.ok && outcome.value.happened) || {})) {
      all[`${idOf(doc)}-${what}`] = happening;
    }
  }
  return all;
}

/** What the newest hook-up of a rig changed, whole or not: what an unhooking must take back. */
export async function changesOf(engine: Engine, walks: Kept[], rig: string, now: number): Promise<{ hook_up?: string; changes?: Record<string, Change> }> {
  const walk = newest(walks, rig, "hook_up", () => true);
  if (!walk) {
    return {};
  }
  const unhooked = walks.some(({ value }) => value.list === "unhook" && value.hook_up === idOf(walk.doc) && value.finished !== undefined);
  if (unhooked) {
    return {};
  }
  const outcome = await engine.run<WalkroundRunReport>("walkround/run", runInput(walk.value, walk.value.rig_text, now));
  const changes = walk.value.hooked_up?.changes ?? (outcome.ok ? outcome.value.changes : undefined);
  return { hook_up: idOf(walk.doc), ...(changes && { changes }) };
}

/** The newest walk-round of a rig in a list that is as wanted. */
export function newest(walks: Kept[], rig: string, list: WalkroundKind, wanted: (walk: Walk) => boolean): Kept | undefined {
  return walks
    .filter(({ value }) => value.rig === rig && value.list === list && wanted(value))
    .sort((a, b) => (b.value.started ?? 0) - (a.value.started ?? 0))[0];
}
