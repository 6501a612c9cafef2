/** One walk-round: being worked through, or the record it left. */

import type { Ref } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Problem } from "../departure/problem.tsx";
import { dayOf } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { WalkroundRunReport } from "../engine/types.ts";
import type { Kept as KeptTest } from "../lamps/record.ts";
import { Icon } from "../marks/icon.tsx";
import { StoreFault } from "../store/fault.ts";
import type { Store } from "../store/store.ts";
import { mustAsk, useAbsence, useOthersHeard, wasAway } from "./absence.ts";
import { useAwake, useReturns } from "./away.ts";
import { AbsenceAsk, BreakAsk, Looking, OnBreak, TouchAgain } from "./breaks.tsx";
import { FindingLines } from "./finding-lines.tsx";
import { HaltQuestions } from "./halt-questions.tsx";
import { useLightTestSince } from "./light-proof.tsx";
import { setUpWrites } from "./set-up-record.ts";
import { RecordPage } from "./record-page.tsx";
import { Repairs } from "./repairs.tsx";
import { Stations } from "./stations.tsx";
import { useRun, whyNot, type WriteRun } from "./use-walks.ts";
import { useTyped } from "./use-typed.ts";
import { PhoneName, useTogether } from "./phone-name.tsx";
import { leaves, runInput, type Walk } from "./walk.ts";
import { t } from "../words/text.ts";

interface Props {
  engine: Engine;
  store: Store;
  /** This install. */
  device: string;
  id: string;
  /** The rig's JSON text as it is kept now. */
  rig: string | undefined;
  /** Its document, where this phone keeps one. */
  rigDoc: string | undefined;
  heading: Ref<HTMLHeadingElement>;
}

export function RunPage({ engine, store, device, id, rig, rigDoc, heading }: Props) {
  const { state, write, refused } = useRun(engine, store, id, rig);
  const running = state.at === "known" && state.walk.finished === undefined;
  useAwake(running);
  useTogether(store, running);
  return (
    <div class="room walk">
      <a class="button back" href="#walk"><Icon name="back" /> {t("run.all")}</a>
      {refused && (
        <p class="note tone-no_go" role="alert"><span>{refused} {t("run.safe")}</span></p>
      )}
      {state.at === "none" && <p class="hint empty">{t("run.none")}</p>}
      {state.at === "failed" && <p class="hint empty" role="alert">{t("run.no_engine")}</p>}
      {state.at === "problem" && <Problem problem={state.problem} />}
      {state.at === "known" &&
        (running ? (
          <Running id={id} doc={`walk/${id}`} store={store} walk={state.walk} report={state.report} rig={rig ?? state.walk.rig_text} rigDoc={rigDoc} engine={engine} device={device} write={write} heading={heading} />
        ) : (
          <RecordPage rigDoc={rigDoc} walk={state.walk} report={state.report} device={device} write={write} heading={heading} />
        ))}
    </div>
  );
}

export interface Working {
  /** The document, "walk/<id>". */
  doc: string;
  walk: Walk;
  report: WalkroundRunReport;
  device: string;
  write: WriteRun;
  /** The light test made for this list in the room Lamps. */
  lightTest: KeptTest | undefined;
}

/** Findings that the page says in its own place. */
const SAID_ELSEWHERE = ["walkround.steps-left", "walkround.all-done", "walkround.did-you-leave", "walkround.repaired"];

interface RunningProps extends Omit<Working, "lightTest"> {
  id: string;
  engine: Engine;
  store: Store;
  rig: string;
  rigDoc: string | undefined;
  heading: Ref<HTMLHeadingElement>;
}

