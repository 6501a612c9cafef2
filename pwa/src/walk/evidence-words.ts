/** What was counted and read at a step, in words. */

import type { Stand, Tick } from "../engine/types.ts";
import { plainly, showParam } from "../words/format.ts";
import { t } from "../words/text.ts";

export function countedWords({ counted, wanted }: NonNullable<Stand["counting"]>): string {
  return wanted === undefined ? t("count.counted", { n: counted }) : t("count.counted_of", { n: counted, wanted });
}

/** A temperature as the reader reads it. */
export function temperatureWords(temperature: NonNullable<NonNullable<Tick["reading"]>["temperature"]>): string {
  const shown = showParam({ temperature });
  return shown ? plainly(shown) : "";
}
