/** How the pair stops, over speed, from what was measured. */

import { useId, useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { StoppingReport } from "../engine/types.ts";
import type { JsonObject } from "../store/journal.ts";
import { currentReader } from "../words/reader.ts";
import { t, textOf } from "../words/text.ts";
import { stoppingCurve } from "./curve.ts";
import { CurveFigure } from "./curve-figure.tsx";
import { Report } from "./report.tsx";
import { useReport } from "./use-report.ts";

const SURFACES = ["dry", "wet", "gravel", "snow", "ice"] as const;

export function Stopping({ engine, rig }: { engine: Engine; rig: JsonObject }) {
  const id = useId();
  const [surface, setSurface] = useState("");
  const outcome = useReport<StoppingReport>(engine, "brakes/stopping", { rig, ...(surface !== "" && { surface }) });
  return (
    <div class="engineered">
      <Report outcome={outcome}>
        {(report) => {
          const curve = stoppingCurve(report, currentReader().units);
          return (
            <>
              {report.cases.length > 0 && (
                <div class="field">
                  <label for={id}>{t("stopping.surface")}</label>
                  <select id={id} value={surface} onChange={(event) => setSurface(event.currentTarget.value)}>
                    <option value="">{t("stopping.as_measured")}</option>
                    {SURFACES.map((of) => <option key={of} value={of}>{textOf(`surface.${of}`)}</option>)}
                  </select>
                </div>
              )}
              {curve && <CurveFigure curve={curve} />}
              {curve && <p class="hint">{t("stopping.counted")}</p>}
            </>
          );
        }}
      </Report>
    </div>
  );
}
