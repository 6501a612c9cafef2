/** The stop that is asked about, as a person describes it: from what speed, down what grade, on what road. */

import type { Trip } from "../departure/trip.ts";
import type { Speed, StoppingInput } from "../engine/types.ts";
import { readNumber } from "../words/typed.ts";

/** As typed; an empty figure is not asked about. */
export interface StopAsked {
  speed: string;
  unit: "mph" | "km_h";
  /** Per cent, downhill. */
  down: string;
  /** Seconds before the pedal moves. */
  reaction: string;
  /** Empty is the road of the measured stop. */
  surface: "" | "dry" | "wet" | "gravel" | "snow" | "ice";
}

/** A stop from the trip's fastest, on the level. */
export function askedOfTrip({ speed, speedUnit }: Trip): StopAsked {
  return { speed, unit: speedUnit, down: "", reaction: "", surface: "" };
}

/** What is wrong with each figure, in words; a figure left empty is not wrong. */
export function wrongStop(asked: StopAsked): Partial<Record<"speed" | "down" | "reaction", string>> {
  const figures = read(asked);
  const why = (name: keyof typeof figures) => {
    const figure = figures[name];
    return figure && !figure.ok ? { [name]: figure.why } : {};
  };
  return { ...why("speed"), ...why("down"), ...why("reaction") };
}

/** The stop for the engine; what is empty or cannot be read is absent. */
export function stopAsked(asked: StopAsked): Pick<StoppingInput, "speed" | "grade_pct" | "reaction_s" | "surface"> {
  const { speed, down, reaction } = read(asked);
  return {
    ...(speed?.ok && { speed: { [asked.unit]: speed.value } as Speed }),
    ...(down?.ok && { grade_pct: -down.value }),
    ...(reaction?.ok && { reaction_s: reaction.value }),
    ...(asked.surface !== "" && { surface: asked.surface }),
  };
}

/** The grade and speed to be held down it, where both are told. */
export function gradeAsked(asked: StopAsked): { grade_pct: number; speed: Speed } | undefined {
  const { speed, grade_pct } = stopAsked(asked);
  return speed && grade_pct !== undefined && grade_pct < 0 ? { grade_pct: -grade_pct, speed } : undefined;
}

function read(asked: StopAsked) {
  const figure = (typed: string, unit: string, lowest: number, highest: number) => (typed.trim() === "" ? undefined : readNumber(typed, unit, lowest, highest));
  return {
    speed: asked.unit === "mph" ? figure(asked.speed, "mph", 5, 100) : figure(asked.speed, "km_h", 9, 160),
    down: figure(asked.down, "pct", 0, 30),
    reaction: figure(asked.reaction, "s", 0, 10),
  };
}
