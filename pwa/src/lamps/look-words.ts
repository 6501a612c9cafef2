/** Lamps and looks in words. */

import { plainly, showAmount } from "../words/format.ts";
import { wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { lookId, type Look } from "./look.ts";

/** "bright, flashing against the motorhome", as the core's catalogue has it. */
export function lookWords(look: Look): string {
  return wordFor(lookId(look));
}

export function lampName(lamp: string): string {
  return wordFor(`wiring.lamp.${lamp}`);
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** A figure with its unit, as the reader writes it. */
export function figure(value: number, unit: string): string {
  return plainly(showAmount({ value, unit }));
}

/** "12.6 V, light 95 %": volts over a lamp, and its light against its design light. */
export function gets({ v, light }: { v: number; light: number }): string {
  return t("lamps.gets", { v: figure(Math.round(v * 10) / 10, "V"), light: figure(Math.round(light * 100), "pct") });
}
