/** What the engine found for one part of a rig, worst first, or why it would not answer. */

import type { ComponentChildren } from "preact";
import type { Outcome } from "../engine/client.ts";
import { Problem } from "../departure/problem.tsx";
import type { Finding } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";

interface Props<T> {
  outcome: Outcome<T> | undefined;
  children: (report: T) => ComponentChildren;
}

export function Report<T extends { findings: Finding[] }>({ outcome, children }: Props<T>) {
  if (!outcome) {
    return null;
  }
  return outcome.ok ? <>{children(outcome.value)}<Found findings={outcome.value.findings} /></> : <Problem problem={outcome.problem} under="/rig" />;
}

function Found({ findings }: { findings: Finding[] }) {
  return (
    <ul class="found">
      {findings.map((finding, at) => (
        <li key={`${finding.id}-${at}`} class={`tone-${finding.verdict}`}>
          <VerdictMark verdict={finding.verdict} size={24} />
          <span>
            <strong>{t(`verdict.${finding.verdict}`)}.</strong> <Say text={finding.says} />
            {finding.remedy && <span class="quiet"> <Say text={finding.remedy} /></span>}
          </span>
        </li>
      ))}
    </ul>
  );
}
