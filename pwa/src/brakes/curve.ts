/** The curves of brakes, breakaway and battery, made from the engine's answers in the reader's units. */

import type { DayReport, HoldReport, Param, StoppingReport } from "../engine/types.ts";
import { plainly, showNumber } from "../words/format.ts";
import { t, type TextId } from "../words/text.ts";
import type { Units } from "../words/units.ts";

/** One line of a curve; null where the figure is not known. */
export interface Line {
  name: string;
  /** How it is drawn: each look has a colour and a pattern of dashes of its own. */
  look: 1 | 2 | 3 | 4;
  values: (number | null)[];
}

export interface Curve {
  /** What it shows, as its caption. */
  title: string;
  /** What runs along the bottom, and its unit as it is written. */
  along: string;
  alongUnit: string;
  /** The unit of what rises. */
  unit: string;
  /** Decimals of what rises. */
  decimals: number;
  x: number[];
  lines: Line[];
}

const KM_PER_MILE = 1.609344;
const M_PER_FT = 0.3048;

const CASES = [["alone", 1], ["pair_unbraked", 2], ["pair_braked", 3], ["pair_measured", 4]] as const;

/** Braking distance over speed, a line for each stop that is known; undefined where none is. */
export function stoppingCurve({ curve }: Pick<StoppingReport, "curve">, units: Units): Curve | undefined {
  const us = units === "us";
  const lines = CASES.map(([of, look]): Line => ({
    name: t(`curve.case.${of}`), look,
    values: curve.map((point) => scaled(point[`${of}_ft`], us ? 1 : M_PER_FT)),
  }));
  return known({
    title: t("curve.stopping"), along: t("curve.speed"), alongUnit: us ? "mph" : "km/h", unit: us ? "ft" : "m", decimals: 1,
    x: curve.map(({ speed_mph }) => (us ? speed_mph : speed_mph * KM_PER_MILE)), lines,
  });
}

/** Minutes of hold over the temperature of the battery, with what is wanted; undefined where a figure is missing. */
export function holdCurve({ curve }: Pick<HoldReport, "curve">, units: Units): Curve | undefined {
  const us = units === "us";
  return known({
    title: t("curve.hold"), along: t("curve.temperature"), alongUnit: us ? "°F" : "°C", unit: "min", decimals: 1,
    x: curve.map(({ celsius }) => (us ? celsius * 1.8 + 32 : celsius)),
    lines: [
      { name: t("curve.most"), look: 2, values: curve.map(({ high_min }) => high_min) },
      { name: t("curve.least"), look: 1, values: curve.map(({ low_min }) => low_min) },
      { name: t("curve.wanted"), look: 4, values: curve.map(() => WANTED_MIN) },
    ],
  });
}

/** What several states ask of a breakaway battery, minutes. */
const WANTED_MIN = 15;

/** Charge and volts of the car's battery over the day; empty where a figure is missing. */
export function dayCurves({ curve }: Pick<DayReport, "curve">): Curve[] {
  const over = (title: TextId, unit: string, decimals: number, low: "low_pct" | "low_v", high: "high_pct" | "high_v") => known({
    title: t(title), along: t("curve.hours"), alongUnit: "h", unit, decimals,
    x: curve.map(({ h }) => h),
    lines: [
      { name: t("curve.better"), look: 2, values: curve.map((point) => point[high]) },
      { name: t("curve.worse"), look: 1, values: curve.map((point) => point[low]) },
    ],
  });
  return [over("curve.charge", "%", 0, "low_pct", "high_pct"), over("curve.volts", "V", 2, "low_v", "high_v")].filter((one) => one !== undefined);
}

/** A curve in words: where each line begins and where it ends. */
export function inWords(curve: Curve): string {
  const lines = curve.lines.flatMap((line) => {
    const at = line.values.flatMap((value, i) => (value === null ? [] : [i]));
    const [first, last] = [at[0], at.at(-1)];
    return first === undefined || last === undefined ? [] : [t("curve.line", {
      name: line.name, from: rising(curve, line.values[first]), at: along(curve, curve.x[first]), to: rising(curve, line.values[last]), end: along(curve, curve.x[last]),
    })];
  });
  return [`${curve.title}.`, ...lines].join(" ");
}

/** A figure of a line as it is written, without its unit. */
export function figure(curve: Curve, value: number | null | undefined): string {
  return value === null || value === undefined ? "–" : showNumber(Number(value.toFixed(curve.decimals)));
}

/** A place along the bottom as it is written, without its unit. */
export function place(curve: Curve, x: number | undefined): string {
  return x === undefined ? "" : showNumber(Number(x.toFixed(curve.alongUnit === "h" ? 2 : 0)));
}

/** Reckoned feet as a length to show, to a tenth. */
export function feet(ft: number): Param {
  return { length: { ft: Number(ft.toFixed(1)) } };
}

function along(curve: Curve, x: number | undefined): string {
  return plainly({ number: place(curve, x), unit: curve.alongUnit, tight: false });
}

function rising(curve: Curve, value: number | null | undefined): string {
  return plainly({ number: figure(curve, value), unit: curve.unit, tight: false });
}

function scaled(value: number | undefined, factor: number): number | null {
  return value === undefined ? null : value * factor;
}

/** The curve with the lines of which anything is known. */
function known(curve: Curve): Curve | undefined {
  const lines = curve.lines.filter(({ values }) => values.some((value) => value !== null));
  return lines.length === 0 ? undefined : { ...curve, lines };
}
