/** The words of a field, by its name: rig<name> its label, with ? where to read it, with # the heading before it; choice<set>=<value> its choices. */

import { textOf } from "../words/text.ts";
import type { Field } from "./fields.ts";

export function labelOf({ name }: Field): string {
  return textOf(`rig${name}`) ?? name;
}

/** Where to read it; empty where its label says all. */
export function helpOf({ name }: Field): string | undefined {
  return textOf(`rig${name}?`);
}

export function groupOf({ name }: Field): string | undefined {
  return textOf(`rig${name}#`);
}

export function choiceOf({ set, name }: Field, value: string): string {
  return textOf(`choice${set ?? name}=${value}`) ?? value;
}

/** The unit of a number as a word, or as its symbol. */
export function unitOf({ unit }: Field): string | undefined {
  return unit && (textOf(`unit.${unit}`) ?? unit);
}
