/** One field of a rig: typed as people write it, kept when it is left, and its text kept when it cannot be read. */

import { useEffect, useId, useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import { setUnkept, unkeptAt } from "../keep/unkept.ts";
import type { Json } from "../store/journal.ts";
import { t } from "../words/text.ts";
import type { Units } from "../words/units.ts";
import { converse, isQuantity, meant, shownIn, usual } from "./edit.ts";
import { choiceOf, helpOf, labelOf, unitOf } from "./field-words.ts";
import type { Field as Spec } from "./fields.ts";
import { spelled } from "./quantity.ts";

interface Props {
  /** The document and the pointer of what is typed here. */
  place: string;
  spec: Spec;
  value: Json | undefined;
  units: Units;
  /** Keeps the value; answers why not, in words. */
  onKeep: (value: Json | undefined) => Promise<string | undefined>;
}

export function Field({ place, spec, value, units, onKeep }: Props) {
  const id = useId();
  const kept = shownIn(spec, value);
  const [text, setText] = useState(unkeptAt(place) ?? kept);
  const [why, setWhy] = useState(() => whyUnkept(spec, unkeptAt(place), units));
  // What another tab or undo changed replaces what stands here, unless it was typed and is not kept.
  useEffect(() => {
    if (unkeptAt(place) === undefined) {
      setText(kept);
      setWhy("");
    }
  }, [place, kept]);

  const type = (typed: string) => {
    setText(typed);
    setUnkept(place, typed.trim() === kept ? undefined : typed);
  };
  const keep = async (typed: string) => {
    if (typed.trim() === kept) {
      setWhy("");
      return;
    }
    const what = meant(spec, typed, units);
    const refused = what.ok ? await onKeep(what.value) : what.why;
    setWhy(refused ?? "");
    if (refused === undefined && what.ok) {
      setUnkept(place, undefined);
      setText(shownIn(spec, what.value));
    }
  };
  const change = (typed: string) => {
    type(typed);
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
          onInput={(event) => type(event.currentTarget.value)} onBlur={(event) => void keep(event.currentTarget.value)}
        />
      )}
      {isTyped(spec) && (
        <div class="figure-line">
          <input
            id={id} type="text" autocomplete="off" value={text} aria-describedby={described} aria-invalid={invalid}
            placeholder={isQuantity(spec) ? spelled(usual(spec, units)) : ""}
            onInput={(event) => type(event.currentTarget.value)}
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

/** Why a text from an earlier start is not kept; empty where there is none. */
function whyUnkept(spec: Spec, text: string | undefined, units: Units): string {
  const what = text === undefined ? undefined : meant(spec, text, units);
  return what === undefined ? "" : what.ok ? t("field.not_left") : what.why;
}

function isTyped(spec: Spec): boolean {
  return isQuantity(spec) || spec.kind === "text" || spec.kind === "number";
}
