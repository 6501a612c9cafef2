/** Turns what a person typed or chose into writes, judged by the engine before they are kept. */

import type { Engine } from "../engine/client.ts";
import { valueAt, type Json, type JsonObject, type Write } from "../store/journal.ts";
import { plainly, showAmount } from "../words/format.ts";
import { t } from "../words/text.ts";
import { amountOf, type Units } from "../words/units.ts";
import { unitOf } from "./field-words.ts";
import type { Field } from "./fields.ts";
import { readFigure, readQuantity, showQuantity, type Dimension, type Quantity } from "./quantity.ts";

export type Meant = { ok: true; value: Json | undefined } | { ok: false; why: string };

/** What a typed text means for a field; an empty text is no value. */
export function meant(field: Field, typed: string, units: Units): Meant {
  const text = typed.trim();
  if (text === "") {
    return { ok: true, value: undefined };
  }
  switch (field.kind) {
    case "yes_no":
      return { ok: true, value: text === "yes" };
    case "number": {
      const unit = unitOf(field)?.toLowerCase() ?? "";
      const value = readFigure(unit !== "" && text.toLowerCase().endsWith(unit) ? text.slice(0, -unit.length) : text);
      return value === undefined ? { ok: false, why: t("typed.no_number", { typed: text }) } : { ok: true, value };
    }
    case "mass":
    case "length":
    case "distance":
    case "speed":
    case "temperature":
      return readQuantity(text, field.kind, usual(field, units));
    default:
      return { ok: true, value: text };
  }
}

/** The unit of a figure typed without one. */
export function usual(field: Field, units: Units): string {
  const [us, metric] = USUAL[field.kind as Dimension];
  return field.small ? (units === "us" ? "in" : "cm") : units === "us" ? us : metric;
}

const USUAL: Record<Dimension, [us: string, metric: string]> = { mass: ["lb", "kg"], length: ["ft", "m"], distance: ["mi", "km"], speed: ["mph", "km_h"], temperature: ["f", "c"] };

/** How a kept value stands in its field. */
export function shownIn(field: Field, value: Json | undefined): string {
  if (value === undefined) return "";
  if (typeof value === "boolean") return value ? "yes" : "no";
  return typeof value === "object" && !Array.isArray(value) && field.kind !== "text" ? showQuantity(value as Quantity) : String(value);
}

/** A kept quantity in the reader's units, where it was entered in others; empty where there is nothing to add. */
export function converse(field: Field, value: Json | undefined): string {
  const amount = isQuantity(field) && typeof value === "object" ? amountOf(value) : undefined;
  const shown = amount && showAmount(amount);
  return shown?.given ? plainly(shown) : "";
}

/** Whether a field holds an amount with its unit. */
export function isQuantity({ kind }: Field): boolean {
  return kind in USUAL;
}

/** The rig as it would be after the writes, to be judged; what is kept is folded by the journal. */
export function withWrites(rig: JsonObject, writes: Write[]): JsonObject {
  const next = structuredClone(rig);
  for (const { path, value, removed } of writes) {
    const steps = path.split("/").slice(1);
    const last = steps.pop() ?? "";
    let here = next;
    for (const step of steps) {
      const below = here[step];
      here = (typeof below === "object" && !Array.isArray(below) ? below : (here[step] = {})) as JsonObject;
    }
    if (removed || value === undefined) delete here[last];
    else here[last] = value;
  }
  return next;
}

/** Why the engine would not take the rig with these writes, at the place written; undefined where it takes them. */
export async function refusal(engine: Pick<Engine, "run">, rig: JsonObject, writes: Write[]): Promise<string | undefined> {
  const outcome = await engine.run("coupling/check", JSON.stringify({ rig: withWrites(rig, writes) }));
  if (outcome.ok) {
    return undefined;
  }
  const mine = outcome.problem.errors.filter(({ pointer }) => writes.some(({ path }) => pointer.startsWith(`/rig${path}`)));
  return mine.length === 0 ? undefined : mine.map(({ detail }) => detail).join(" ");
}

/** The ids of a map's entries in their order. */
export function ordered(entries: JsonObject, ranked: string | undefined, ranks: string[]): string[] {
  const rank = (id: string) => (ranked ? ranks.indexOf(String(valueAt(entries[id], `/${ranked}`))) : 0);
  const order = (id: string) => Number(valueAt(entries[id], "/order") ?? 0);
  return Object.keys(entries).sort((a, b) => rank(a) - rank(b) || order(a) - order(b) || (a < b ? -1 : 1));
}
