/** Counts by hand: a figure, one more, one fewer, and the number expected beside it. */

import { useId } from "preact/hooks";
import { TypedInput } from "./typed-input.tsx";
import { t } from "../words/text.ts";

interface Props {
  wanted: number | undefined;
  counted: number | undefined;
  onCount: (count: number | undefined) => void;
}

const MOST = 200;

export function Count({ wanted, counted, onCount }: Props) {
  const id = useId();
  const set = (count: number) => onCount(Math.min(MOST, Math.max(0, count)));
  return (
    <div class="counter">
      <label for={id}>{wanted === undefined ? t("count.label") : t("count.label_of", { wanted })}</label>
      <div class="counter-row">
        <button type="button" aria-label={t("count.fewer")} disabled={(counted ?? 0) === 0} onClick={() => set((counted ?? 0) - 1)}>−</button>
        <TypedInput
          id={id}
          data-proof
          inputmode="numeric"
          placeholder="–"
          value={String(counted ?? "")}
          onTyped={(typed) => {
            if (typed !== "" && !/^\d{1,3}$/.test(typed)) return false;
            return typed === "" ? onCount(undefined) : set(Number(typed));
          }}
        />
        <button type="button" aria-label={t("count.more")} onClick={() => set((counted ?? 0) + 1)}>+</button>
      </div>
      {wanted === undefined && <p class="hint">{t("count.unknown")}</p>}
    </div>
  );
}
