/** One field of a rig: typed as people write it, kept when it is left, and its text kept when it cannot be read. */

import { useEffect, useId, useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { Json } from "../store/journal.ts";
import { t } from "../words/text.ts";
import type { Units } from "../words/units.ts";
import { converse, isQuantity, meant, shownIn, usual } from "./edit.ts";
import { choiceOf, helpOf, labelOf, unitOf } from "./field-words.ts";
import type { Field as Spec } from "./fields.ts";

interface Props {
  spec: Spec;
  value: Json | undefined;
  units: Units;
  /** Keeps the value; answers why not, in words. */
  onKeep: (value: Json | undefined) => Promise<string | undefined>;
}

export function Field({ spec, value, units, onKeep }: Props) {
  const id = useId();
  const kept = shownIn(spec, value);
  const [text, setText] = useState(kept);
  const [why, setWhy] = useState("");
  // What another tab or undo changed replaces what stands here, unless it could not be read.
  useEffect(() => {
    setText(kept);
    setWhy("");
  }, [kept]);

  const keep = async (typed: string) => {
    if (typed.trim() === kept && why === "") {
      return;
    }
    const what = meant(spec, typed, units);
    const refused = what.ok ? await onKeep(what.value) : what.why;
    setWhy(refused ?? "");
    if (refused === undefined && what.ok) setText(shownIn(spec, what.value));
  };
  const change = (typed: string) => {
    setText(typed);
    void keep(typed);
  };
  const invalid = why !== "";
  const other = invalid ? "" : converse(spec, value);
  const [help, unit] = [helpOf(spec), unitOf(spec)];
  const described = `${id}-help ${id}-why`;
  return (
    <div class={`rig-field kind-${spec.kind}`} data-at={spec.at}>
      {spec.kind === "yes_no" ? <span id={id} class="rig-label">{labelOf(spec)}</span> : <label for={id} class="rig-label">{labelOf(spec)}</label>}
      {help && <p class="hint" id={`${id}-help`}>{help}</p>}
      {spec.kind === "yes_no" && <Switch labelled={id} value={text} options={[["yes", t("yes")], ["no", t("no")], ["", t("not_known")]]} onChange={change} />}
      {spec.kind === "choice" && (
        <select id={id} value={text} aria-describedby={described} aria-invalid={invalid} onChange={(event) => change(event.currentTarget.value)}>
          <option value="">{t("not_known")}</option>
          {spec.choices?.map((word) => <option key={word} value={word}>{choiceOf(spec, word)}</option>)}
        </select>
      )}
      {spec.kind === "date" && (
        <input id={id} type="date" value={text} aria-describedby={described} aria-invalid={invalid} onChange={(event) => change(event.currentTarget.value)} />
      )}
      {spec.kind === "long" && (
        <textarea
          id={id} rows={3} maxLength={600} value={text} aria-describedby={described} aria-invalid={invalid}
          onInput={(event) => setText(event.currentTarget.value)} onBlur={(event) => void keep(event.currentTarget.value)}
        />
      )}
      {isTyped(spec) && (
        <div class="figure-line">
          <input
            id={id} type="text" autocomplete="off" value={text} aria-describedby={described} aria-invalid={invalid}
            placeholder={isQuantity(spec) ? spelled(usual(spec, units)) : ""}
            onInput={(event) => setText(event.currentTarget.value)}
            onBlur={(event) => void keep(event.currentTarget.value)}
            onKeyDown={(event) => event.key === "Enter" && void keep(event.currentTarget.value)}
          />
          {unit && <span class="unit">{unit}</span>}
          {other && <span class="unit converse">= {other}</span>}
        </div>
      )}
      <p class="wrong" id={`${id}-why`} role="status">{why && t("field.not_kept", { why })}</p>
    </div>
  );
}

function isTyped(spec: Spec): boolean {
  return isQuantity(spec) || spec.kind === "text" || spec.kind === "number";
}

function spelled(unit: string): string {
  return unit === "km_h" ? "km/h" : unit;
}
