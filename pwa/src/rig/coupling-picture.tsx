/** The coupling from the side, to scale from the entered heights and length. */

import { valueAt, type JsonObject } from "../store/journal.ts";
import { plainly, showAmount } from "../words/format.ts";
import { t } from "../words/text.ts";
import { amountOf } from "../words/units.ts";
import { inches } from "./quantity.ts";

export function CouplingPicture({ rig }: { rig: JsonObject }) {
  const at = (name: string) => valueAt(rig, `/coupling/geometry/${name}`);
  const [front, rear, arm] = [inches(at("towing_pin_height")), inches(at("towed_pin_height")), inches(at("arm_length"))];
  if (front === undefined || rear === undefined || arm === undefined || arm <= Math.abs(front - rear)) {
    return <p class="hint picture-missing">{t("picture.missing")}</p>;
  }
  const cable = inches(at("cable_height"));
  const run = Math.sqrt(arm * arm - (front - rear) ** 2);
  const slope = (Math.asin((front - rear) / arm) * 180) / Math.PI;
  const [left, ground, top] = [34, 0, Math.max(front, rear) + 14];
  const y = (height: number) => top - height;
  const said = (name: string) => plainly(showAmount(amountOf(at(name) as object) ?? { value: 0, unit: "" }));
  const lies = Math.abs(slope) < 0.05 ? "picture.level" : slope > 0 ? "picture.falls" : "picture.rises";
  const words = t("picture.words", {
    front: said("towing_pin_height"), rear: said("towed_pin_height"), bar: said("arm_length"), slope: t(lies, { angle: Math.abs(slope).toFixed(1) }),
  });
  const car = left + run;
  return (
    <figure class="coupling-picture">
      <svg viewBox={`0 -4 ${car + 40} ${top + 12}`} role="img" aria-label={words}>
        <path class="ground" d={`M0 ${y(ground)}H${car + 40}`} />
        <path class="body" d={`M2 ${y(top)}V${y(Math.max(4, front - 8))}H${left - 16}V${y(front - 2)}M${left - 16} ${y(front + 2)}V${y(top)}`} />
        <path class="body" d={`M${car + 38} ${y(top)}C${car + 14} ${y(top)} ${car + 10} ${y(rear + 8)} ${car + 10} ${y(rear + 3)}V${y(Math.max(4, rear - 7))}H${car + 38}`} />
        <path class="level" d={`M${left} ${y(front)}H${car}`} />
        {cable !== undefined && <path class="cable" d={`M${left - 10} ${y(cable)}Q${left + run / 2} ${y(Math.max(1, cable - 5))} ${car + 6} ${y(cable)}`} />}
        <path class="part" d={`M${left - 16} ${y(front)}H${left}M${car} ${y(rear)}H${car + 10}`} />
        <path class="bar" d={`M${left} ${y(front)}L${car} ${y(rear)}`} />
        <circle class="pin" cx={left} cy={y(front)} r="2.2" />
        <circle class="pin" cx={car} cy={y(rear)} r="2.2" />
        <path class="measure" d={`M${left} ${y(front) + 4}V${y(ground)}M${car} ${y(rear) + 4}V${y(ground)}`} />
      </svg>
      <figcaption class="quiet">{words} {t("picture.scale")}</figcaption>
    </figure>
  );
}
