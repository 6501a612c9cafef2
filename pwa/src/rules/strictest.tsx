/** The strictest line on each subject over the route, and the place that draws it. */

import { shortCode } from "../departure/places.ts";
import { Source } from "../departure/findings.tsx";
import type { Law } from "../engine/types.ts";
import { wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { subjectName } from "./names.ts";
import { knownWords } from "./row-card.tsx";

export function Strictest({ law, judged }: { law: Law; judged: boolean }) {
  return (
    <section aria-labelledby="strictest-heading">
      <h2 id="strictest-heading">{t("rules.strictest")}</h2>
      {law.strictest.length === 0 ? <p class="hint">{t("rules.nothing_strict")}</p> : <p class="hint">{t("rules.strictest_hint")}</p>}
      <ul class="strictest">
        {law.strictest.map(({ subject, jurisdiction, name, requirement, row }) => (
          <li key={subject} data-subject={subject}>
            <h3>
              <a href={`#rules/subject/${subject}`}>{subjectName(subject)}</a>
              <a class="cause" href={`#rules/place/${jurisdiction}`}><abbr title={name}>{shortCode(jurisdiction)}</abbr> {name}</a>
            </h3>
            <p>{row.requirement}{row.yours && <span class="standing"> {t("rules.ours")}</span>}</p>
            {requirement === "may_not_cover" && <p class="quiet">{t("reading.may_not_cover")}.</p>}
            <p class="basis-line">
              {row.citation ?? wordFor("law.word.no_citation")}{row.text_year ? t("basis.text_of", { year: row.text_year }) : ""} <em>({knownWords(row)})</em>
              {row.url && <Source url={row.url} />}
            </p>
            {judged && row.met !== "none" && <p class={`met met-${row.met}`}>{t(`met.${row.met}`)}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}
