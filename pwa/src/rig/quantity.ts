/** Reads and shows quantities as people write them; the unit typed is the unit kept. */

import { t } from "../words/text.ts";

export type Dimension = "mass" | "length" | "distance" | "speed" | "temperature";
export type Quantity = { [unit: string]: number };
export type Read = { ok: true; value: Quantity } | { ok: false; why: string };

/** What each unit may be called. The first is how it is shown. */
const UNITS: Record<Dimension, Record<string, string[]>> = {
  mass: {
    lb: ["lb", "lbs", "lb.", "lbs.", "pound", "pounds", "#"],
    kg: ["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"],
  },
  length: {
    ft: ["ft", "ft.", "feet", "foot", "'", "′", "’"],
    in: ["in", "in.", "inch", "inches", '"', "″", "”", "''"],
    m: ["m", "metre", "metres", "meter", "meters"],
    cm: ["cm", "centimetre", "centimetres", "centimeter", "centimeters"],
    mm: ["mm", "millimetre", "millimetres", "millimeter", "millimeters"],
  },
  distance: { mi: ["mi", "mile", "miles"], km: ["km", "kilometre", "kilometres", "kilometer", "kilometers"] },
  speed: { mph: ["mph"], km_h: ["km/h", "kmh", "kph"] },
  temperature: { f: ["°f", "f", "deg f", "fahrenheit"], c: ["°c", "c", "deg c", "celsius"] },
};

const FRACTIONS: Record<string, number> = { "½": 0.5, "¼": 0.25, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875 };
const FIGURE = String.raw`[+-]?\d[\d.,  ]*(?:[ -]\d{1,2}/\d{1,2})?(?:/\d{1,2})?[½¼¾⅛⅜⅝⅞]?|[½¼¾⅛⅜⅝⅞]`;

/**
 * Reads 4,300 lbs, 1 950 kg, 15 ft 6 in, 18½", or a number alone in the unit
 * `otherwise`. Feet with inches are kept as inches. At most three decimals, as the
 * core takes no more.
 */
export function readQuantity(typed: string, dimension: Dimension, otherwise: string): Read {
  const text = typed.trim().toLowerCase().replace(/[−–]/g, "-").replace(/[\u00a0\u2009\u202f]/g, " ");
  const no: Read = { ok: false, why: t("typed.no_quantity", { typed: typed.trim(), example: t(`example.${dimension}`) }) };
  const feet = new RegExp(`^(\\d+) ?(?:ft\\.?|feet|foot|'|′|’)[ ,]*(?:and )?(${FIGURE}) ?(?:in\\.?|inch|inches|"|″|”|'')?$`).exec(text);
  if (dimension === "length" && feet) {
    const inches = figure(feet[2] ?? "");
    return inches === undefined || inches < 0 || inches >= 12 ? no : { ok: true, value: { in: three(Number(feet[1]) * 12 + inches) } };
  }
  const [, number = "", word = ""] = new RegExp(`^(${FIGURE}) ?(.*)$`).exec(text) ?? [];
  const value = figure(number.trim());
  const unit = word === "" ? otherwise : Object.entries(UNITS[dimension]).find(([, words]) => words.includes(word.trim()))?.[0];
  return value === undefined || unit === undefined ? no : { ok: true, value: { [unit]: three(value) } };
}

/** Reads a plain number or count. */
export function readFigure(typed: string): number | undefined {
  const value = figure(typed.trim().replace(/[−–]/g, "-"));
  return value === undefined ? undefined : three(value);
}

/** Shows a quantity in the unit in which it is kept; long inches as feet and inches. */
export function showQuantity(value: Quantity): string {
  const [unit = "", number = 0] = Object.entries(value)[0] ?? [];
  if (unit === "in" && Math.abs(number) >= 72) {
    const feet = Math.trunc(number / 12);
    const inches = three(Math.abs(number) - Math.abs(feet) * 12);
    return inches === 0 ? `${feet} ft` : `${feet} ft ${inches} in`;
  }
  return `${number.toLocaleString("en-US", { maximumFractionDigits: 3 })} ${spelled(unit)}`;
}

/** A unit as people write it. */
export function spelled(unit: string): string {
  return { km_h: "km/h", f: "°F", c: "°C" }[unit] ?? unit;
}

const INCHES: Record<string, number> = { in: 1, ft: 12, cm: 1 / 2.54, mm: 1 / 25.4, m: 100 / 2.54 };

/** A length in inches, for drawing only; undefined where it is none. */
export function inches(value: unknown): number | undefined {
  const [unit = "", number] = Object.entries((value ?? {}) as Quantity)[0] ?? [];
  const factor = INCHES[unit];
  return factor === undefined || number === undefined ? undefined : number * factor;
}

function three(value: number): number {
  return Math.round(value * 1000) / 1000;
}

function figure(text: string): number | undefined {
  const sign = text.startsWith("-") ? -1 : 1;
  const [, whole = "", glyph, above, below] = /^[+-]?(.*?)(?:([½¼¾⅛⅜⅝⅞])|(?:^|[ -])(\d{1,2})\/(\d{1,2}))?$/.exec(text) ?? [];
  const fraction = glyph ? (FRACTIONS[glyph] ?? 0) : above ? Number(above) / Number(below) : 0;
  const before = whole.trim() === "" && fraction > 0 ? 0 : decimal(whole.trim());
  return before === undefined || !Number.isFinite(fraction) || (fraction > 0 && before % 1 !== 0) ? undefined : sign * (before + fraction);
}

/** A comma or a space is a thousands mark where three digits follow each one; a comma before one or two digits is a decimal mark. */
function decimal(digits: string): number | undefined {
  if (/^\d{1,3}([, ]\d{3})+(\.\d+)?$/.test(digits)) {
    return Number(digits.replace(/[, ]/g, ""));
  }
  return /^\d+,\d{1,2}$/.test(digits) ? Number(digits.replace(",", ".")) : /^(\d+\.?\d*|\.\d+)$/.test(digits) ? Number(digits) : undefined;
}
