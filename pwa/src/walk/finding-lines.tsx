/** What is to be known about a list: what decides stands open, the rest is folded. */

import type { Finding } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { pointerInWords } from "../words/pointer.ts";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";

export function FindingLines({ findings }: { findings: Finding[] }) {
  const decide = findings.filter(({ decides, verdict }) => decides && verdict !== "ok");
  const rest = findings.filter(({ decides, verdict }) => !decides && verdict !== "ok");
  return (
    <>
      {decide.length > 0 && <Lines findings={decide} />}
      {rest.length > 0 && (
        <details class="folded small">
          <summary><Icon name="chevron" size={18} /> {t("lines.about")} <span class="count">{rest.length}</span></summary>
          <Lines findings={rest} />
        </details>
      )}
    </>
  );
}

function Lines({ findings }: { findings: Finding[] }) {
  return (
    <ul class="lines">
      {findings.map((finding, at) => (
        <li key={`${finding.id}-${at}`} class={`tone-${finding.verdict}`} data-finding={finding.id}>
          <VerdictMark verdict={finding.verdict} />
          <span>
            <span class="kicker">{t(`verdict.${finding.verdict}`)}</span>
            <span><Say text={finding.says} /></span>
            {finding.remedy && <span><Say text={finding.remedy} /></span>}
            {finding.fields && <span class="quiet">{t("lines.fields")} {finding.fields.map(pointerInWords).join("; ")}</span>}
          </span>
        </li>
      ))}
    </ul>
  );
}
