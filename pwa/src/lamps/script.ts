/** A light test by a script that needs no tap: what is called or honked when, and by the clock. */

import type { LightStep, LightTestReport, LightTestStep } from "../engine/types.ts";

/** How long each step of a timed script lasts, milliseconds: switches first, then a look at every lamp. */
export const STEP_MS = 15_000;
/** From the spoken "now" to the first step. */
export const LEAD_MS = 5_000;

/** Steps for which somebody has to go to the car: no clock drives them. */
const AT_THE_CAR = /^(unplugged|unit_)/;

export function atTheCar(step: LightStep): boolean {
  return AT_THE_CAR.test(step);
}

/** The steps that are done from the motorhome's seat, in the order of the test. */
export function seatSteps({ steps }: LightTestReport): LightTestStep[] {
  return steps.filter(({ step }) => !atTheCar(step));
}

/** Where a timed script stands: before its first step, in one, or over. */
export type Moment = { at: "lead"; left: number } | { at: "step"; index: number; left: number } | { at: "over" };

/** `passed` is the time since the spoken "now", milliseconds; `left` is in whole seconds. */
export function momentOf(passed: number, steps: number): Moment {
  const seconds = (ms: number) => Math.ceil(ms / 1000);
  if (passed < LEAD_MS) {
    return { at: "lead", left: seconds(LEAD_MS - passed) };
  }
  const index = Math.floor((passed - LEAD_MS) / STEP_MS);
  return index < steps ? { at: "step", index, left: seconds(LEAD_MS + (index + 1) * STEP_MS - passed) } : { at: "over" };
}
