/** How the pair stops, from what was measured: over speed, as asked about, and against limits. */

import { useId, useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { Finding, Road, StopCase, StoppingReport } from "../engine/types.ts";
import type { JsonObject } from "../store/journal.ts";
import { plainly, showParam } from "../words/format.ts";
import { currentReader } from "../words/reader.ts";
import { Value } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { feet, stoppingCurve } from "./curve.ts";
import { CurveFigure } from "./curve-figure.tsx";
import { Descent } from "./descent.tsx";
import { FigureField } from "./figure-field.tsx";
import { Classes, Limits } from "./limits.tsx";
import { Report } from "./report.tsx";
import { gradeAsked, stopAsked, wrongStop, type StopAsked } from "./stop-asked.ts";
import { useReport } from "./use-report.ts";

const SURFACES = ["dry", "wet", "gravel", "snow", "ice"] as const;

interface Props {
  engine: Engine;
  rig: JsonObject;
  /** What a route asks, undefined where there is none; `of` says whose route it is. */
  road: Road | undefined;
  of: "this" | "last";
  /** What is asked about at first. */
  begin: StopAsked;
  /** Whether holding the speed down the grade is shown here too. */
  descent?: boolean;
}

export function Stopping({ engine, rig, road, of, begin, descent = false }: Props) {
  const [asked, setAsked] = useState(begin);
  const grade = gradeAsked(asked);
  const outcome = useReport<StoppingReport>(engine, "brakes/stopping", { rig, ...stopAsked(asked), ...(road && { limits: road.stop_limits }) });
  return (
    <div class="engineered">
      <Report outcome={outcome} shows={isNoLimit}>
        {(report) => {
          const curve = stoppingCurve(report, currentReader().units);
          return (
            <>
              {report.cases.length > 0 && <StopForm asked={asked} onChange={(part) => setAsked({ ...asked, ...part })} />}
              {curve && <CurveFigure curve={curve} />}
              {curve && <p class="hint">{t("stopping.counted")}</p>}
              <AsAsked cases={report.cases} asked={asked} />
              {road && <Limits limits={report.limits} none={road.no_stop_limit} of={of} />}
              <Classes report={report} />
            </>
          );
        }}
      </Report>
      {descent && grade && (
        <section>
          <h3>{t("descent.title")}</h3>
          <Descent engine={engine} rig={rig} {...grade} />
        </section>
      )}
    </div>
  );
}

/** What a limit comes to stands in the list of limits; whether it binds is for the law. */
function isNoLimit({ id }: Finding): boolean {
  return !id.startsWith("brakes.limit");
}

function StopForm({ asked, onChange }: { asked: StopAsked; onChange: (part: Partial<StopAsked>) => void }) {
  const id = useId();
  const wrong = wrongStop(asked);
  return (
    <fieldset class="engineered-form">
      <legend>{t("stopping.title")}</legend>
      <p class="hint">{t("stopping.hint")}</p>
      <FigureField label={t("stopping.speed")} value={asked.speed} wrong={wrong.speed} unit={asked.unit === "mph" ? "mph" : "km/h"} onType={(speed) => onChange({ speed })} />
      <FigureField label={t("stopping.reaction")} value={asked.reaction} wrong={wrong.reaction} unit={t("unit.seconds")} onType={(reaction) => onChange({ reaction })} />
      <FigureField label={t("stopping.down")} value={asked.down} wrong={wrong.down} unit="%" onType={(down) => onChange({ down })} />
      <div class="field">
        <label for={id}>{t("stopping.surface")}</label>
        <select id={id} value={asked.surface} onChange={(event) => onChange({ surface: event.currentTarget.value as StopAsked["surface"] })}>
          <option value="">{t("stopping.as_measured")}</option>
          {SURFACES.map((of) => <option key={of} value={of}>{textOf(`surface.${of}`)}</option>)}
        </select>
      </div>
    </fieldset>
  );
}

/** Each stop from the speed asked about; one that never ends has no figure, and a finding. */
function AsAsked({ cases, asked }: { cases: StopCase[]; asked: StopAsked }) {
  const { speed, reaction_s } = stopAsked(asked);
  const known = cases.flatMap(({ case: of, at }) => (at ? [{ of, at }] : []));
  const shown = speed && showParam({ speed });
  return !shown || known.length === 0 ? null : (
    <>
      <h3>{t("stopping.from", { speed: plainly(shown, true) })}</h3>
      <dl class="figures">
        {known.map(({ of, at }) => (
          <div key={of}>
            <dt>{t(`curve.case.${of}`)}</dt>
            <dd><Value param={feet(at.total_ft)} /></dd>
          </div>
        ))}
      </dl>
      <p class="hint">{t(reaction_s === undefined ? "stopping.without_reaction" : "stopping.with_reaction")}</p>
    </>
  );
}
