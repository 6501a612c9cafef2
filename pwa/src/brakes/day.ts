/** The day that the car's battery is followed through, as a person describes it. */

import type { Segment, Temperature } from "../engine/types.ts";
import type { Trip } from "../departure/trip.ts";
import { readNumber } from "../words/typed.ts";

/** As typed; an empty figure is not known. */
export interface Day {
  driving: string;
  halt: string;
  terrain: "" | "level" | "hills" | "mountains";
  dark: boolean;
  temperature: string;
  unit: "f" | "c";
}

/** The day as the trip last entered has it. */
export function dayOfTrip(trip: Trip): Day {
  return { driving: trip.driving, halt: "", terrain: "", dark: trip.night, temperature: trip.coldest, unit: trip.coldestUnit };
}

/** What is wrong with each figure, in words; a figure left empty is not wrong. */
export function wrongDay(day: Day): Partial<Record<"driving" | "halt" | "temperature", string>> {
  const figures = read(day);
  const why = (name: keyof typeof figures) => {
    const figure = figures[name];
    return figure && !figure.ok ? { [name]: figure.why } : {};
  };
  return { ...why("driving"), ...why("halt"), ...why("temperature") };
}

/** The parts of the day for the engine: half the driving, the halt, the other half. What cannot be read is absent. */
export function segments(day: Day): { day?: Segment[]; temperature?: Temperature } {
  const { driving, halt, temperature } = read(day);
  const drive = (hours: number): Segment => ({ state: "drive", hours, dark: day.dark, ...(day.terrain !== "" && { terrain: day.terrain }) });
  const out: { day?: Segment[]; temperature?: Temperature } = {};
  if (driving?.ok) {
    // To the thousandth, as the core takes hours: the two halves make the whole.
    const half = Math.round(driving.value * 500) / 1000;
    const rest = Math.round((driving.value - half) * 1000) / 1000;
    out.day = halt?.ok && halt.value > 0 ? [drive(half), { state: "halt", hours: halt.value }, drive(rest)] : [drive(driving.value)];
  }
  if (temperature?.ok) out.temperature = { [day.unit]: temperature.value };
  return out;
}

function read(day: Day) {
  const figure = (typed: string, unit: string, lowest: number, highest: number) => (typed.trim() === "" ? undefined : readNumber(typed, unit, lowest, highest));
  return {
    driving: figure(day.driving, "h", 0.1, 24),
    halt: figure(day.halt, "h", 0, 24),
    temperature: day.unit === "f" ? figure(day.temperature, "f", -60, 140) : figure(day.temperature, "c", -51, 60),
  };
}
