/** How far the rig has come since it was hooked up, as people read it off a trip meter. */

import { useId } from "preact/hooks";
import { readQuantity, showQuantity, type Quantity } from "../rig/quantity.ts";
import { t } from "../words/text.ts";
import { useReader } from "../words/use-reader.ts";
import { useTyped } from "./use-typed.ts";

interface Props {
  /** The document and the pointer of the distance. */
  place: string;
  driven: Quantity | undefined;
  /** Keeps the distance, undefined takes it away; answers why not, in words. */
  onDriven: (driven: Quantity | undefined) => Promise<string | undefined>;
}

/** As far as a trip meter counts, in each unit. */
const MOST: Quantity = { mi: 20_000, km: 32_186 };

export function Driven({ place, driven, onDriven }: Props) {
  const id = useId();
  const unit = useReader().units === "us" ? "mi" : "km";
  const { input, why } = useTyped(place, driven ? showQuantity(driven) : "", async (typed) => {
    if (typed === "") {
      return onDriven(undefined);
    }
    const read = readQuantity(typed, "distance", unit);
    if (!read.ok) {
      return read.why;
    }
    const [[as = "", value = 0] = []] = Object.entries(read.value);
    return value >= 0 && value <= (MOST[as] ?? Infinity) ? onDriven(read.value) : t("driven.most", { most: showQuantity({ [as]: MOST[as] ?? 0 }) });
  });
  return (
    <div class="field driven">
      <label for={id}>{t("driven.label")}</label>
      <p class="hint" id={`${id}-help`}>{t("driven.hint")}</p>
      <div class="figure-input">
        <input {...input} id={id} inputmode="decimal" placeholder={unit} aria-invalid={why !== ""} aria-describedby={`${id}-help ${id}-why`} />
      </div>
      <p class="wrong" id={`${id}-why`} role="status">{why}</p>
    </div>
  );
}
