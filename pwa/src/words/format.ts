/** Shows numbers and quantities to an English reader. */

import type { Param } from "../engine/types.ts";

/** A value cut into what is shown large and what is shown small. */
export interface Shown {
  number: string;
  unit: string;
  /** Whether the unit stands against the number, as a degree sign does. */
  tight: boolean;
}

const SIGNS: Record<string, string> = { km_h: "km/h", f: "°F", c: "°C", pct: "%", deg: "°", ohm: "Ω" };

/** Shows a quantity or a number; undefined for a parameter that is words. */
export function showParam(param: Param): Shown | undefined {
  const quantity = param.mass ?? param.length ?? param.speed ?? param.temperature;
  if (quantity) {
    return showQuantity(quantity);
  }
  return param.number === undefined ? undefined : shown(param.number, param.unit ?? "");
}

function showQuantity(quantity: Record<string, number | undefined>): Shown | undefined {
  const entry = Object.entries(quantity)[0];
  return entry?.[1] === undefined ? undefined : shown(entry[1], entry[0]);
}

function shown(value: number, unit: string): Shown {
  return { number: showNumber(value), unit: SIGNS[unit] ?? unit, tight: unit === "deg" };
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** 2026-11-03 is shown as 3 Nov 2026, so that no reader takes the month for the day. */
export function showDay(day: string): string {
  const [year, month, date] = day.split("-");
  return date === undefined ? "no date" : `${Number(date)} ${MONTHS[Number(month) - 1] ?? month} ${year}`;
}

/** At most two decimals, thousands separated, a real minus sign. */
export function showNumber(value: number): string {
  const text = value.toLocaleString("en-US", { maximumFractionDigits: 2 });
  return text === "-0" ? "0" : text.replace("-", "−");
}
