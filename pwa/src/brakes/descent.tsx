/** What holds a speed down a grade: power, who takes it, and what is left for the service brakes. */

import type { Engine } from "../engine/client.ts";
import type { Descent as DescentFigures, GradeReport, Speed } from "../engine/types.ts";
import type { JsonObject } from "../store/journal.ts";
import { Value } from "../words/say.tsx";
import { t, type TextId } from "../words/text.ts";
import { Report } from "./report.tsx";
import { useReport } from "./use-report.ts";

interface Props {
  engine: Engine;
  rig: JsonObject;
  grade_pct?: number;
  speed?: Speed;
  /** Names a field of the question as the screen does. */
  fieldOf?: (pointer: string) => string;
}

export function Descent({ engine, rig, grade_pct, speed, fieldOf }: Props) {
  const outcome = useReport<GradeReport>(engine, "brakes/grade", { rig, ...(grade_pct !== undefined && { grade_pct }), ...(speed && { speed }) });
  return (
    <Report outcome={outcome} {...(fieldOf && { fieldOf })}>
      {({ descent }) => descent && <Figures descent={descent} />}
    </Report>
  );
}

/** A figure that the rig does not tell is left out: its finding says so. */
function Figures({ descent }: { descent: DescentFigures }) {
  const rows: [TextId, number | undefined, string][] = [
    ["descent.power", descent.power_kw, "kW"],
    ["descent.car", descent.car_pct, "pct"],
    ["descent.engine", descent.engine_brake_kw, "kW"],
    ["descent.left", descent.shortfall_kw, "kW"],
    ["descent.motorhome_brakes", descent.motorhome_brakes_kw, "kW"],
    ["descent.car_brakes", descent.car_brakes_kw, "kW"],
  ];
  return (
    <>
      <dl class="figures">
        {rows.map(([id, value, unit]) => value !== undefined && (
          <div key={id}><dt>{t(id)}</dt><dd><Value param={{ number: Number(value.toFixed(1)), unit }} /></dd></div>
        ))}
      </dl>
      <p class="hint">{t("descent.not_counted")}</p>
    </>
  );
}
