/** Finds failures by what a person types. */

import type { Failure, Text } from "../engine/types.ts";

/** Everything of a failure that a typed word may be found in, in plain lower case. */
export type Index = Map<string, { name: string; signs: string; rest: string }>;

export function indexOf(failures: Failure[], say: (text: Text) => string): Index {
  return new Map(
    failures.map((failure) => [
      failure.id,
      {
        name: plain(say(failure.name)),
        signs: plain(say(failure.signs)),
        rest: plain([failure.cause, ...failure.do].map(say).join(" ")),
      },
    ]),
  );
}

/**
 * The failures in which every typed word begins a word, those where the name or
 * the signs have them first. Among equals the order stays: most urgent first.
 */
export function findFailures(typed: string, failures: Failure[], index: Index): Failure[] {
  const words = plain(typed).split(" ").filter((word) => word !== "");
  if (words.length === 0) {
    return [];
  }
  const rank = ({ id }: Failure): number => {
    const entry = index.get(id);
    const all = (...texts: (string | undefined)[]) => words.every((word) => texts.some((text) => ` ${text}`.includes(` ${word}`)));
    if (all(entry?.name)) return 0;
    if (all(entry?.name, entry?.signs)) return 1;
    return all(entry?.name, entry?.signs, entry?.rest) ? 2 : 3;
  };
  return failures.filter((failure) => rank(failure) < 3).sort((a, b) => rank(a) - rank(b));
}

function plain(text: string): string {
  return text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, " ").trim();
}
