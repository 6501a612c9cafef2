/** Reads numbers as people write them. */

import { t } from "./text.ts";

export type Typed = { ok: true; value: number } | { ok: false; why: string };

/** What may follow a number, as the field's unit. */
const SIGNS: Record<string, string[]> = {
  f: ["°f", "f", "°", "deg f", "degrees", "degrees f", "fahrenheit"],
  c: ["°c", "c", "°", "deg c", "degrees", "degrees c", "celsius"],
  h: ["h", "hr", "hrs", "hour", "hours"],
  s: ["s", "sec", "secs", "second", "seconds"],
  pct: ["%", "pct", "percent", "per cent"],
  mph: ["mph"],
  km_h: ["km/h", "kmh", "kph"],
  mi: ["mi", "mile", "miles"],
  km: ["km"],
  v: ["v", "volt", "volts"],
  ohm: ["ω", "ohm", "ohms"],
  a: ["a", "amp", "amps", "ampere", "amperes"],
};

const FRACTIONS: Record<string, number> = { "½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3 };

/**
 * Reads a number with its unit, or without: 20, -5 °F, minus 5, 6½, 6 1/2, 6.5,
 * 6,5, 1,250; and for hours 6:30 and 6 h 30 min. The value has at most three
 * decimals, as the core takes no more. An answer outside lowest..highest is
 * refused in words.
 */
export function readNumber(typed: string, unit: keyof typeof SIGNS, lowest: number, highest: number): Typed {
  const text = typed.trim().toLowerCase().replace(/[−–]/g, "-").replace(/^minus\s*/, "-").replace(/\s+/g, " ");
  const value = unit === "h" ? (clock(text) ?? plain(text, unit)) : plain(text, unit);
  if (value === undefined) {
    return { ok: false, why: t("typed.not_here", { typed: typed.trim() }) };
  }
  const rounded = Math.round(value * 1000) / 1000;
  if (rounded < lowest || rounded > highest) {
    return { ok: false, why: t("typed.want", { least: show(lowest), most: show(highest) }) };
  }
  return { ok: true, value: rounded };
}

function show(value: number): string {
  return String(value).replace("-", "−");
}

function plain(text: string, unit: string): number | undefined {
  const [, sign, figure = "", rest = ""] = /^([+-]?) ?([\d.,½¼¾⅓⅔/⁄ ]*)(.*)$/.exec(text) ?? [];
  const value = fraction(figure.trim()) ?? decimal(figure.trim());
  if (value === undefined || (rest !== "" && !(SIGNS[unit] ?? []).includes(rest))) {
    return undefined;
  }
  return sign === "-" ? -value : value;
}

/** ½, 6½, 1/4, 6 1/2. */
function fraction(figure: string): number | undefined {
  const [, whole = "0", glyph] = /^(\d+)? ?([½¼¾⅓⅔])$/.exec(figure) ?? [];
  if (glyph !== undefined) {
    return Number(whole) + (FRACTIONS[glyph] ?? 0);
  }
  const [, before = "0", above, below] = /^(?:(\d+) )?(\d{1,2}) ?[/⁄] ?(\d{1,2})$/.exec(figure) ?? [];
  const value = Number(before) + Number(above) / Number(below);
  return Number.isFinite(value) ? value : undefined;
}

/** A comma is a thousands mark where three digits follow each one, else a decimal mark. */
function decimal(digits: string): number | undefined {
  if (/^\d{1,3}(,\d{3})+(\.\d*)?$/.test(digits)) {
    return Number(digits.replaceAll(",", ""));
  }
  if (/^\d+,\d{1,2}$/.test(digits)) {
    return Number(digits.replace(",", "."));
  }
  return /^(\d+\.?\d*|\.\d+)$/.test(digits) ? Number(digits) : undefined;
}

/** 6:30, 6h30, 6 h 30 min, 45 min. */
function clock(text: string): number | undefined {
  const match =
    /^(\d{1,2}):([0-5]\d)(?: ?h)?$/.exec(text) ??
    /^(\d{1,2}) ?(?:h|hr|hrs|hours?) ?(\d{1,2}) ?(?:m|min|mins|minutes)?$/.exec(text);
  if (match) {
    return Number(match[1]) + Number(match[2]) / 60;
  }
  const minutes = /^(\d{1,3}) ?(?:min|mins|minutes)$/.exec(text);
  return minutes ? Number(minutes[1]) / 60 : undefined;
}
