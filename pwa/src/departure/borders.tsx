/** The law along the route: what changes at each border, and what was not read. */

import type { Law, LawItem, LawRow, Leg, Text, Unread as UnreadLaw } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { Say, wordFor } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { Source } from "./findings.tsx";
import { shortCode } from "./places.ts";

/** The strip of the route, each leg with what is new there and, folded, its law. */
export function Borders({ law }: { law: Law }) {
  return (
    <section aria-labelledby="borders-heading">
      <h2 id="borders-heading">{t(law.legs.length > 1 ? "borders.changes" : "borders.law")}</h2>
      <ol class="strip">
        {law.legs.map((leg, at) => <OneLeg key={at} leg={leg} first={at === 0} />)}
      </ol>
    </section>
  );
}

function OneLeg({ leg, first }: { leg: Leg; first: boolean }) {
  // Law that was not read is gathered in one list below, not scattered here.
  const told = leg.changes.filter((change) => !isUnread(kindOf(change)));
  const read = leg.items.filter(({ requirement }) => !isUnread(requirement));
  const firm = told.filter((change) => FIRM.includes(kindOf(change)));
  return (
    <li>
      <h3>
        <abbr title={leg.name}>{shortCode(leg.jurisdiction)}</abbr> {leg.name}
      </h3>
      {firm.length > 0 && (
        <ul class="changes">
          {firm.map((change, at) => (
            <li key={at}>
              <strong>{subjectOf(change)}</strong> <span class="quiet">{textOf(`change.${kindOf(change)}`)}</span>
              {change.params?.requirement?.text && <p>{change.params.requirement.text}</p>}
            </li>
          ))}
        </ul>
      )}
      {LOOSE.map((kind) => <Named key={kind} words={t(`change.${kind}`)} changes={told.filter((change) => kindOf(change) === kind)} />)}
      {told.length === 0 && !first && <p class="quiet">{t("borders.nothing")}</p>}
      {read.length > 0 && (
        <details class="folded small">
          <summary>
            <Icon name="chevron" size={16} /> <span>{t("borders.read", { place: leg.name })}</span> <span class="count">{read.length}</span>
          </summary>
          <ul class="items">{read.map((item) => <li key={item.subject}><Item item={item} /></li>)}</ul>
        </details>
      )}
    </li>
  );
}

/** Changes a driver acts on, each with its requirement. */
const FIRM = ["required", "depends", "differs"];

/** Changes that are told by name only; the law of the leg has their words. */
const LOOSE = ["may_not_cover", "not_required"] as const;

function Named({ words, changes }: { words: string; changes: Text[] }) {
  return changes.length === 0 ? null : <p class="named quiet">{words} {changes.map(subjectOf).join(", ")}.</p>;
}

/** law.change.required is of the kind required. */
function kindOf(change: Text): string {
  return change.id.slice(change.id.lastIndexOf(".") + 1);
}

function subjectOf(change: Text): string {
  return wordFor(change.params?.subject?.word ?? change.id);
}

function isUnread(requirement: string): boolean {
  return requirement === "not_read" || requirement === "silent";
}

function Item({ item }: { item: LawItem }) {
  return (
    <div class={`item tone-${item.verdict}`}>
      <p class="item-head">
        <VerdictMark verdict={item.verdict} size={20} />
        <span>
          <strong>{sentenceCase(wordFor(`law.subject.${item.subject}`))}</strong>
          <span class="kicker">{t(`verdict.${item.verdict}`)}</span>
          <Say text={item.says} given />
        </span>
      </p>
      {item.rows.length > 0 && <ul class="rows">{item.rows.map((row) => <li key={row.id}><Row row={row} /></li>)}</ul>}
    </div>
  );
}

function Row({ row }: { row: LawRow }) {
  const weak = row.known === "low" || row.source_kind === "memory";
  return (
    <div class={weak ? "weak" : ""}>
      <p>{row.requirement}</p>
      {row.doubt && <p>{t("borders.doubt", { what: row.doubt })}</p>}
      {row.note && <p class="quiet">{row.note}</p>}
      <p class="basis-line">
        {row.citation ?? wordFor("law.word.no_citation")}
        {row.text_year ? t("basis.text_of", { year: row.text_year }) : ""}{" "}
        <em>({textOf(`known.${row.source_kind === "memory" ? "memory" : row.known}`)})</em>
        {row.url && <Source url={row.url} />}
      </p>
    </div>
  );
}

/** Everything on the route that nobody has read, in one short list. */
export function Unread({ law }: { law: Law }) {
  const open = law.unread.filter(({ decides }) => decides);
  const rest = law.unread.filter(({ decides }) => !decides);
  if (law.unread.length === 0) {
    return null;
  }
  return (
    <section aria-labelledby="unread-heading">
      <h2 id="unread-heading">{t("unread.title")}</h2>
      <p class="hint">{t("unread.hint")}</p>
      <ByPlace title={t("unread.decides")} rows={open} />
      <ByPlace title={open.length > 0 ? t("findings.waits") : ""} rows={rest} />
    </section>
  );
}

function ByPlace({ title, rows }: { title: string; rows: UnreadLaw[] }) {
  const places = [...new Set(rows.map(({ name }) => name))];
  if (rows.length === 0) {
    return null;
  }
  return (
    <>
      {title && <h3>{title}</h3>}
      <dl class="unread">
        {places.map((place) => (
          <div key={place}>
            <dt>{place}</dt>
            <dd>{listOf(rows.filter(({ name }) => name === place))}</dd>
          </div>
        ))}
      </dl>
    </>
  );
}

function listOf(rows: UnreadLaw[]): string {
  return rows
    .map(({ subject, requirement }) => wordFor(`law.subject.${subject}`) + (requirement === "silent" ? t("unread.silent") : ""))
    .join("; ");
}

function sentenceCase(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
