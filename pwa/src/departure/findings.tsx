/** Findings, worst first, each opening to its remedy, figures and basis. */

import type { ComponentChildren } from "preact";
import { partOf, reveal } from "../brakes/parts.ts";
import type { Basis, Finding, Verdict } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { pointerInWords } from "../words/pointer.ts";
import { Say, Value, wordFor } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";

/** A longer list than this is folded by area, so that a person sees its shape first. */
const LONG = 6;

/** All findings of one verdict under their heading; what is fine stays folded. */
export function FindingsOf({ verdict, findings }: { verdict: Verdict; findings: Finding[] }) {
  const these = findings.filter((finding) => finding.verdict === verdict);
  if (these.length === 0) {
    return null;
  }
  if (verdict === "ok") {
    return <Folded words={<h2>{t("findings.ok")}</h2>} findings={these} />;
  }
  // What can wait is folded only where something must be found out now.
  const waits = (finding: Finding) => verdict === "find_out" && !finding.decides;
  const now = these.filter((finding) => !waits(finding));
  const later = these.filter(waits);
  return (
    <section aria-labelledby={`heading-${verdict}`}>
      <h2 id={`heading-${verdict}`}>
        {t(`findings.${verdict}`)} <span class="count">{these.length}</span>
      </h2>
      {now.length > LONG && verdict !== "no_go" ? <ByArea findings={now} /> : <List findings={now} />}
      {later.length > 0 && <Folded words={t("findings.waits")} findings={later} />}
    </section>
  );
}

function ByArea({ findings }: { findings: Finding[] }) {
  const areas = [...new Set(findings.map(({ area }) => area))];
  return (
    <>
      {areas.map((area, at) => (
        <Folded key={area} words={t(`area.${area}`)} findings={findings.filter((finding) => finding.area === area)} open={at === 0} />
      ))}
    </>
  );
}

function Folded({ words, findings, open = false }: { words: ComponentChildren; findings: Finding[]; open?: boolean }) {
  return (
    <details class="folded" open={open}>
      <summary>
        <Icon name="chevron" />
        <span class="folded-words">{words}</span>
        <span class="count">{findings.length}</span>
      </summary>
      <List findings={findings} />
    </details>
  );
}

function List({ findings }: { findings: Finding[] }) {
  return findings.length === 0 ? null : (
    <ul class="findings">
      {findings.map((finding, at) => (
        <li key={`${finding.id}-${at}`}>
          <One finding={finding} />
        </li>
      ))}
    </ul>
  );
}

function One({ finding }: { finding: Finding }) {
  // A limit of law is met in the unit that the law names.
  const law = finding.area === "law" || (finding.basis ?? []).some(({ kind }) => kind === "statute");
  const part = partOf(finding);
  return (
    <details class={`finding tone-${finding.verdict}`} data-finding={finding.id}>
      <summary>
        <VerdictMark verdict={finding.verdict} size={28} />
        <span class="finding-words">
          <span class="kicker">
            {t(`verdict.${finding.verdict}`)} · {t(`area.${finding.area}`)}
          </span>
          <span class="finding-says"><Say text={finding.says} given={law} /></span>
        </span>
        <Icon name="chevron" size={18} />
      </summary>
      <div class="finding-body">
        {finding.remedy && (
          <div class="remedy">
            <h3>{t("findings.what_to_do")}</h3>
            <p><Say text={finding.remedy} given={law} /></p>
          </div>
        )}
        {finding.figures && finding.figures.length > 0 && (
          <>
            <h3>{t("findings.figures")}</h3>
            <dl class="figures">
              {finding.figures.map((figure) => (
                <div class={figure.entered ? "entered" : ""}>
                  <dt>{wordFor(figure.label)}</dt>
                  <dd>
                    <Value param={figure.value} given={law || figure.entered} />
                    {figure.entered && <span class="how"> {t("findings.entered")}</span>}
                  </dd>
                </div>
              ))}
            </dl>
          </>
        )}
        {finding.basis && finding.basis.length > 0 && (
          <>
            <h3>{t("findings.basis")}</h3>
            <ul class="basis">{finding.basis.map((basis) => <li><BasisLine basis={basis} /></li>)}</ul>
          </>
        )}
        {finding.fields && finding.fields.length > 0 && (
          <>
            <h3>{t("findings.fields")}</h3>
            <ul class="fields">{finding.fields.map((field) => <li>{pointerInWords(field)}</li>)}</ul>
          </>
        )}
        {part && <button type="button" class="wide quiet" onClick={() => reveal(part)}>{t(`on_trip.show.${part}`)}</button>}
      </div>
    </details>
  );
}

/** Where a statement comes from and how well it is known. */
export function BasisLine({ basis }: { basis: Basis }) {
  const weak = basis.kind === "memory" || basis.known === "low";
  return (
    <span class={weak ? "basis-line weak" : "basis-line"}>
      <strong>{t(`basis.${basis.kind}`)}</strong> {basis.reference}
      {basis.year ? t("basis.text_of", { year: basis.year }) : ""}
      {basis.known && <em> ({textOf(`known.${basis.known}`) ?? basis.known})</em>}
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
        {t("basis.text")} <Icon name="away" size={14} />
        <span class="for-ears">{t("basis.new_tab")}</span>
      </a>
    </>
  );
}
