/** What a lamp does in one step of the light test. */

import type { ExpectedLamp, ExpectedPicture, Glow, LightTestReport } from "../engine/types.ts";

/** How one lamp looks: what the contract says of an expected lamp and of one that was seen. */
export type Look = Pick<ExpectedLamp, "glow" | "pattern" | "phase">;

/** The words for a light, from none to all. */
export const GLOWS: Glow[] = ["dark", "faint", "glow", "dim", "full"];

/** The id of a look in the core's catalogue. What is dark has no pattern, what is steady no phase. */
export function lookId({ glow, pattern, phase }: Look): string {
  const opposed = phase === "opposed" && pattern !== "steady" ? "_opposed" : "";
  return `look.${glow}${glow === "dark" || !pattern ? "" : `_${pattern}${opposed}`}`;
}

/** Whether two looks are the same to a person. */
export function sameLook(one: Look, other: Look): boolean {
  return lookId(one) === lookId(other);
}

/** Whether any lamp changes between the halves of the flash. */
export function blinks({ lamps }: ExpectedPicture): boolean {
  return lamps.some(({ pattern }) => pattern === "flashing" || pattern === "pulsing");
}

/** The colour in which a lens of this job is drawn lit; plain where the rig does not say. */
export type Colour = "red" | "amber" | "plain";

export function colourOf({ job, lens }: Pick<ExpectedLamp, "job" | "lens">, rearLamps: string | undefined): Colour {
  if (job === "turn") {
    return lens.startsWith("motorhome") ? "plain" : rearLamps === "separate_amber" ? "amber" : rearLamps === "separate_red" ? "red" : "plain";
  }
  return job === "plate" || job === "park" ? "plain" : "red";
}

/** How the rig's rear lamps are made, where somebody has recorded it and they are the car's own. */
export function rearLampsOf({ values }: LightTestReport): string | undefined {
  const recorded = (field: string) => values.find((value) => value.field === field && value.how !== "template")?.word;
  return recorded("/harness/approach") === "removable_lamps" ? undefined : recorded("/towed/rear_lamps");
}

/** Without these three the picture is that of another harness. */
const MAKE = ["/harness/signals", "/harness/approach", "/towed/rear_lamps"];

/** The fields that decide which lamps there are and what they do, and that nobody has entered. */
export function unknownMake({ values }: LightTestReport): string[] {
  return MAKE.filter((field) => values.some((value) => value.field === field && value.how === "template"));
}
