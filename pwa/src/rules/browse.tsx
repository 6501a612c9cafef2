/** The rows by place, by subject, and all of them with filters. */

import type { ComponentChildren, Ref } from "preact";
import { useMemo, useState } from "preact/hooks";
import { shortCode } from "../departure/places.ts";
import type { LawSubject, PlaceCoverage, RuleRowAt } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { showNumber } from "../words/format.ts";
import { t } from "../words/text.ts";
import { SUBJECTS, subjectName } from "./names.ts";
import { RowCard } from "./row-card.tsx";
import type { Law } from "./use-law.ts";
import { Windowed } from "./windowed.tsx";

export interface ViewProps {
  law: Law | "failed" | undefined;
  heading: Ref<HTMLHeadingElement>;
}

export function Places({ law, heading }: ViewProps) {
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.places")}</h1>
      <Ready law={law}>
        {(known) => (
          <ul class="links law-places">
            {known.places.map(({ jurisdiction, name, subjects }) => (
              <li key={jurisdiction}>
                <a href={`#rules/place/${jurisdiction}`}>
                  <abbr title={name}>{shortCode(jurisdiction)}</abbr>
                  <span>{name}<span class="quiet">{t("rules.coverage_of", { read: subjects.filter(isRead).length, of: subjects.length })}</span></span>
                  <Icon name="chevron" size={18} />
                </a>
              </li>
            ))}
          </ul>
        )}
      </Ready>
    </>
  );
}

export function Subjects({ law, heading }: ViewProps) {
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.subjects")}</h1>
      <Ready law={law}>
        {(known) => (
          <ul class="links">
            {SUBJECTS.map((subject) => (
              <li key={subject}>
                <a href={`#rules/subject/${subject}`}>
                  <span>{subjectName(subject)}<span class="quiet">{rowsOf(known.rows.filter(({ row }) => row.subject === subject).length)}</span></span>
                  <Icon name="chevron" size={18} />
                </a>
              </li>
            ))}
          </ul>
        )}
      </Ready>
    </>
  );
}

export function OnePlace({ law, heading, code }: ViewProps & { code: string }) {
  return (
    <Ready law={law}>
      {(known) => {
        const place = known.places.find(({ jurisdiction }) => jurisdiction === code);
        if (!place) return <p class="hint empty">{t("rules.unknown_place")}</p>;
        return (
          <>
            <h1 ref={heading} tabIndex={-1}>{place.name}</h1>
            <AddLink to={code} />
            <Rows rows={known.rows.filter(({ row }) => row.jurisdiction === code)} title={({ row }) => subjectName(row.subject)} />
            <HowFar place={place} />
          </>
        );
      }}
    </Ready>
  );
}

