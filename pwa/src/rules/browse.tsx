/** The rows by place, by subject, and all of them with filters. */

import type { Ref } from "preact";
import { useMemo, useState } from "preact/hooks";
import { shortCode } from "../departure/places.ts";
import type { LawSubject } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { t } from "../words/text.ts";
import { RowCard, subjectName } from "./row-card.tsx";
import type { Law, Placed } from "./use-law.ts";
import { Windowed } from "./windowed.tsx";
import { SUBJECTS, rowsOf } from "./words.ts";

interface Props {
  law: Law | "failed" | undefined;
  heading: Ref<HTMLHeadingElement>;
}

export function Places({ law, heading }: Props) {
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.places")}</h1>
      <Ready law={law}>
        {(known) => (
          <ul class="links law-places">
            {known.places.map(({ code, name, coverage }) => (
              <li key={code}>
                <a href={`#rules/place/${code}`}>
                  <abbr title={name}>{shortCode(code)}</abbr>
                  <span>{name}<span class="quiet">{t("rules.coverage_of", { read: Object.values(coverage).filter((c) => c === "read" || c === "silent").length, of: SUBJECTS.length })}</span></span>
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

export function Subjects({ law, heading }: Props) {
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.subjects")}</h1>
      <Ready law={law}>
        {(known) => (
          <ul class="links">
            {SUBJECTS.map((subject) => (
              <li key={subject}>
                <a href={`#rules/subject/${subject}`}>
                  <span>{subjectName(subject)}<span class="quiet">{rowsOf(known.rows.filter((row) => row.subject === subject).length)}</span></span>
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

export function OnePlace({ law, heading, code }: Props & { code: string }) {
  return (
    <Ready law={law}>
      {(known) => {
        const place = known.places.find((one) => one.code === code);
        if (!place) return <p class="hint empty">{t("rules.unknown_place")}</p>;
        return (
          <>
            <h1 ref={heading} tabIndex={-1}>{place.name}</h1>
            <Rows rows={known.rows.filter(({ jurisdiction }) => jurisdiction === code)} title={({ subject }) => subjectName(subject)} />
            <section aria-labelledby="how-far">
              <h2 id="how-far">{t("rules.how_far")}</h2>
              <dl class="versions">
                {SUBJECTS.map((subject) => (
                  <div key={subject}><dt>{subjectName(subject)}</dt><dd>{t(`coverage.${place.coverage[subject] ?? "not_found"}`)}</dd></div>
                ))}
              </dl>
            </section>
          </>
        );
      }}
    </Ready>
  );
}

export function OneSubject({ law, heading, subject }: Props & { subject: string }) {
  if (!SUBJECTS.includes(subject as LawSubject)) return <p class="hint empty">{t("rules.unknown_subject")}</p>;
  return (
    <Ready law={law}>
      {(known) => (
        <>
          <h1 ref={heading} tabIndex={-1}>{subjectName(subject)}</h1>
          <Rows rows={known.rows.filter((row) => row.subject === subject)} title={({ jurisdiction }) => nameOf(known, jurisdiction)} />
        </>
      )}
    </Ready>
  );
}

export function AllRows({ law, heading }: Props) {
  const [word, setWord] = useState("");
  const [place, setPlace] = useState("");
  const [subject, setSubject] = useState("");
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.all_rows")}</h1>
      <Ready law={law}>
        {(known) => (
          <>
            <div class="filters" role="search">
              <label>{t("rules.look")}<input type="search" value={word} autocomplete="off" placeholder={t("rules.look_hint")} onInput={(event) => setWord(event.currentTarget.value)} /></label>
              <label>
                {t("rules.only_place")}
                <select value={place} onChange={(event) => setPlace(event.currentTarget.value)}>
                  <option value="">{t("rules.every")}</option>
                  {known.places.map(({ code, name }) => <option key={code} value={code}>{name}</option>)}
                </select>
              </label>
              <label>
                {t("rules.only_subject")}
                <select value={subject} onChange={(event) => setSubject(event.currentTarget.value)}>
                  <option value="">{t("rules.every")}</option>
                  {SUBJECTS.map((one) => <option key={one} value={one}>{subjectName(one)}</option>)}
                </select>
              </label>
            </div>
            <Found known={known} word={word} place={place} subject={subject} />
          </>
        )}
      </Ready>
    </>
  );
}

function Found({ known, word, place, subject }: { known: Law; word: string; place: string; subject: string }) {
  const found = useMemo(() => {
    const wanted = word.trim().toLowerCase();
    return known.rows.filter((row) =>
      (place === "" || row.jurisdiction === place) && (subject === "" || row.subject === subject) && (wanted === "" || hay(row).includes(wanted)),
    );
  }, [known, word, place, subject]);
  return (
    <>
      <p class="quiet" role="status">{found.length === 0 ? t("rules.no_match") : rowsOf(found.length)}</p>
      <Rows rows={found} title={(row) => `${nameOf(known, row.jurisdiction)}: ${subjectName(row.subject)}`} />
    </>
  );
}

/** What a word is looked for in. */
function hay(row: Placed): string {
  return [row.id, row.requirement, row.citation, row.note, row.doubt].join("\n").toLowerCase();
}

function Rows({ rows, title }: { rows: Placed[]; title: (row: Placed) => string }) {
  const once = useMemo(() => [...new Map(rows.map((row) => [row.id, row])).values()], [rows]);
  if (once.length === 0) return <p class="hint empty">{t("rules.no_rows")}</p>;
  return <Windowed items={once} label={t("rules.rows_read")} keyOf={({ id }) => id}>{(row) => <RowCard row={row} title={title(row)} />}</Windowed>;
}

function nameOf(law: Law, code: string): string {
  return law.places.find((place) => place.code === code)?.name ?? code;
}

/** What is shown once the law is there; until then, why it is not. */
export function Ready({ law, children }: { law: Law | "failed" | undefined; children: (law: Law) => preact.ComponentChildren }) {
  if (law === "failed") return <p class="hint empty" role="alert">{t("rules.failed")}</p>;
  return law ? <>{children(law)}</> : <p class="hint empty">{t("rules.waiting")}</p>;
}
