/** Counts by hand: a figure, one more, one fewer, and the number expected beside it. */

import { useId } from "preact/hooks";

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
      <label for={id}>Counted{wanted === undefined ? "" : `, ${wanted} expected`}</label>
      <div class="counter-row">
        <button type="button" aria-label="One fewer" disabled={(counted ?? 0) === 0} onClick={() => set((counted ?? 0) - 1)}>−</button>
        <input
          id={id}
          data-proof
          type="text"
          inputmode="numeric"
          autocomplete="off"
          placeholder="–"
          value={counted ?? ""}
          onChange={(event) => {
            const typed = event.currentTarget.value.trim();
            if (/^\d{1,3}$/.test(typed)) set(Number(typed));
            else if (typed === "") onCount(undefined);
            else event.currentTarget.value = String(counted ?? "");
          }}
        />
        <button type="button" aria-label="One more" onClick={() => set((counted ?? 0) + 1)}>+</button>
      </div>
      {wanted === undefined && <p class="hint">The rig does not say how many there are.</p>}
    </div>
  );
}
