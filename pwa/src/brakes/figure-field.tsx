/** A figure that a person may type, with its unit beside it and what is wrong below. */

import { useId } from "preact/hooks";

interface Props {
  label: string;
  value: string;
  wrong: string | undefined;
  unit: string;
  onType: (typed: string) => void;
}

export function FigureField({ label, value, wrong, unit, onType }: Props) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <div class="figure-input">
        <input id={id} type="text" autocomplete="off" value={value} aria-invalid={wrong !== undefined} aria-describedby={`${id}-unit ${id}-wrong`} onInput={(event) => onType(event.currentTarget.value)} />
        <span class="unit" id={`${id}-unit`}>{unit}</span>
      </div>
      <p class="wrong" id={`${id}-wrong`} role="status">{wrong}</p>
    </div>
  );
}
