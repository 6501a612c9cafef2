/** The shop's test from a fused source: the figures as they are kept while they are taken, and as the record has them. */

import type { BenchTest, TestRecord } from "../engine/types.ts";
import type { Json, Write } from "../store/journal.ts";
import { pointer } from "../walk/walk.ts";
import type { Running } from "./record.ts";

/** What is measured on a pin, at a lamp of it, or on a pin with one of the car's switches on. */
export type Figure = { of: "a" | "ground"; pin: string } | { of: "lamp"; pin: string; lamp: string } | { of: "back"; pin: string; by: string };

/** Where a figure stands in the document. */
export function figurePath(figure: Figure): string {
  const last = figure.of === "lamp" ? [figure.lamp] : figure.of === "back" ? [figure.by] : [];
  return pointer("run", "bench", figure.of, figure.pin, ...last);
}

export function figureAt({ run }: Running, figure: Figure): number | undefined {
  const at = run.bench?.[figure.of]?.[figure.pin];
  const value = typeof at === "object" ? at[figure.of === "lamp" ? figure.lamp : figure.of === "back" ? figure.by : ""] : at;
  return typeof value === "number" ? value : undefined;
}

/** The writes of a figure; undefined takes it away. */
export function measured(figure: Figure, value: number | undefined): Write[] {
  const path = figurePath(figure);
  return [value === undefined ? { path, removed: true } : { path, value: value as Json }];
}

/** The figures taken so far, as the record has them. */
export function benchSeen(test: Running, { pins, back }: BenchTest): NonNullable<TestRecord["bench"]> {
  const v = (figure: Figure) => {
    const value = figureAt(test, figure);
    return value === undefined ? {} : { v: value };
  };
  const one = <Name extends string>(name: Name, value: number | undefined) => (value === undefined ? {} : ({ [name]: value } as Record<Name, number>));
  return {
    pins: pins.map(({ pin, lamps }) => ({
      pin, ...one("a", figureAt(test, { of: "a", pin })), ...one("ground_drop_v", figureAt(test, { of: "ground", pin })),
      lamps: lamps.map(({ lamp }) => ({ lamp, ...v({ of: "lamp", pin, lamp }) })),
    })),
    back: back.map(({ switch: by, pins }) => ({ switch: by, pins: pins.map(({ pin }) => ({ pin, ...v({ of: "back", pin, by }) })) })),
  };
}
