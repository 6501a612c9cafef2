/** Says in a line what a rig is. */

import { t } from "../words/text.ts";

interface Described {
  name?: string;
  towing?: { description?: string };
  towed?: { description?: string };
}

/** The name and the line of a rig's JSON text, which the engine has accepted. */
export function describe(text: string): { name: string; about: string } {
  const rig = JSON.parse(text) as Described;
  const parts = [rig.towing?.description, rig.towed?.description].filter((part) => part);
  return { name: rig.name || parts[0] || t("rig.none_named"), about: parts.join(" + ") };
}
