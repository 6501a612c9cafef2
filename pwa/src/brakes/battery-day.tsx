/** The car's battery through a day of driving: charge and volts. */

import { useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import { lastTrip } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { DayReport, Segment, Temperature, Until } from "../engine/types.ts";
import type { JsonObject } from "../store/journal.ts";
import { showNumber } from "../words/format.ts";
import { t } from "../words/text.ts";
import { dayCurves } from "./curve.ts";
import { CurveFigure } from "./curve-figure.tsx";
import { dayOfTrip, segments, wrongDay, type Day } from "./day.ts";
import { FigureField } from "./figure-field.tsx";
import { Report } from "./report.tsx";
import { TerrainChoice } from "./terrain-choice.tsx";
import { useReport } from "./use-report.ts";

/** With the day as a person describes it. */
export function BatteryDay({ engine, rig }: { engine: Engine; rig: JsonObject }) {
  const [day, setDay] = useState<Day>(() => dayOfTrip(lastTrip(new Date())));
  return (
    <div class="engineered">
      <DayForm day={day} onChange={(part) => setDay({ ...day, ...part })} />
      <ThroughDay engine={engine} rig={rig} {...segments(day)} />
    </div>
  );
}

interface DayProps {
  engine: Engine;
  rig: JsonObject;
  day?: Segment[];
  temperature?: Temperature;
  /** Names a field of the question as the screen does. */
  fieldOf?: (pointer: string) => string;
}

export function ThroughDay({ engine, rig, day, temperature, fieldOf }: DayProps) {
  const outcome = useReport<DayReport>(engine, "battery/day", { rig, ...(day && { day }), ...(temperature && { temperature }) });
  return (
    <Report outcome={outcome} {...(fieldOf && { fieldOf })}>
      {(report) => (
        <>
          {dayCurves(report).map((curve) => <CurveFigure key={curve.unit} curve={curve} />)}
          {report.curve.length > 0 && <Events until={report.until} />}
        </>
      )}
    </Report>
  );
}

function DayForm({ day, onChange }: { day: Day; onChange: (part: Partial<Day>) => void }) {
  const wrong = wrongDay(day);
  return (
    <fieldset class="engineered-form">
      <legend>{t("battery_day.title")}</legend>
      <p class="hint">{t("battery_day.hint")}</p>
      <FigureField label={t("battery_day.driving")} value={day.driving} wrong={wrong.driving} unit={t("unit.hours")} onType={(driving) => onChange({ driving })} />
      <FigureField label={t("battery_day.halt")} value={day.halt} wrong={wrong.halt} unit={t("unit.hours")} onType={(halt) => onChange({ halt })} />
      <FigureField label={t("battery_day.temperature")} value={day.temperature} wrong={wrong.temperature} unit={day.unit === "f" ? "°F" : "°C"} onType={(temperature) => onChange({ temperature })} />
      <TerrainChoice value={day.terrain} onChange={(terrain) => onChange({ terrain })} />
      <div class="field">
        <span>{t("day.light")}</span>
        <Switch label={t("day.light")} value={day.dark ? "night" : "day"} options={[["day", t("day.day")], ["night", t("day.night")]]} onChange={(light) => onChange({ dark: light === "night" })} />
      </div>
    </fieldset>
  );
}

/** How long it takes to each event; one that does not come within the day says so. */
function Events({ until }: { until: Until[] }) {
  return (
    <dl class="events">
      {until.map(({ event, low_h, high_h }) => (
        <div key={event}>
          <dt>{t(`battery_day.${event}`)}</dt>
          <dd>{low_h === undefined ? t("battery_day.never") : high_h === undefined ? t("battery_day.from", { from: showNumber(low_h) }) : t("battery_day.between", { from: showNumber(low_h), to: showNumber(high_h) })}</dd>
        </div>
      ))}
    </dl>
  );
}