/** How far each subject of a place was read. */
export function HowFar({ place }: { place: PlaceCoverage }) {
  return (
    <section aria-label={`${place.name}: ${t("rules.how_far")}`}>
      <h2>{t("rules.how_far")}</h2>
      <dl class="versions">
        {place.subjects.map(({ subject, coverage, yours, old }) => (
          <div key={subject}>
            <dt>{subjectName(subject)}</dt>
            <dd>{t(`coverage.${coverage}`)}{yours ? `, ${t("rules.of_ours", { n: yours })}` : ""}{old ? `, ${t("rules.old_short")}` : ""}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

export function OneSubject({ law, heading, subject }: ViewProps & { subject: string }) {
  if (!SUBJECTS.includes(subject as LawSubject)) return <p class="hint empty">{t("rules.unknown_subject")}</p>;
  return (
    <Ready law={law}>
      {(known) => (
        <>
          <h1 ref={heading} tabIndex={-1}>{subjectName(subject)}</h1>
          <Rows rows={known.rows.filter(({ row }) => row.subject === subject)} title={({ row }) => nameOf(known, row.jurisdiction)} />
        </>
      )}
    </Ready>
  );
}

export function AllRows({ law, heading, leftOut }: ViewProps & { leftOut: string[] }) {
  const [word, setWord] = useState("");
  const [place, setPlace] = useState("");
  const [subject, setSubject] = useState("");
  const [ours, setOurs] = useState(false);
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.all_rows")}</h1>
      <AddLink />
      {leftOut.length > 0 && <p class="note tone-mind"><span>{t("rules.left_out", { rows: leftOut.join(", ") })}</span></p>}
      <Ready law={law}>
        {(known) => (
          <>
            <div class="filters" role="search">
              <label>{t("rules.look")}<input type="search" value={word} autocomplete="off" placeholder={t("rules.look_hint")} onInput={(event) => setWord(event.currentTarget.value)} /></label>
              <Choose label={t("rules.only_place")} value={place} options={known.places.map(({ jurisdiction, name }) => [jurisdiction, name])} onChange={setPlace} />
              <Choose label={t("rules.only_subject")} value={subject} options={SUBJECTS.map((one) => [one, subjectName(one)])} onChange={setSubject} />
              <label class="tick"><input type="checkbox" checked={ours} onChange={(event) => setOurs(event.currentTarget.checked)} /> {t("rules.only_ours")}</label>
            </div>
            <Found known={known} word={word} place={place} subject={subject} ours={ours} />
          </>
        )}
      </Ready>
    </>
  );
}

/** A choice of one or all. */
function Choose({ label, value, options, onChange }: { label: string; value: string; options: [string, string][]; onChange: (value: string) => void }) {
  return (
    <label>
      {label}
      <select value={value} onChange={(event) => onChange(event.currentTarget.value)}>
        <option value="">{t("rules.every")}</option>
        {options.map(([id, name]) => <option key={id} value={id}>{name}</option>)}
      </select>
    </label>
  );
}

function Found({ known, word, place, subject, ours }: { known: Law; word: string; place: string; subject: string; ours: boolean }) {
  const found = useMemo(() => {
    const wanted = word.trim().toLowerCase();
    return known.rows.filter(({ row, standing }) =>
      (place === "" || row.jurisdiction === place) && (subject === "" || row.subject === subject) && (!ours || standing !== "built_in") &&
      (wanted === "" || [row.id, row.requirement, row.citation, row.note, row.doubt].join("\n").toLowerCase().includes(wanted)),
    );
  }, [known, word, place, subject, ours]);
  return (
    <>
      <p class="quiet" role="status">{found.length === 0 ? t("rules.no_match") : rowsOf(found.length)}</p>
      {found.length > 0 && <Rows rows={found} title={({ row }) => `${nameOf(known, row.jurisdiction)}: ${subjectName(row.subject)}`} />}
    </>
  );
}

function Rows({ rows, title }: { rows: RuleRowAt[]; title: (at: RuleRowAt) => string }) {
  if (rows.length === 0) return <p class="hint empty">{t("rules.no_rows")}</p>;
  return <Windowed items={rows} label={t("rules.rows_read")} keyOf={({ row }) => row.id}>{(at) => <RowCard at={at} title={title(at)} />}</Windowed>;
}

function AddLink({ to = "" }: { to?: string }) {
  return <a class="button no-print" href={`#rules/add/${to}`}><Icon name="add" /> {t("rules.add")}</a>;
}

export function nameOf(law: Law, code: string): string {
  return law.places.find(({ jurisdiction }) => jurisdiction === code)?.name ?? code;
}

export function rowsOf(n: number): string {
  return n === 1 ? t("rules.row") : t("rules.rows", { n: showNumber(n) });
}

function isRead({ coverage }: PlaceCoverage["subjects"][number]): boolean {
  return coverage === "read" || coverage === "silent";
}

/** What is shown once the law is there; until then, why it is not. */
export function Ready({ law, children }: { law: Law | "failed" | undefined; children: (law: Law) => ComponentChildren }) {
  if (law === "failed") return <p class="hint empty" role="alert">{t("rules.failed")}</p>;
  return law ? <>{children(law)}</> : <p class="hint empty">{t("rules.waiting")}</p>;
}
