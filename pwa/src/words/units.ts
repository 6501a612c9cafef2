/** The reader's units: a figure of the other system is shown converted, and remembers how it was given. */

/** us: lb, ft, in, mi, mph, °F. metric: kg, m, cm, km, km/h, °C. */
export type Units = "us" | "metric";

/** An amount in one unit, as quantities of the contract name them. */
export interface Amount {
  value: number;
  unit: string;
}

/** Each unit's system, its counterpart in the other, and the factor to it: exact by definition (NIST SP 811, appendix B.8). */
const COUNTERPARTS: Record<string, [system: Units, other: string, factor: number]> = {
  lb: ["us", "kg", 0.45359237], kg: ["metric", "lb", 1 / 0.45359237],
  in: ["us", "cm", 2.54], cm: ["metric", "in", 1 / 2.54], mm: ["metric", "in", 1 / 25.4],
  ft: ["us", "m", 0.3048], m: ["metric", "ft", 1 / 0.3048],
  mi: ["us", "km", 1.609344], km: ["metric", "mi", 1 / 1.609344],
  mph: ["us", "km_h", 1.609344], km_h: ["metric", "mph", 1 / 1.609344],
  f: ["us", "c", 5 / 9], c: ["metric", "f", 9 / 5],
};

/** Decimals of a converted figure: no more than whoever read the label or the scale could have read. */
const DECIMALS: Record<string, (value: number) => number> = {
  kg: (value) => (value < 20 ? 1 : 0), lb: (value) => (value < 20 ? 1 : 0),
  cm: () => 1, in: () => 1, m: () => 2, ft: () => 1,
  km: (value) => (value < 20 ? 1 : 0), mi: (value) => (value < 20 ? 1 : 0),
  km_h: () => 0, mph: () => 0, c: () => 0, f: () => 0,
};

/** The amount in the reader's units, rounded; undefined where it is in them already, or no system has a say in it. */
export function converted({ value, unit }: Amount, units: Units): Amount | undefined {
  const [system, other = "", factor = 1] = COUNTERPARTS[unit] ?? [];
  if (system === undefined || system === units) {
    return undefined;
  }
  const exact = unit === "f" ? (value - 32) * factor : unit === "c" ? value * factor + 32 : value * factor;
  // A long measure in centimetres is read as metres.
  return other === "cm" && Math.abs(exact) >= 300 ? rounded(exact / 100, "m") : rounded(exact, other);
}

/** A quantity of the contract, {"lb": 4300}, as an amount; undefined where it is none. */
export function amountOf(quantity: object | undefined): Amount | undefined {
  const [unit, value] = Object.entries(quantity ?? {})[0] ?? [];
  return unit !== undefined && typeof value === "number" ? { unit, value } : undefined;
}

function rounded(value: number, unit: string): Amount {
  const power = 10 ** (DECIMALS[unit]?.(Math.abs(value)) ?? 2);
  return { value: Math.round(value * power) / power, unit };
}
