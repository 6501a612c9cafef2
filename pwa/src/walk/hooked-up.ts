/** The hooked-up state of a rig, from the walk-rounds kept. */

import type { Engine } from "../engine/client.ts";
import type { Change, Happening, HookedUpReport, WalkroundKind, WalkroundRunReport } from "../engine/types.ts";
import type { Store } from "../store/store.ts";
import { idOf, leaves, pointer, runInput, type Kept, type Walk } from "./walk.ts";
import { t } from "../words/text.ts";

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
  const outcome = await engine.run<HookedUpReport>("walkround/hooked_up", JSON.stringify({ hooked_up: walk.value.hooked_up, happened, now, ...(walk.value.came && { driven: walk.value.came }) }));
  return outcome.ok ? { walk, report: outcome.value } : undefined;
}

/** What people said of the hooked-up rig, and what the lists worked through since mean for it. */
async function happenedSince(engine: Engine, walks: Kept[], hookUp: Kept, now: number): Promise<Record<string, Happening>> {
  const all: Record<string, Happening> = { ...hookUp.value.happened };
  for (const { doc, value } of walks) {
    if (`walk/${value.hook_up}` !== hookUp.doc) {
      continue;
    }
    Object.assign(all, (await happenedIn(engine, { doc, value }, now)) ?? {});
  }
  return all;
}

/** What a list worked through after a hook-up means for it, by ids made of its own; undefined where the engine cannot say. */
async function happenedIn(engine: Engine, { doc, value }: Kept, now: number): Promise<Record<string, Happening> | undefined> {
  const outcome = await engine.run<WalkroundRunReport>("walkround/run", runInput(value, value.rig_text, now));
  return outcome.ok ? Object.fromEntries(Object.entries(outcome.value.happened ?? {}).map(([what, happening]) => [`${idOf(doc)}-${what}`, happening])) : undefined;
}

/** Whether the rig counts as hooked up by this record, and by no other. */
export async function countsAsHookedUp(engine: Engine, walks: Kept[], walk: Kept): Promise<boolean> {
  const state = await hookedUpState(engine, walks, walk.value.rig, Date.now()).catch(() => undefined);
  return state?.walk.doc === walk.doc && state.report.holds;
}

/**
 * Keeps with the hook-up what a list that is about to be removed means for it: a
 * rig that was unhooked must not count as hooked up again because the record went. Rejects where it cannot be known.
 */
export async function handOn(engine: Engine, store: Pick<Store, "write">, walks: Kept[], doc: string, now: number): Promise<void> {
  const going = walks.find((walk) => walk.doc === doc);
  const hookUp = walks.find((walk) => walk.doc === `walk/${going?.value.hook_up}`);
  if (!going || !hookUp) {
    return;
  }
  const happened = await happenedIn(engine, going, now);
  if (!happened) {
    throw new Error(t("lists.not_removed"));
  }
  const writes = Object.entries(happened).flatMap(([id, happening]) => leaves(pointer("happened", id), happening));
  if (writes.length > 0) await store.write(hookUp.doc, writes);
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
