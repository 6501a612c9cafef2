/** How long the breakaway battery holds the brakes on, over its temperature. */

import { forEngine, lastTrip } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { HoldReport } from "../engine/types.ts";
import type { JsonObject } from "../store/journal.ts";
import { plainly, showParam } from "../words/format.ts";
import { currentReader } from "../words/reader.ts";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { holdCurve } from "./curve.ts";
import { CurveFigure } from "./curve-figure.tsx";
import { Report } from "./report.tsx";
import { useReport } from "./use-report.ts";

export function Hold({ engine, rig }: { engine: Engine; rig: JsonObject }) {
  const { coldest } = forEngine(lastTrip(new Date()));
  const outcome = useReport<HoldReport>(engine, "breakaway/hold", { kit: rig.breakaway ?? {}, ...(coldest && { coldest }) });
  const cold = coldest && showParam({ temperature: coldest });
  return (
    <div class="engineered">
      <Report outcome={outcome}>
        {(report) => {
          const curve = holdCurve(report, currentReader().units);
          return (
            <>
              {curve && <CurveFigure curve={curve} />}
              {curve && <p class="hint">{cold ? t("hold.coldest", { cold: plainly(cold) }) : t("hold.no_coldest")}{report.curve.some(({ stretched }) => stretched) && ` ${t("hold.stretched")}`}</p>}
              <p><Say text={report.kept} /></p>
            </>
          );
        }}
      </Report>
    </div>
  );
}
