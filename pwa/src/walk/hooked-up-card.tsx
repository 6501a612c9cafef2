/** The hooked-up state of a rig: what was done and tested, what ends it, and the next check. */

import type { Engine } from "../engine/client.ts";
import type { Happening, Length } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import type { Quantity } from "../rig/quantity.ts";
import type { Store } from "../store/store.ts";
import { plainly, showParam } from "../words/format.ts";
import { Say } from "../words/say.tsx";
import { Driven } from "./driven.tsx";
import { useHookedUp } from "./use-walks.ts";
import { leaves, pointer, type Kept } from "./walk.ts";
import { when } from "./when.ts";
import { t } from "../words/text.ts";

interface Props {
  engine: Engine;
  store: Store;
  walks: Kept[] | undefined;
  /** The rig's id. */
  rig: string;
  /** Whether to lead on to the Walk-round. */
  leads?: boolean;
}

const HAPPENED = ["engine_run", "repaired", "out_of_sight"] as const;

export function HookedUpCard({ engine, store, walks, rig, leads = true }: Props) {
  const state = useHookedUp(engine, walks, rig);
  if (!walks) {
    return null;
  }
  if (!state) {
    return (
      <section aria-labelledby="hooked-heading" class="hooked">
        <h2 id="hooked-heading">{t("hooked.title")}</h2>
        <p>{t("hooked.not")}{leads && ` ${t("hooked.paper")}`}</p>
        {leads && <a class="button wide" href="#walk">{t("room.walk")}</a>}
      </section>
    );
  }
  const { report, walk } = state;
  const { hooked_up_at, tested_at, place } = report.hooked_up;
  const say = (what: Happening["what"]) =>
    void store.write(walk.doc, leaves(pointer("happened", crypto.randomUUID()), { what, at: Date.now() } satisfies Happening));
  const check = report.next_check;
  const came = async (driven: Quantity | undefined) => {
    try {
      await store.write(walk.doc, driven ? [{ path: "/came", value: driven }, { path: "/came_at", value: Date.now() }] : [{ path: "/came", removed: true }, { path: "/came_at", removed: true }]);
      return undefined;
    } catch (reason) {
      return reason instanceof Error ? reason.message : String(reason);
    }
  };
  return (
    <section aria-labelledby="hooked-heading" class={`hooked tone-${report.verdict}`} data-holds={report.holds}>
      <h2 id="hooked-heading">{t("hooked.title")}</h2>
      <p class="hooked-words">
        <VerdictMark verdict={report.verdict} size={32} />
        <strong>
          {t(report.holds ? (tested_at === undefined ? "hooked.up" : "whole.hook_up") : "hooked.was")}
          {" "}{when(tested_at ?? hooked_up_at)}{place ? `, ${place}` : ""}
        </strong>
      </p>
      <ul class="hooked-findings">
        {report.findings.filter(({ verdict }) => verdict !== "ok").map((finding) => <li key={finding.id}><Say text={finding.says} /></li>)}
      </ul>
      {report.holds && (
        <>
          <h3>{t("hooked.expires")}</h3>
          <ul class="plain">{report.expires.map(({ what, says }) => <li key={what}><Say text={says} /></li>)}</ul>
        </>
      )}
      {check && (
        <p>
          <Say text={check.says} />
          {check.from_at !== undefined && ` ${t("hooked.from", { when: when(check.from_at) })}`}
          {check.from && check.by && ` ${t("hooked.by_distance", { from: distanceOf(check.from), by: distanceOf(check.by) })}`}
          {" "}<span class="quiet">{t("hooked.cannot_call")}</span>
        </p>
      )}
      {check && <Driven place={`${walk.doc}/came`} driven={walk.value.came} onDriven={came} />}
      {check && walk.value.came_at !== undefined && <p class="hint">{t("driven.said", { when: when(walk.value.came_at) })}</p>}
      {leads && <a class={check && check.due !== "not_due" ? "button primary wide" : "button wide"} href="#walk">
        {check && check.due !== "not_due" ? t("hooked.check") : t("room.walk")}
      </a>}
      {check && (
        <details class="folded small">
          <summary>{t("hooked.happened")}</summary>
          <div class="buttons">
            {HAPPENED.map((what) => <button key={what} type="button" onClick={() => say(what)}>{t(`happened.${what}`)}</button>)}
          </div>
        </details>
      )}
    </section>
  );
}

function distanceOf(length: Length): string {
  const shown = showParam({ length });
  return shown ? plainly(shown) : "";
}
