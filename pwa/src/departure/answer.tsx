/** The answer for one trip: in words first, then what stands behind it. */

import type { ComponentChildren, Ref } from "preact";
import type { ReadinessReport, Verdict } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { Borders, Unread } from "./borders.tsx";
import { FindingsOf } from "./findings.tsx";

const WORST_FIRST: Verdict[] = ["no_go", "find_out", "mind"];

interface Props {
  report: ReadinessReport;
  heading: Ref<HTMLHeadingElement>;
  /** What stands behind the findings on brakes and battery. */
  children: ComponentChildren;
}

export function Answer({ report, heading, children }: Props) {
  return (
    <article class="answer">
      <section class={`verdict tone-${report.verdict}`} data-verdict={report.verdict}>
        <VerdictMark verdict={report.verdict} size={56} />
        <div>
          <h2 ref={heading} tabIndex={-1}>{t(`verdict.${report.verdict}`)}</h2>
          <p><Say text={report.answer} /></p>
        </div>
      </section>
      {WORST_FIRST.map((verdict) => <FindingsOf key={verdict} verdict={verdict} findings={report.findings} />)}
      {children}
      <section aria-labelledby="cautions-heading" class="cautions">
        <h2 id="cautions-heading">{t("answer.cautions")}</h2>
        <ul>{report.cautions.map((caution) => <li key={caution.id}><Say text={caution} /></li>)}</ul>
      </section>
      <FindingsOf verdict="ok" findings={report.findings} />
      <Borders law={report.law} />
      <Unread law={report.law} />
      <p class="notice"><Say text={report.notice} /></p>
      <p class="stamp">{t("answer.stamp", { engine: report.engine_version, facts: report.facts_version })}</p>
    </article>
  );
}
