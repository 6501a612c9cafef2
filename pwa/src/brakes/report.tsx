/** What the engine found for one part of a rig, worst first, or why it would not answer. */

import type { ComponentChildren } from "preact";
import type { Outcome } from "../engine/client.ts";
import { Problem } from "../departure/problem.tsx";
import type { Finding } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { pointerInWords } from "../words/pointer.ts";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";

interface Props<T> {
  outcome: Outcome<T> | undefined;
  children: (report: T) => ComponentChildren;
  /** Whether a finding is shown here; all are where it is not told. */
  shows?: (finding: Finding) => boolean;
  /** Names a field of the question as the screen does. */
  fieldOf?: (pointer: string) => string;
}

export function Report<T extends { findings: Finding[] }>({ outcome, children, shows = () => true, fieldOf = (pointer) => pointer }: Props<T>) {
  if (!outcome) {
    return null;
  }
  return outcome.ok ? <><Found findings={outcome.value.findings.filter(shows)} fieldOf={fieldOf} />{children(outcome.value)}</> : <Problem problem={outcome.problem} under="/rig" />;
}

function Found({ findings, fieldOf }: { findings: Finding[]; fieldOf: (pointer: string) => string }) {
  return (
    <ul class="found">
      {findings.map((finding, at) => (
        <li key={`${finding.id}-${at}`} class={`tone-${finding.verdict}`}>
          <VerdictMark verdict={finding.verdict} size={24} />
          <span>
            <strong>{t(`verdict.${finding.verdict}`)}.</strong> <Say text={finding.says} />
            {finding.remedy && <span class="quiet"> <Say text={finding.remedy} /></span>}
            {finding.verdict === "find_out" && finding.fields && (
              <ul class="fields">{finding.fields.map((field) => <li key={field}>{pointerInWords(fieldOf(field))}</li>)}</ul>
            )}
          </span>
        </li>
      ))}
    </ul>
  );
}
