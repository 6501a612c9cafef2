/** One figure or answer of a survey, typed as people write. */

import { useId } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { Json } from "../store/journal.ts";
import { useTyped } from "../walk/use-typed.ts";
import { t } from "../words/text.ts";
import { readNumber } from "../words/typed.ts";
import { SWITCHES, type Asked } from "./survey.ts";

interface Props {
  /** The document, the row and the member: what is typed there outlives a new start. */
  place: string;
  label: string;
  as: Asked;
  kept: Json | undefined;
  /** Keeps it, undefined for nothing; answers why not, in words. */
  onKeep: (value: Json | undefined) => Promise<string | undefined>;
}

export function SurveyFigure(props: Props) {
  switch (props.as) {
    case "yes":
      return <Answer {...props} />;
    case "switches":
      return <Switches {...props} />;
    default:
      return <Figure {...props} />;
  }
}

/** The most that a meter shows; the core holds the same bounds. */
const MOST = { v: 60, a: 100, ohm: 1e9 };
const SIGN = { v: "V", a: "A", ohm: "Ω" };
/** What a meter shows of an open circuit counts as the end of its range: ten megohm. */
const OVER_RANGE = 1e7;

function Figure({ place, label, as, kept, onKeep }: Props) {
  const id = useId();
  const unit = as as keyof typeof MOST;
  const { input, why } = useTyped(place, kept === OVER_RANGE && unit === "ohm" ? "OL" : kept === undefined ? "" : String(kept), async (typed) => {
    if (typed === "") return onKeep(undefined);
    if (unit === "ohm" && /^(ol|o\.l\.?|open)$/i.test(typed)) return onKeep(OVER_RANGE);
    const number = readNumber(typed, unit, unit === "ohm" ? 0 : -MOST[unit], MOST[unit]);
    return number.ok ? onKeep(number.value) : number.why;
  });
  return (
    <div class="survey-figure">
      <label for={id}>{label}</label>
      <div class="figure-input">
        <input {...input} id={id} inputMode={unit === "ohm" ? "text" : "decimal"} aria-invalid={why !== ""} aria-describedby={`${id}-why`} />
        <span class="unit">{SIGN[unit]}</span>
      </div>
      <p class="wrong" id={`${id}-why`} role="status">{why}</p>
    </div>
  );
}

function Answer({ label, kept, onKeep }: Props) {
  const id = useId();
  const value = kept === undefined ? "" : kept === true ? "yes" : "no";
  return (
    <div class="survey-answer">
      <span id={id}>{label}</span>
      <Switch
        labelled={id} value={value} options={[["yes", t("survey.yes")], ["no", t("survey.no")], ["", t("survey.not_seen")]]}
        onChange={(next) => onKeep(next === "" ? undefined : next === "yes")}
      />
    </div>
  );
}

function Switches({ label, kept, onKeep }: Props) {
  const on = Array.isArray(kept) ? kept : [];
  return (
    <fieldset class="survey-switches">
      <legend>{label}</legend>
      {SWITCHES.map((one) => (
        <button
          key={one} type="button" aria-pressed={on.includes(one)}
          onClick={() => {
            const next = on.includes(one) ? on.filter((other) => other !== one) : [...on, one];
            void onKeep(next.length === 0 ? undefined : next);
          }}
        >
          {t(`survey.switch.${one}`)}
        </button>
      ))}
    </fieldset>
  );
}
