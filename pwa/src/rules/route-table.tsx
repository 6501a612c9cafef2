/** The route as one table: each place once, subject by subject. On a phone it stands as blocks and only when asked for, being long; on paper as a table. */

import { useState } from "preact/hooks";
import { shortCode } from "../departure/places.ts";
import type { Law, LawItem, Leg } from "../engine/types.ts";
import { wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { subjectName } from "./names.ts";
import { knownWords } from "./row-card.tsx";

export function RouteTable({ law, judged }: { law: Law; judged: boolean }) {
  const [open, setOpen] = useState(false);
  return (
    <section aria-labelledby="asked-heading">
      <h2 id="asked-heading">{t("rules.asked")}</h2>
      <button type="button" class="wide table-fold no-print" aria-expanded={open} onClick={() => setOpen(!open)}>{t(open ? "rules.table_fold" : "rules.table_show")}</button>
      <table class={open ? "route-table" : "route-table folded"}>
        <caption class="for-ears">{t("rules.asked")}</caption>
        <thead>
          <tr>
            <th scope="col">{t("rules.column.subject")}</th>
            <th scope="col">{t("rules.column.asks")}</th>
            <th scope="col">{t("rules.column.source")}</th>
            {judged && <th scope="col">{t("rules.column.rig")}</th>}
          </tr>
        </thead>
        {onceEach(law.legs).map(({ leg, at }) => <Place key={leg.jurisdiction} leg={leg} at={at} judged={judged} />)}
      </table>
    </section>
  );
}

function Place({ leg, at, judged }: { leg: Leg; at: number[]; judged: boolean }) {
  const told = leg.items.filter(({ requirement }) => requirement !== "not_read" && requirement !== "silent");
  const columns = judged ? 4 : 3;
  return (
    <tbody>
      <tr class="place-row">
        <th scope="rowgroup" colSpan={columns}>
          <abbr title={leg.name}>{shortCode(leg.jurisdiction)}</abbr> <a href={`#rules/place/${leg.jurisdiction}`}>{leg.name}</a> <span class="quiet">{t(at.length === 1 ? "rules.leg" : "rules.legs", { n: at.join(", ") })}</span>
        </th>
      </tr>
      {told.map((item) => <Line key={item.subject} item={item} judged={judged} />)}
      {(["silent", "not_read"] as const).map((kind) => <Rest key={kind} items={leg.items.filter(({ requirement }) => requirement === kind)} words={kind === "silent" ? t("rules.silent") : t("rules.not_read")} columns={columns} />)}
    </tbody>
  );
}

function Line({ item, judged }: { item: LawItem; judged: boolean }) {
  return (
    <tr>
      <th scope="row">{subjectName(item.subject)}<span class="quiet">{t(`reading.${item.requirement}`)}</span></th>
      <td data-column={t("rules.column.asks")}>{item.rows.map((row) => <p key={row.id}>{row.requirement}{row.yours && ` ${t("rules.ours")}`}</p>)}</td>
      <td data-column={t("rules.column.source")}>
        {item.rows.map((row) => (
          <p key={row.id}>{row.citation ?? wordFor("law.word.no_citation")}{row.text_year ? `, ${row.text_year}` : ""} <span class="quiet">({knownWords(row)})</span></p>
        ))}
      </td>
      {judged && <td data-column={t("rules.column.rig")}>{t(`met.${item.met}`)}</td>}
    </tr>
  );
}

function Rest({ items, words, columns }: { items: LawItem[]; words: string; columns: number }) {
  return items.length === 0 ? null : (
    <tr class="rest">
      <td colSpan={columns}><strong>{words}</strong> {items.map(({ subject }) => wordFor(`law.subject.${subject}`)).join("; ")}.</td>
    </tr>
  );
}

/** Each place once, with the numbers of its legs. */
function onceEach(legs: Leg[]): { leg: Leg; at: number[] }[] {
  const once = new Map<string, { leg: Leg; at: number[] }>();
  legs.forEach((leg, i) => {
    const known = once.get(leg.jurisdiction) ?? { leg, at: [] };
    known.at.push(i + 1);
    once.set(leg.jurisdiction, known);
  });
  return [...once.values()];
}
