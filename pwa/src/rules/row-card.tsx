/** One row of the law: what it asks, of whom, where it was read and how well it is known. */

import { Source } from "../departure/findings.tsx";
import { wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import type { Placed } from "./use-law.ts";

/** `title` is what the list around it does not say already: the subject, the place, or both. */
export function RowCard({ row, title }: { row: Placed; title: string }) {
  const weak = row.known === "low" || row.source_kind === "memory";
  return (
    <article class={`law-row ${weak ? "weak" : ""}`} data-row={row.id}>
      <h2>{title}</h2>
      <p>{row.requirement}</p>
      {(row.reading === "silent" || row.reading === "not_read") && <p class="quiet">{t(`reading.${row.reading}`)}.</p>}
      {row.doubt && <p>{t("borders.doubt", { what: row.doubt })}</p>}
      {row.covers && <p class="quiet">{t("rules.covers")}: {t(`covers.${row.covers}`)}.</p>}
      <p class="basis-line">
        {row.citation ?? wordFor("law.word.no_citation")}
        {row.text_year ? t("basis.text_of", { year: row.text_year }) : ""} <em>({knownWords(row)})</em>
        {row.url && <Source url={row.url} />}
      </p>
      {row.note && <p class="quiet">{row.note}</p>}
    </article>
  );
}

export function knownWords({ known, source_kind }: Pick<Placed, "known" | "source_kind">): string {
  return t(`known.${source_kind === "memory" ? "memory" : known}`);
}

/** The subject's name as a heading. */
export function subjectName(subject: string): string {
  const words = wordFor(`law.subject.${subject}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}
