/** Says a moment as a day and a time. */

import { dayOf } from "../departure/trip.ts";
import { showDay } from "../words/format.ts";
import { t } from "../words/text.ts";
import { clock } from "./walk.ts";

export function when(moment: number | undefined): string {
  if (moment === undefined) {
    return t("time.not_known");
  }
  const day = dayOf(new Date(moment));
  return day === dayOf(new Date()) ? clock(moment) : `${showDay(day)}, ${clock(moment)}`;
}
