/** A walk-round as it is kept, and the writes that people make by working through it. */

import type { Break, Change, Happening, HookedUp, Length, Stand, Tick, WalkroundKind, WalkroundRun } from "../engine/types.ts";
import type { Json, Write } from "../store/journal.ts";
import type { Document } from "../store/store.ts";
import { t } from "../words/text.ts";

/** The document walk/<id>: a run of the engine, and what it is about. */
export interface Walk extends WalkroundRun {
  name: string;
  list: WalkroundKind;
  /** The rig's id, without what says where it is kept, and its name. */
  rig: string;
  rig_name: string;
  /** The rig's JSON text as it was when the list was begun, and again when it was finished. */
  rig_text: string;
  /** The hook-up that a check or an unhooking follows: the id of its walk-round. */
  hook_up?: string;
  /** What that hook-up changed, for an unhooking. */
  changes?: Record<string, Change>;
  /** What a whole hook-up gave. */
  hooked_up?: HookedUp;
  /** How far the hooked-up rig had come when somebody last said so, and when that was. */
  came?: Length;
  came_at?: number;
  /** What happened to the hooked-up rig since, by id. */
  happened?: Record<string, Happening>;
  /** What the phones that work through it are called, by device. */
  phones?: Record<string, string>;
}

/** A walk-round and its document's name, "walk/<id>". */
export interface Kept {
  doc: string;
  value: Walk;
}

export function keptWalk({ doc, document }: Document): Kept {
  return { doc, value: document as unknown as Walk };
}

/** The id in the name of a document, or of a copy. */
export function idOf(name: string): string {
  return name.slice(Math.max(name.indexOf("/"), name.indexOf(":")) + 1);
}

export const LISTS: WalkroundKind[] = ["hook_up", "stop_check", "unhook", "set_up"];

export type Place = Stand["step"]["place"];

/** The input of walkround/run for a walk-round and the rig's JSON text. */
export function runInput(walk: Walk, rig: string, now: number): string {
  const { started, finished, place, engine_run, out_of_sight, driven, ticks, breaks, repairs, settled } = walk;
  const run: WalkroundRun = {
    ...(started !== undefined && { started }), ...(finished !== undefined && { finished }), ...(place && { place }),
    ...(engine_run !== undefined && { engine_run }), ...(out_of_sight !== undefined && { out_of_sight }),
    ...(driven && { driven }), ...(ticks && { ticks }), ...(breaks && { breaks }), ...(repairs && { repairs }), ...(settled && { settled }),
  };
  const changes = walk.changes ? `,"changes":${JSON.stringify(walk.changes)}` : "";
  return `{"rig":${rig},"list":"${walk.list}","run":${JSON.stringify(run)}${changes},"now":${now}}`;
}

/** Neighbouring steps at one place: what a person does before walking on. */
export interface Station {
  place: Place;
  steps: Stand[];
}

/** The stations of a list in working order, without the steps this halt does not need. */
export function stationsOf(steps: Stand[]): Station[] {
  const stations: Station[] = [];
  for (const stand of steps) {
    if (stand.state === "not_needed") {
      continue;
    }
    const last = stations.at(-1);
    if (last?.place === stand.step.place) {
      last.steps.push(stand);
    } else {
      stations.push({ place: stand.step.place, steps: [stand] });
    }
  }
  return stations;
}

/** One part of a path, escaped as RFC 6901 asks. */
export function pointer(...parts: string[]): string {
  return parts.map((part) => `/${part.replaceAll("~", "~0").replaceAll("/", "~1")}`).join("");
}

/** The writes that make a value out of nothing, leaf by leaf; an empty object is a leaf. */
export function leaves(path: string, value: unknown): Write[] {
  if (typeof value !== "object" || value === null || Array.isArray(value) || Object.keys(value).length === 0) {
    return [{ path, value: value as Json }];
  }
  return Object.entries(value)
    .filter(([, part]) => part !== undefined)
    .flatMap(([key, part]) => leaves(path + pointer(key), part));
}

