/** One row: as it stands, what it was, its history, and taking it out or back. */

import { useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { RuleChange, RuleRow, RuleRowAt } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import type { Change } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { when } from "../walk/when.ts";
import { t } from "../words/text.ts";
import { apartIn, changeIn, seenIn, useHistory, type Apart } from "./apart.ts";
import { Author, useAuthor } from "./author.tsx";
import { nameOf, Ready, type ViewProps } from "./browse.tsx";
import { keeping, type Changes } from "./changes.ts";
import { Impact } from "./impact.tsx";
import { subjectName } from "./names.ts";
import { RowCard, RowWords } from "./row-card.tsx";

interface Props extends ViewProps {
  engine: Engine;
  store: Store;
  changes: Changes | undefined;
  id: string;
}

export function RowPage({ engine, store, law, heading, changes, id }: Props) {
  const past = useHistory(store, id) ?? [];
  return (
    <Ready law={law}>
      {(known) => {
        const at = known.rows.find(({ row }) => row.id === id);
        return (
          <>
            <h1 ref={heading} tabIndex={-1}>{at ? `${nameOf(known, at.row.jurisdiction)}: ${subjectName(at.row.subject)}` : id}</h1>
            {at ? <One engine={engine} store={store} at={at} changes={changes?.all ?? []} apart={apartIn(past)} /> : <p class="hint empty">{t("rules.no_row")}</p>}
            <History past={past} />
          </>
        );
      }}
    </Ready>
  );
}

/** What is about to be done to a row: one of the two, or one of several changes put in its place. */
type Doing = "withdraw" | "restore" | RuleChange;

function One({ engine, store, at, changes, apart }: { engine: Engine; store: Store; at: RuleRowAt; changes: RuleChange[]; apart: Apart }) {
  const [doing, setDoing] = useState<Doing>();
  const [by, setBy] = useAuthor(store);
  const [reason, setReason] = useState("");
  const [tried, setTried] = useState<RuleChange[]>();
  const own = changes.find(({ row }) => row === at.row.id);
  const begin = (what: Doing | undefined) => {
    setDoing(what);
    setTried(undefined);
  };
  const keep = async () => {
    const change = tried?.[0];
    if (!change) return;
    await store.write(keeping(change).doc, keeping(change).writes);
    begin(undefined);
    setReason("");
  };
  const ready = by.trim() !== "" && reason.trim() !== "";
  const see = (what: Doing) => {
    const made = typeof what === "string" ? turned(what, at, own, by.trim(), reason.trim()) : { ...what, by: by.trim(), reason: reason.trim(), at: Date.now() };
    setTried([{ ...made, seen: seenIn(apart) }]);
  };
  const title = doing && t(typeof doing === "string" ? `rules.${doing}` : "rules.decide");
  return (
    <>
      <RowCard at={at} />
      {apart.counts && apart.others.length > 0 && <Disagreement counts={apart.counts} others={apart.others} onTake={begin} />}
      {at.newer && <Versions at={at} />}
      <div class="buttons no-print">
        <a class="button" href={`#rules/edit/${at.row.id}`}>{t("rules.change")}</a>
        {at.standing !== "withdrawn" && <button type="button" onClick={() => begin("withdraw")}>{t("rules.withdraw")}</button>}
        {(at.standing === "withdrawn" || at.standing === "changed") && <button type="button" onClick={() => begin("restore")}>{t("rules.restore")}</button>}
      </div>
      {doing && (
        <section aria-label={title}>
          <h2>{title}</h2>
          <Author by={by} reason={reason} onBy={setBy} onReason={setReason} />
          <button type="button" class="wide" disabled={!ready} onClick={() => see(doing)}>{t("rules.see")}</button>
        </section>
      )}
      {tried && <Impact engine={engine} store={store} changes={changes} tried={tried} onKeep={keep} />}
    </>
  );
}

/** The change that takes a row out, or back: a withdrawn one as it was, a changed one as built in. */
export function turned(doing: "withdraw" | "restore", at: RuleRowAt, own: RuleChange | undefined, by: string, reason: string): RuleChange {
  const change: RuleChange = { row: at.row.id, by, reason, at: Date.now() };
  const builtIn = at.standing === "built_in" ? at.row : at.built_in;
  if (doing === "withdraw") {
    return { ...change, withdrawn: true, ...(own?.yours && { yours: own.yours }), ...(builtIn && { was: builtIn }) };
  }
  return at.standing === "withdrawn" ? { ...change, ...(own?.yours && { yours: own.yours }), ...(own?.was && own.yours && { was: own.was }) } : change;
}

/** Where the built-in row has changed under an edit: all three. */
function Versions({ at }: { at: RuleRowAt }) {
  const versions: [Parameters<typeof t>[0], RuleRow | undefined][] = [["rules.version_was", at.was], ["rules.version_now", at.built_in], ["rules.version_ours", at.row]];
  return (
    <section aria-label={t("rules.versions")}>
      <h2>{t("rules.versions")}</h2>
      {versions.map(([title, row]) => (
        <article class="law-row" key={title}>
          <h3>{t(title)}</h3>
          {row ? <RowWords row={row} /> : <p class="quiet">{t("rules.version_none")}</p>}
        </article>
      ))}
    </section>
  );
}

/** Changes that did not know of each other: which counts, and the choice between them. */
function Disagreement({ counts, others, onTake }: { counts: RuleChange; others: RuleChange[]; onTake: (change: RuleChange) => void }) {
  return (
    <section aria-labelledby="apart-heading" class="apart">
      <h2 id="apart-heading">{t("rules.apart")}</h2>
      <p class="note tone-mind"><span>{t("rules.apart_hint", { by: counts.by, when: when(counts.at) })}</span></p>
      {[counts, ...others].map((change, at) => (
        <article class="law-row" key={`${change.at} ${change.by}`} data-apart={at === 0 ? "counts" : "other"}>
          <h3>{t(at === 0 ? "rules.apart_counts" : "rules.apart_other", { by: change.by })}</h3>
          <p class="quiet">{t(didWords(change))}: {t("rules.edited", { by: change.by, when: when(change.at), why: change.reason })}</p>
          {change.yours && <RowWords row={change.yours} />}
          <button type="button" class="wide no-print" onClick={() => onTake(change)}>{t("rules.apart_take", { by: change.by })}</button>
        </article>
      ))}
    </section>
  );
}

function History({ past }: { past: Change[] }) {
  return past.length === 0 ? null : (
    <section aria-labelledby="history-heading">
      <h2 id="history-heading">{t("rules.history")}</h2>
      <ol class="plain">
        {past.map(({ entry }) => {
          const change = changeIn(entry);
          return (
            <li key={entry.id}>
              <Icon name="rules" size={16} /> <strong>{t(didWords(change))}</strong>
              <p class="quiet">{t("rules.edited", { by: change?.by ?? entry.device, when: when(entry.at.wall), why: change?.reason ?? "" })}</p>
              {change?.yours && <p>{change.yours.requirement}</p>}
            </li>
          );
        })}
      </ol>
    </section>
  );
}

function didWords(change: RuleChange | undefined) {
  if (!change) return "rules.did_remove";
  return change.withdrawn ? "rules.did_withdraw" : change.yours ? "rules.did_change" : "rules.did_restore";
}
