/** The trip as a person typed it, and as the engine takes it. */

import type { EngineTrip } from "../engine/types.ts";
import { remembered } from "../keep/local.ts";
import { currentReader } from "../words/reader.ts";
import { readNumber } from "../words/typed.ts";
import type { Units } from "../words/units.ts";

/** The figures a person may type, each kept as typed. */
export interface Typed {
  coldest: string;
  driving: string;
  grade: string;
  speed: string;
  distance: string;
}

export interface Trip extends Typed {
  /** The kept rig's id. */
  rig: string;
  route: string[];
  /** YYYY-MM-DD, or empty. */
  on: string;
  night: boolean;
  coldestUnit: "f" | "c";
  speedUnit: "mph" | "km_h";
  distanceUnit: "mi" | "km";
}

export function newTrip(today: Date): Trip {
  const empty: Trip = {
    rig: "", route: [], on: dayOf(today), night: false,
    coldest: "", coldestUnit: "f", driving: "", grade: "", speed: "", speedUnit: "mph", distance: "", distanceUnit: "mi",
  };
  return inUnits(empty, currentReader().units);
}

/** The trip as it was last typed; a day that has passed gives way to today. */
export function lastTrip(today: Date): Trip {
  const fresh = newTrip(today);
  const last = remembered<Partial<Trip>>("trip");
  return { ...fresh, ...last, on: last?.on !== undefined && last.on > fresh.on ? last.on : fresh.on };
}

/** The trip with each figure that is still empty asked for in these units; what was typed keeps its own. */
export function inUnits(trip: Trip, units: Units): Trip {
  const us = units === "us";
  return {
    ...trip,
    coldestUnit: trip.coldest.trim() === "" ? (us ? "f" : "c") : trip.coldestUnit,
    speedUnit: trip.speed.trim() === "" ? (us ? "mph" : "km_h") : trip.speedUnit,
    distanceUnit: trip.distance.trim() === "" ? (us ? "mi" : "km") : trip.distanceUnit,
  };
}

/** The calendar day where the person is. */
export function dayOf(time: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())}`;
}

/** The bounds of each figure, in the unit typed; the engine holds the same ones. */
function bounds(trip: Trip): Record<keyof Typed, [unit: string, lowest: number, highest: number]> {
  return {
    coldest: trip.coldestUnit === "f" ? ["f", -76, 140] : ["c", -60, 60],
    driving: ["h", 0, 24],
    grade: ["pct", 0, 30],
    speed: trip.speedUnit === "mph" ? ["mph", 5, 100] : ["km_h", 9, 160],
    distance: trip.distanceUnit === "mi" ? ["mi", 0, 20_000] : ["km", 0, 32_000],
  };
}

/** What is wrong with each typed figure, in words; a figure left empty is not wrong. */
export function wrongFigures(trip: Trip): Partial<Record<keyof Typed, string>> {
  const wrong: Partial<Record<keyof Typed, string>> = {};
  for (const [name, [unit, lowest, highest]] of Object.entries(bounds(trip)) as [keyof Typed, [string, number, number]][]) {
    const read = trip[name].trim() === "" ? undefined : readNumber(trip[name], unit, lowest, highest);
    if (read && !read.ok) {
      wrong[name] = read.why;
    }
  }
  return wrong;
}

/** The trip for the engine. What was left empty is absent: not known, never zero. */
export function forEngine(trip: Trip): EngineTrip {
  const limits = bounds(trip);
  const value = (name: keyof Typed): number | undefined => {
    const [unit, lowest, highest] = limits[name];
    const read = trip[name].trim() === "" ? undefined : readNumber(trip[name], unit, lowest, highest);
    return read?.ok ? read.value : undefined;
  };
  const out: EngineTrip = { route: trip.route, night: trip.night };
  const coldest = value("coldest"), driving = value("driving"), grade = value("grade"), speed = value("speed"), distance = value("distance");
  if (trip.on !== "") out.on = trip.on;
  if (coldest !== undefined) out.coldest = { [trip.coldestUnit]: coldest };
  if (driving !== undefined) out.driving_h = driving;
  if (grade !== undefined) out.steepest_grade_pct = grade;
  if (speed !== undefined) out.planned_speed = { [trip.speedUnit]: speed };
  if (distance !== undefined) out.distance = { [trip.distanceUnit]: distance };
  return out;
}

/** Takes over the trip that came with a rig; the person's own day stays. */
export function withTripOf(trip: Trip, given: Partial<EngineTrip>): Trip {
  const typed = (n: number | undefined) => (n === undefined ? "" : String(n));
  const next: Trip = {
    ...trip, route: given.route ?? [], night: given.night ?? false,
    driving: typed(given.driving_h), grade: typed(given.steepest_grade_pct), coldest: "", speed: "", distance: "",
  };
  if (given.coldest) {
    next.coldestUnit = given.coldest.c === undefined ? "f" : "c";
    next.coldest = typed(given.coldest[next.coldestUnit]);
  }
  if (given.planned_speed) {
    next.speedUnit = given.planned_speed.km_h === undefined ? "mph" : "km_h";
    next.speed = typed(given.planned_speed[next.speedUnit]);
  }
  if (given.distance) {
    next.distanceUnit = given.distance.km === undefined ? "mi" : "km";
    next.distance = typed(given.distance[next.distanceUnit]);
  }
  return next;
}