function Running({ id, engine, store, rig, rigDoc, heading, ...given }: RunningProps) {
  const { doc, walk, report, device, write } = given;
  const working = { ...given, lightTest: useLightTestSince(store, walk) };
  const [said, setSaid] = useState("");
  const [fault, setFault] = useState("");
  const place = useRef<HTMLInputElement>(null);
  const where = useTyped(`${doc}/place`, walk.place ?? "", async (typed) => whyNot(await write([typed === "" ? { path: "/place", removed: true } : { path: "/place", value: typed }])));
  const needed = report.progress.reduce((sum, { steps }) => sum + steps, 0);
  const done = report.progress.reduce((sum, { done: n }) => sum + n, 0);
  const [absence, setAbsence] = useAbsence(store, id);
  useReturns(id, absence !== undefined, (seen, now) => {
    const running = absence && absence.back_at === undefined;
    // One that is not answered yet grows: what was between is not known either.
    if (!running && wasAway(walk, seen, now)) setAbsence({ walk: id, left_at: seen, said: false, ...absence, back_at: now });
  });
  const heard = useOthersHeard(store, absence?.back_at);
  const asked = absence && mustAsk(walk, device, absence) ? absence : undefined;
  const spared = absence?.back_at !== undefined && heard && !asked;
  useEffect(() => {
    if (spared) setAbsence(null);
  }, [spared]);
  const ask = report.asks?.[0];
  const again = report.steps.filter(({ state }) => state === "touch_again");
  const findings = report.findings.filter(({ id }) => !SAID_ELSEWHERE.includes(id));

  const finish = async () => {
    const at = place.current?.value.trim() || walk.place;
    const finished: Walk = { ...walk, finished: Date.now(), ...(at && { place: at }) };
    // What a whole hook-up gives is kept with it: a rig edited later changes no record.
    const outcome = await engine.run<WalkroundRunReport>("walkround/run", runInput(finished, rig, Date.now()));
    const { hooked_up: standing, record } = outcome.ok ? outcome.value : {};
    const tests = record ? setUpWrites(record, dayOf(new Date())) : [];
    try {
      if (rigDoc !== undefined && tests.length > 0) await store.write(rigDoc, tests);
    } catch (reason) {
      setFault(reason instanceof StoreFault ? reason.message : String(reason));
      return;
    }
    await write([
      ...leaves("/finished", finished.finished), { path: "/rig_text", value: rig },
      ...(at ? [{ path: "/place", value: at }] : []),
      ...(standing ? leaves("/hooked_up", standing.hooked_up) : []),
    ]);
  };
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t(`list.${walk.list}`)}</h1>
      <p class="quiet">{walk.rig_name}</p>
      {needed > 0 && (
        <p class="walk-progress">
          <progress max={needed} value={done} aria-label={t("run.progress")} />
          <span><strong>{done}</strong> {t("run.of", { needed })}</span>
        </p>
      )}
      <p class="for-ears" role="status">{said}</p>
      <p class="wrong" role="alert">{fault}</p>
      {absence && absence.back_at === undefined ? (
        <OnBreak absence={absence} onBack={() => setAbsence({ ...absence, back_at: Date.now() })} />
      ) : absence && !heard ? (
        <Looking />
      ) : asked ? (
        <AbsenceAsk {...working} absence={asked} onSay={setSaid} onAnswered={() => setAbsence(null)} />
      ) : ask !== undefined ? (
        <BreakAsk {...working} id={ask} onSay={setSaid} />
      ) : again.length > 0 ? (
        <TouchAgain {...working} stands={again} onSay={setSaid} />
      ) : (
        <>
          <Repairs walk={walk} device={device} />
          <FindingLines findings={findings} />
          <HaltQuestions {...working} />
          {report.may_finish ? (
            <section aria-labelledby="finish-heading" class="finish">
              <h2 id="finish-heading">{t("run.whole")}</h2>
              <label for="where">{t("run.where")}</label>
              <input {...where.input} id="where" ref={place} maxLength={200} aria-describedby="where-why" />
              <p class="wrong" id="where-why" role="status">{where.why}</p>
              <button type="button" class="primary wide" onClick={() => void finish()}>{t("run.finish")}</button>
            </section>
          ) : null}
          <Stations {...working} onSay={setSaid} />
          <PhoneName {...working} store={store} />
          {needed > 0 && (
            <section aria-labelledby="leave-heading">
              <h2 id="leave-heading" class="for-ears">{t("run.leaving")}</h2>
              <button type="button" class="wide" onClick={() => setAbsence({ walk: id, left_at: Date.now(), said: true })}>
                {t("run.leave")}
              </button>
              {!report.may_finish && (
                <details class="folded small">
                  <summary>{t("run.close")}</summary>
                  <p>{t(walk.list === "hook_up" ? "run.close_hook_up" : "run.close_other", { n: needed - done })}</p>
                  <button type="button" onClick={() => void finish()}>{t("run.close_it")}</button>
                </details>
              )}
            </section>
          )}
        </>
      )}
    </>
  );
}
