/** The phones that work through one list, in words. */

import type { Stand } from "../engine/types.ts";
import type { Walk } from "./walk.ts";
import { when } from "./when.ts";
import { t } from "../words/text.ts";

/** What each phone of a walk-round is called on the phone named. */
export function phonesOf(walk: Walk, own: string): Map<string, string> {
  const ticking = Object.values(walk.ticks ?? {}).flatMap((by) => Object.keys(by));
  const others = [...new Set([...ticking, ...Object.keys(walk.phones ?? {})])].filter((device) => device !== own).sort();
  const unnamed = others.filter((device) => !walk.phones?.[device]);
  const called = (device: string) => walk.phones?.[device] || (unnamed.length === 1 ? t("phones.other") : t("phones.other_n", { n: unnamed.indexOf(device) + 1 }));
  return new Map([[own, t("phones.this")], ...others.map((device) => [device, called(device)] as const)]);
}

/** Who says what of a step: "Done: this phone 08:12. Not done: Ann 08:13." Empty where nobody has spoken. */
export function whoSays(walk: Walk, { step, done = [], not_done = [], settled = [] }: Stand, own: string): string {
  const phones = phonesOf(walk, own);
  const said = (words: string, devices: string[]) =>
    devices.length === 0 ? [] : [`${words}: ${devices.map((device) => `${phones.get(device)} ${when(walk.ticks?.[step.id]?.[device]?.at)}`).join(", ")}.`];
  const answers = settled.map(({ device, by, at }) => t("phones.settled", { of: phones.get(device) ?? device, by: phones.get(by) ?? by, when: when(at) }));
  return [...said(t("phones.done"), done), ...said(t("phones.not_done"), not_done), ...answers].join(" ");
}
