/** Says in words when a row applies. */

import type { RuleCondition } from "../engine/types.ts";
import { plainly, showAmount, showDay } from "../words/format.ts";
import { wordFor } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { amountOf } from "../words/units.ts";

/** The weight's name in words. */
export function weightName(weight: string | undefined): string {
  return weight === undefined ? "" : (textOf(`rules.weight.${weight}`) ?? weight);
}

export function conditionWords(condition: RuleCondition): string {
  const { all, any, weight, of, ...test } = condition;
  const parts = all ?? any;
  if (parts) {
    return parts.map((part) => (part.all ?? part.any ? `(${conditionWords(part)})` : conditionWords(part))).join(` ${t(all ? "rules.and" : "rules.or")} `);
  }
  const [name, value] = Object.entries(test)[0] ?? [];
  const words = textOf(`rules.if.${name}`) ?? String(name);
  return words.replace("{what}", name === "stated" ? String(value) : figure(value)).replace("{weight}", weightName(weight)).replace("{of}", weightName(of));
}

function figure(value: unknown): string {
  const amount = typeof value === "object" && value !== null ? amountOf(value) : undefined;
  if (amount) {
    return plainly(showAmount(amount), true);
  }
  const text = String(value);
  return /^\d{4}-\d\d-\d\d$/.test(text) ? showDay(text) : typeof value === "string" ? (textOf(`rules.link.${text}`) ?? wordFor(`law.subject.${text}`)) : text;
}
