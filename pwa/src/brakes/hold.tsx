/** How long the breakaway battery holds the brakes on, over its temperature. */

import type { Engine } from "../engine/client.ts";
import type { HoldReport, Temperature } from "../engine/types.ts";
import type { JsonObject } from "../store/journal.ts";
import { plainly, showParam } from "../words/format.ts";
import { currentReader } from "../words/reader.ts";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { holdCurve } from "./curve.ts";
import { CurveFigure } from "./curve-figure.tsx";
import { Report } from "./report.tsx";
import { useReport } from "./use-report.ts";

interface Props {
  engine: Engine;
  rig: JsonObject;
  /** The trip's coldest, and what the trip is called here. */
  coldest: Temperature | undefined;
  of: "this" | "last";
  /** Names a field of the question as the screen does. */
  fieldOf?: (pointer: string) => string;
}

export function Hold({ engine, rig, coldest, of, fieldOf }: Props) {
  const outcome = useReport<HoldReport>(engine, "breakaway/hold", { kit: rig.breakaway ?? {}, ...(coldest && { coldest }) });
  const cold = coldest && showParam({ temperature: coldest });
  return (
    <div class="engineered">
      <Report outcome={outcome} {...(fieldOf && { fieldOf })}>
        {(report) => {
          const curve = holdCurve(report, currentReader().units);
          return (
            <>
              {curve && <CurveFigure curve={curve} />}
              {curve && <p class="hint">{cold ? t(`hold.coldest.${of}`, { cold: plainly(cold) }) : t(`hold.no_coldest.${of}`)}{report.curve.some(({ stretched }) => stretched) && ` ${t("hold.stretched")}`}</p>}
              <p><Say text={report.kept} /></p>
            </>
          );
        }}
      </Report>
    </div>
  );
}
