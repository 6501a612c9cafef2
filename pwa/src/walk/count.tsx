/** Counts by hand: a figure, one more, one fewer, and the number expected beside it. */

import { useId } from "preact/hooks";
import { setUnkept } from "../keep/unkept.ts";
import { t } from "../words/text.ts";
import { useTyped } from "./use-typed.ts";

interface Props {
  /** The document and the pointer of the count. */
  place: string;
  wanted: number | undefined;
  counted: number | undefined;
  /** Keeps the count, undefined takes it away; answers why not, in words. */
  onCount: (count: number | undefined) => Promise<string | undefined>;
}

const MOST = 200;

export function Count({ place, wanted, counted, onCount }: Props) {
  const id = useId();
  const { input, why } = useTyped(place, String(counted ?? ""), async (typed) => {
    if (typed === "") {
      return onCount(undefined);
    }
    return /^\d{1,3}$/.test(typed) && Number(typed) <= MOST ? onCount(Number(typed)) : t("count.whole", { most: MOST });
  });
  const step = (by: number) => {
    setUnkept(place, undefined); // the button counts on from what is kept
    void onCount(Math.min(MOST, Math.max(0, (counted ?? 0) + by)));
  };
  return (
    <div class="counter">
      <label for={id}>{wanted === undefined ? t("count.label") : t("count.label_of", { wanted })}</label>
      <div class="counter-row">
        <button type="button" aria-label={t("count.fewer")} disabled={(counted ?? 0) === 0} onClick={() => step(-1)}>−</button>
        <input {...input} id={id} data-proof inputmode="numeric" placeholder="–" aria-invalid={why !== ""} aria-describedby={`${id}-why`} />
        <button type="button" aria-label={t("count.more")} onClick={() => step(1)}>+</button>
      </div>
      <p class="wrong" id={`${id}-why`} role="status">{why}</p>
      {wanted === undefined && <p class="hint">{t("count.unknown")}</p>}
    </div>
  );
}
