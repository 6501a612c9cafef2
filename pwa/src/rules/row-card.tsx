/** One row of the law: what it asks, when, of whom, where it was read, how well it is known and who changed it. */

import { Source } from "../departure/findings.tsx";
import type { RuleRow, RuleRowAt } from "../engine/types.ts";
import { showDay } from "../words/format.ts";
import { wordFor } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { when } from "../walk/when.ts";
import { conditionWords } from "./condition.ts";

/** `title` is what the list around it does not say already; without it the page has its own. */
export function RowCard({ at, title }: { at: RuleRowAt; title?: string }) {
  const { row, standing } = at;
  const weak = row.known === "low" || row.source_kind === "memory";
  return (
    <article class={`law-row ${weak ? "weak" : ""} ${standing === "withdrawn" ? "withdrawn" : ""}`} data-row={row.id} data-standing={standing}>
      {title && <h2><a href={`#rules/row/${row.id}`}>{title}</a></h2>}
      {standing !== "built_in" && <p class="standing">{t(`rules.standing.${standing}`)}</p>}
      <RowWords row={row} />
      {at.old && <p class="quiet">{t("rules.old")}</p>}
      {at.newer && <p class="note tone-mind"><span>{t("rules.newer")}</span></p>}
      {at.edit && <p class="quiet">{t("rules.edited", { by: at.edit.by, when: when(at.edit.at), why: at.edit.reason })}</p>}
    </article>
  );
}

export function RowWords({ row }: { row: RuleRow }) {
  return (
    <>
      <p>{row.requirement}</p>
      {row.says && <p class="quiet">{t(row.says === "silent" ? "reading.silent" : "reading.not_read")}.</p>}
      {row.when && <p class="quiet">{t("rules.applies", { when: conditionWords(row.when) })}</p>}
      {(row.from || row.until) && <p class="quiet">{t("rules.in_force", { from: row.from ? showDay(row.from) : "…", until: row.until ? showDay(row.until) : "…" })}</p>}
      {row.doubt && <p>{t("borders.doubt", { what: row.doubt })}</p>}
      <p class="quiet">{t("rules.covers")}: {textOf(`covers.${row.covers}`)}.</p>
      <p class="basis-line">
        {row.citation ?? wordFor("law.word.no_citation")}
        {row.text_year ? t("basis.text_of", { year: row.text_year }) : ""} <em>({knownWords(row)})</em>
        {row.url && <Source url={row.url} />}
      </p>
      {row.verified_on && <p class="quiet">{t("rules.verified", { day: showDay(row.verified_on) })}</p>}
      {row.note && <p class="quiet">{row.note}</p>}
    </>
  );
}

export function knownWords({ known, source_kind }: Pick<RuleRow, "known" | "source_kind">): string {
  return textOf(`known.${source_kind === "memory" ? "memory" : known}`) ?? known;
}
