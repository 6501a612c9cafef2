/** The stop held against the limits of a route, and against the federal classes as a yard-stick: kept, not kept or not known. */

import type { ClassResult, LimitResult, Param, StopCase, StoppingReport } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { plainly, showNumber, showParam } from "../words/format.ts";
import { Value } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { feet } from "./curve.ts";

interface LimitsProps {
  limits: LimitResult[];
  /** The jurisdictions for which none is known. */
  none: string[];
  /** Whose route it is: that of this trip, or of the trip last entered. */
  of: "this" | "last";
}

export function Limits({ limits, none, of }: LimitsProps) {
  return (
    <section class="limits">
      <h3>{t("limits.title")}</h3>
      <p class="hint">{t(`limits.hint.${of}`)}</p>
      <ul>
        {limits.map((limit, at) => (
          <li key={at}>
            <strong>{limit.name}</strong>{limit.braked !== undefined && ` (${t(limit.braked ? "limits.braked" : "limits.unbraked")})`}:{" "}
            {t("limits.line", { limit: asGiven({ length: limit.distance }), from: asGiven({ speed: limit.from }) })}
            <Kept met={limit.met} of={limit.case} ft={limit.stop_ft} />
          </li>
        ))}
        {none.length > 0 && <li>{t("limits.none", { names: none.join(", ") })}</li>}
      </ul>
    </section>
  );
}

/** Each class with each stop that is known. */
export function Classes({ report }: { report: StoppingReport }) {
  return (
    <details class="folded small">
      <summary><Icon name="chevron" size={16} /> <span>{t("classes.title")}</span></summary>
      <section class="limits">
        <p class="hint">{t("classes.hint")}</p>
        <ul>{report.classes.map((one) => <li key={one.class}><OneClass of={one} cases={report.cases} /></li>)}</ul>
      </section>
    </details>
  );
}

function OneClass({ of: one, cases }: { of: ClassResult; cases: StopCase[] }) {
  return (
    <>
      <strong>{textOf(`class.${one.class}`) ?? one.class}</strong>:{" "}
      {t("classes.line", { limit: asGiven({ length: { ft: one.service_ft } }), from: asGiven({ speed: { mph: 20 } }), force: showNumber(one.force_pct) })}
      {cases.length === 0 && <Kept met={undefined} of={undefined} ft={undefined} />}
      {cases.map(({ case: of, from_20_mph_ft }) => <Kept key={of} met={one[`${of}_met`]} of={of} ft={from_20_mph_ft} />)}
    </>
  );
}

/** In the reader's units, and as it was given. */
function asGiven(param: Param): string {
  const value = showParam(param);
  return value ? plainly(value, true) : "";
}

function Kept({ met, of, ft }: { met: boolean | undefined; of: StopCase["case"] | undefined; ft: number | undefined }) {
  return (
    <span class="kept" data-met={met ?? "not_known"}>
      <strong>{t(met === undefined ? "limits.not_known" : met ? "limits.kept" : "limits.not_kept")}</strong>
      {of !== undefined && ft !== undefined && <> {t(`curve.case.${of}`)}: <Value param={feet(ft)} /></>}
    </span>
  );
}