/** A new walk-round. */
export function beginning(about: Pick<Walk, "list" | "rig" | "rig_name" | "rig_text" | "hook_up" | "changes">, now: number): Write[] {
  return leaves("", { name: `${t(`list.${about.list}`)}: ${about.rig_name}`, ...about, started: now });
}

/**
 * The writes of a tick by a device. A holding item that is ticked for the first
 * time counts as touched since every break so far, and any step as tested since
 * every repair: no clock decides that.
 */
export function ticked(walk: Walk, stand: Stand, device: string, now: number): Write[] {
  const at = pointer("ticks", stand.step.id, device);
  const writes: Write[] = [{ path: `${at}/done`, value: true }, { path: `${at}/at`, value: now }];
  const first = walk.ticks?.[stand.step.id]?.[device]?.done === undefined;
  return [...writes, ...(stand.step.holding && first ? sinceBreaks(walk, stand.step.id, device, now) : []), ...sinceRepairs(walk, stand.step.id, device, now)];
}

/** The writes that take a tick back. What was done at the rig stands: only the word of it is taken back. */
export function unticked(step: string, device: string, now: number): Write[] {
  const at = pointer("ticks", step, device);
  return [{ path: `${at}/done`, value: false }, { path: `${at}/at`, value: now }];
}

/**
 * The writes of a tick by a device that looked again at a step which others say is
 * not done: its own word, and its answer to theirs as they stand.
 */
export function settled(walk: Walk, stand: Stand, device: string, now: number): Write[] {
  const answered = new Set(stand.settled?.map((answer) => answer.device));
  const answers = (stand.not_done ?? []).filter((other) => other !== device && !answered.has(other)).flatMap((other) => {
    const saidAt = walk.ticks?.[stand.step.id]?.[other]?.at;
    return saidAt === undefined ? [] : leaves(pointer("settled", stand.step.id, other, device), { said_at: saidAt, at: now });
  });
  return [...ticked(walk, stand, device, now), ...answers];
}

/** The writes that say that a step was touched or tested again, in every break and repair since which it was not. */
export function touched(walk: Walk, step: string, device: string, now: number): Write[] {
  return [...sinceBreaks(walk, step, device, now), ...sinceRepairs(walk, step, device, now)];
}

function sinceBreaks({ breaks = {} }: Walk, step: string, device: string, now: number): Write[] {
  return again("breaks", Object.entries(breaks).filter(([, { left }]) => left !== false), step, device, now);
}

function sinceRepairs({ repairs = {} }: Walk, step: string, device: string, now: number): Write[] {
  return again("repairs", Object.entries(repairs), step, device, now);
}

function again(of: "breaks" | "repairs", since: [string, { again?: Break["again"] }][], step: string, device: string, now: number): Write[] {
  return since
    .filter(([, { again: touches }]) => touches?.[step]?.[device]?.done !== true)
    .flatMap(([id]) => leaves(pointer(of, id, "again", step, device), { done: true, at: now }));
}

/** What a person sees at a step; undefined or empty takes it away. */
export type Seen = { [Of in "count" | "note" | "photo" | "reading"]?: Tick[Of] | undefined };

/** The writes of what a device counted, read, wrote or photographed at a step. */
export function observed(step: string, device: string, seen: Seen): Write[] {
  const at = pointer("ticks", step, device);
  return Object.entries(seen).flatMap(([name, value]): Write[] => {
    const path = `${at}/${name}`;
    if (value === undefined || value === "") {
      return [{ path, removed: true }];
    }
    // A temperature is one value; the object around it is not.
    return name === "reading" ? Object.entries(value as object).map(([of, read]) => ({ path: `${path}/${of}`, value: read as Json })) : [{ path, value }];
  });
}

/** 08:12 where the person is. */
export function clock(moment: number): string {
  const time = new Date(moment);
  return `${String(time.getHours()).padStart(2, "0")}:${String(time.getMinutes()).padStart(2, "0")}`;
}
