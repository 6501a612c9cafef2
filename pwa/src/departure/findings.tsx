/** Findings, worst first, each opening to its remedy, figures and basis. */

import type { Basis, Finding, Verdict } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark, VERDICT_WORDS } from "../marks/verdict-mark.tsx";
import { pointerInWords } from "../words/pointer.ts";
import { Say, Value, wordFor } from "../words/say.tsx";

const HEADINGS: Record<Verdict, string> = {
  no_go: "What forbids it",
  find_out: "What to find out first",
  mind: "What to mind",
  ok: "What is fine",
};

const AREAS: Record<Finding["area"], string> = {
  permission: "Permission", coupling: "Coupling", brakes: "Brakes", breakaway: "Breakaway",
  lamps: "Lamps", battery: "Car battery", law: "Law", trip: "Trip",
};

/** All findings of one verdict under their heading; what is fine stays folded. */
export function FindingsOf({ verdict, findings }: { verdict: Verdict; findings: Finding[] }) {
  const these = findings.filter((finding) => finding.verdict === verdict);
  if (these.length === 0) {
    return null;
  }
  const list = (
    <ul class="findings">
      {these.map((finding, at) => (
        <li key={`${finding.id}-${at}`}>
          <One finding={finding} />
        </li>
      ))}
    </ul>
  );
  if (verdict === "ok") {
    return (
      <details class="folded">
        <summary>
          <Icon name="chevron" />
          <h2>{HEADINGS.ok}</h2>
          <span class="count">{these.length}</span>
        </summary>
        {list}
      </details>
    );
  }
  return (
    <section aria-labelledby={`heading-${verdict}`}>
      <h2 id={`heading-${verdict}`}>
        {HEADINGS[verdict]} <span class="count">{these.length}</span>
      </h2>
      {list}
    </section>
  );
}

function One({ finding }: { finding: Finding }) {
  return (
    <details class={`finding tone-${finding.verdict}`} data-finding={finding.id}>
      <summary>
        <VerdictMark verdict={finding.verdict} size={28} />
        <span class="finding-words">
          <span class="kicker">
            {VERDICT_WORDS[finding.verdict]} · {AREAS[finding.area]}
            {finding.verdict !== "ok" && !finding.decides && " · does not hold up this trip"}
          </span>
          <span class="finding-says"><Say text={finding.says} /></span>
        </span>
        <Icon name="chevron" size={18} />
      </summary>
      <div class="finding-body">
        {finding.remedy && (
          <div class="remedy">
            <h3>What to do</h3>
            <p><Say text={finding.remedy} /></p>
          </div>
        )}
        {finding.figures && finding.figures.length > 0 && (
          <>
            <h3>Figures</h3>
            <dl class="figures">
              {finding.figures.map((figure) => (
                <div class={figure.entered ? "entered" : "computed"}>
                  <dt>{wordFor(figure.label)}</dt>
                  <dd>
                    <Value param={figure.value} /> <span class="how">{figure.entered ? "entered" : "computed"}</span>
                  </dd>
                </div>
              ))}
            </dl>
          </>
        )}
        {finding.basis && finding.basis.length > 0 && (
          <>
            <h3>Basis</h3>
            <ul class="basis">{finding.basis.map((basis) => <li><BasisLine basis={basis} /></li>)}</ul>
          </>
        )}
        {finding.fields && finding.fields.length > 0 && (
          <>
            <h3>In the rig</h3>
            <ul class="fields">{finding.fields.map((field) => <li>{pointerInWords(field)}</li>)}</ul>
          </>
        )}
      </div>
    </details>
  );
}

const KINDS: Record<Basis["kind"], string> = {
  rating: "Rating",
  statute: "Law",
  standard: "Standard",
  practice: "Common practice",
  measured: "Measured on this rig",
  computed: "Computed",
  memory: "From memory, not read",
};

const KNOWN: Record<string, string> = {
  high: "read, and clear",
  medium: "known from a summary or reprint",
  low: "second-hand: a lead, not a fact",
};

/** Where a statement comes from and how well it is known. */
export function BasisLine({ basis }: { basis: Basis }) {
  const weak = basis.kind === "memory" || basis.known === "low";
  return (
    <span class={weak ? "basis-line weak" : "basis-line"}>
      <strong>{KINDS[basis.kind]}</strong> {basis.reference}
      {basis.year ? `, text of ${basis.year}` : ""}
      {basis.known && <em> ({KNOWN[basis.known] ?? basis.known})</em>}
      {basis.url && <Source url={basis.url} />}
    </span>
  );
}

/** A link to the text read; only web addresses become links. */
export function Source({ url }: { url: string }) {
  if (!/^https?:\/\//.test(url)) {
    return null;
  }
  return (
    <>
      {" "}
      <a href={url} target="_blank" rel="noopener noreferrer">
        the text <Icon name="away" size={14} />
        <span class="for-ears">, opens in a new tab and needs signal</span>
      </a>
    </>
  );
}
