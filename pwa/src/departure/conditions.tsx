/** The day and what it will be like: what decides law, battery and brakes. */

import { useId, useState } from "preact/hooks";
import { t } from "../words/text.ts";
import type { Trip, Typed } from "./trip.ts";

interface Props {
  trip: Trip;
  wrong: Partial<Record<keyof Typed, string>>;
  onChange: (change: Partial<Trip>) => void;
}

export function Conditions({ trip, wrong, onChange }: Props) {
  return (
    <section aria-labelledby="day-heading">
      <h2 id="day-heading">{t("day.title")}</h2>
      <p class="hint">{t("day.hint")}</p>
      <div class="field">
        <label for="on">{t("day.date")}</label>
        <input id="on" type="date" value={trip.on} onInput={(event) => onChange({ on: event.currentTarget.value })} />
      </div>
      <div class="field">
        <span id="light">{t("day.light")}</span>
        <Switch
          labelled="light"
          value={trip.night ? "night" : "day"}
          options={[["day", t("day.day")], ["night", t("day.night")]]}
          onChange={(value) => onChange({ night: value === "night" })}
        />
      </div>
      <Figure
        name="coldest" label={t("day.coldest")} value={trip.coldest} wrong={wrong.coldest} onChange={onChange}
        unit={{ value: trip.coldestUnit, options: [["f", "°F"], ["c", "°C"]], onChange: (unit) => onChange({ coldestUnit: unit }) }}
      />
      <Figure name="driving" label={t("day.driving")} value={trip.driving} wrong={wrong.driving} onChange={onChange} unit={t("unit.hours")} />
      <Figure name="grade" label={t("day.grade")} value={trip.grade} wrong={wrong.grade} onChange={onChange} unit="%" />
      <Figure
        name="speed" label={t("day.speed")} value={trip.speed} wrong={wrong.speed} onChange={onChange}
        unit={{ value: trip.speedUnit, options: [["mph", "mph"], ["km_h", "km/h"]], onChange: (unit) => onChange({ speedUnit: unit }) }}
      />
      <Figure
        name="distance" label={t("day.distance")} value={trip.distance} wrong={wrong.distance} onChange={onChange}
        unit={{ value: trip.distanceUnit, options: [["mi", "mi"], ["km", "km"]], onChange: (unit) => onChange({ distanceUnit: unit }) }}
      />
    </section>
  );
}

interface Choices<V extends string> {
  value: V;
  options: [V, string][];
  /** May answer later that it is kept. */
  onChange: (value: V) => unknown;
}

interface FigureProps<V extends string> {
  name: keyof Typed;
  label: string;
  value: string;
  wrong: string | undefined;
  unit: string | Choices<V>;
  onChange: (change: Partial<Trip>) => void;
}

/** A figure the person types: text, because people write 6½ and 6:30, and a phone's number pad has no minus. */
function Figure<V extends string>({ name, label, value, wrong, unit, onChange }: FigureProps<V>) {
  const fixed = typeof unit === "string";
  return (
    <div class="field">
      <label for={name}>{label}</label>
      <div class="figure-input">
        <input
          id={name}
          type="text"
          inputmode={name === "coldest" ? "text" : "decimal"}
          autocomplete="off"
          value={value}
          aria-invalid={wrong !== undefined}
          aria-describedby={`${fixed ? `${name}-unit ` : ""}${name}-wrong`}
          onInput={(event) => onChange({ [name]: event.currentTarget.value })}
        />
        {fixed ? (
          <span class="unit" id={`${name}-unit`}>{unit}</span>
        ) : (
          <Switch label={t("day.unit", { of: label })} {...unit} />
        )}
      </div>
      <p class="wrong" id={`${name}-wrong`} role="status">{wrong}</p>
    </div>
  );
}

/** Answers side by side, of which one holds. Its name is a text, or the id of the element that shows it. */
export function Switch<V extends string>({ label, labelled, value, options, onChange }: Choices<V> & { label?: string; labelled?: string }) {
  const name = useId();
  // What is being kept is shown as chosen meanwhile, whatever else is drawn anew.
  const [keeping, setKeeping] = useState<V>();
  const choose = (option: V) => {
    const kept = onChange(option);
    if (kept instanceof Promise) {
      setKeeping(option);
      void kept.finally(() => setKeeping(undefined));
    }
  };
  return (
    <div class="switch" role="radiogroup" aria-label={label} aria-labelledby={labelled}>
      {options.map(([option, word]) => (
        <label key={option}>
          <input type="radio" name={name} checked={option === (keeping ?? value)} onChange={() => choose(option)} />
          <span>{word}</span>
        </label>
      ))}
    </div>
  );
}
