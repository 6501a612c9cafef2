/** Shows numbers and quantities as the reader writes them. */

import type { Param } from "../engine/types.ts";
import { LANGUAGES } from "./languages.ts";
import { currentReader } from "./reader.ts";
import { t, textOf } from "./text.ts";
import { amountOf, converted, type Amount } from "./units.ts";

/** A value cut into what is shown large and what is shown small. */
export interface Shown {
  number: string;
  unit: string;
  /** Whether the unit stands against the number, as a degree sign does. */
  tight: boolean;
  /** The figure as it was given, where it is shown converted to the reader's units. */
  given?: string;
}

const SIGNS: Record<string, string> = { km_h: "km/h", f: "°F", c: "°C", pct: "%", deg: "°", ohm: "Ω" };

/** Shows a quantity or a number in the reader's units; undefined for a parameter that is words. */
export function showParam(param: Param): Shown | undefined {
  const quantity = param.mass ?? param.length ?? param.speed ?? param.temperature;
  const amount = quantity ? amountOf(quantity) : param.number === undefined ? undefined : { value: param.number, unit: param.unit ?? "" };
  return amount && showAmount(amount);
}

/** Shows an amount in the reader's units. */
export function showAmount(amount: Amount): Shown {
  const other = converted(amount, currentReader().units);
  return other ? { ...shown(other), given: plainly(shown(amount)) } : shown(amount);
}

/** A shown value as plain text; with `given`, and as it was given. */
export function plainly(value: Shown, given = false): string {
  const text = value.number + (value.unit && (value.tight ? value.unit : ` ${value.unit}`));
  return given && value.given ? `${text} (${value.given})` : text;
}

function shown({ value, unit }: Amount): Shown {
  return { number: showNumber(value), unit: SIGNS[unit] ?? unit, tight: unit === "deg" };
}

/** 2026-11-03 is shown as 3 Nov 2026, so that no reader takes the month for the day. */
export function showDay(day: string): string {
  const [year, month, date] = day.split("-");
  return date === undefined ? t("day.none") : `${Number(date)} ${textOf(`month.${Number(month)}`) ?? month} ${year}`;
}

/** At most two decimals, thousands separated, a real minus sign. */
export function showNumber(value: number): string {
  const text = value.toLocaleString(LANGUAGES[currentReader().language].numbers, { maximumFractionDigits: 2 });
  return text === "-0" ? "0" : text.replace("-", "−");
}
