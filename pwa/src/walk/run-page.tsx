/** One walk-round: being worked through, or the record it left. */

import type { Ref } from "preact";
import { useRef, useState } from "preact/hooks";
import { Problem } from "../departure/problem.tsx";
import type { Engine } from "../engine/client.ts";
import type { WalkroundRunReport } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import type { Store } from "../store/store.ts";
import { useAwake, useReturns } from "./away.ts";
import { BreakAsk, OnBreak, TouchAgain } from "./breaks.tsx";
import { FindingLines } from "./finding-lines.tsx";
import { HaltQuestions } from "./halt-questions.tsx";
import { RecordPage } from "./record-page.tsx";
import { Stations } from "./stations.tsx";
import { useRun, type WriteRun } from "./use-walks.ts";
import { leaves, LIST_WORDS, pointer, runInput, runningBreaks, wasAway, type Walk } from "./walk.ts";

interface Props {
  engine: Engine;
  store: Store;
  /** This install. */
  device: string;
  id: string;
  /** The rig's JSON text as it is kept now. */
  rig: string | undefined;
  heading: Ref<HTMLHeadingElement>;
}

export function RunPage({ engine, store, device, id, rig, heading }: Props) {
  const { state, write, refused } = useRun(engine, store, id, rig);
  const running = state.at === "known" && state.walk.finished === undefined;
  useAwake(running);
  useReturns(id, running, (seen, now) => {
    if (state.at === "known" && wasAway(state.walk, seen, now)) {
      void write(leaves(pointer("breaks", crypto.randomUUID()), { left_at: seen, back_at: now }));
    }
  });
  return (
    <div class="room walk">
      <a class="button back" href="#walk"><Icon name="back" /> All lists</a>
      {refused && (
        <p class="note tone-no_go" role="alert"><span>{refused} What was kept before is safe.</span></p>
      )}
      {state.at === "none" && <p class="hint empty">This device has no such walk-round.</p>}
      {state.at === "failed" && <p class="hint empty" role="alert">Without the engine the list cannot be shown. What you ticked is safe.</p>}
      {state.at === "problem" && <Problem problem={state.problem} />}
      {state.at === "known" &&
        (running ? (
          <Running walk={state.walk} report={state.report} rig={rig ?? state.walk.rig_text} engine={engine} device={device} write={write} heading={heading} />
        ) : (
          <RecordPage walk={state.walk} report={state.report} write={write} heading={heading} />
        ))}
    </div>
  );
}

export interface Working {
  walk: Walk;
  report: WalkroundRunReport;
  device: string;
  write: WriteRun;
}

/** Findings that the page says in its own place. */
const SAID_ELSEWHERE = ["walkround.steps-left", "walkround.all-done", "walkround.did-you-leave"];

function Running({ engine, rig, heading, ...working }: Working & { engine: Engine; rig: string; heading: Ref<HTMLHeadingElement> }) {
  const { walk, report, write } = working;
  const [said, setSaid] = useState("");
  const place = useRef<HTMLInputElement>(null);
  const needed = report.progress.reduce((sum, { steps }) => sum + steps, 0);
  const done = report.progress.reduce((sum, { done: n }) => sum + n, 0);
  const onBreak = runningBreaks(walk)[0];
  const ask = report.asks?.[0];
  const again = report.steps.filter(({ state }) => state === "touch_again");
  const findings = report.findings.filter(({ id }) => !SAID_ELSEWHERE.includes(id));

  const finish = async () => {
    const where = place.current?.value.trim();
    const finished: Walk = { ...walk, finished: Date.now(), ...(where && { place: where }) };
    // What a whole hook-up gives is kept with it: a rig edited later changes no record.
    const outcome = await engine.run<WalkroundRunReport>("walkround/run", runInput(finished, rig, Date.now()));
    const standing = outcome.ok ? outcome.value.hooked_up : undefined;
    await write([
      ...leaves("/finished", finished.finished), { path: "/rig_text", value: rig },
      ...(where ? [{ path: "/place", value: where }] : []),
      ...(standing ? leaves("/hooked_up", standing.hooked_up) : []),
    ]);
  };
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{LIST_WORDS[walk.list]}</h1>
      <p class="quiet">{walk.rig_name}</p>
      {needed > 0 && (
        <p class="walk-progress">
          <progress max={needed} value={done} aria-label="Steps done" />
          <span><strong>{done}</strong> of {needed} done</span>
        </p>
      )}
      <p class="for-ears" role="status">{said}</p>
      {onBreak !== undefined ? (
        <OnBreak {...working} id={onBreak} />
      ) : ask !== undefined ? (
        <BreakAsk {...working} id={ask} onSay={setSaid} />
      ) : again.length > 0 ? (
        <TouchAgain {...working} stands={again} onSay={setSaid} />
      ) : (
        <>
          <FindingLines findings={findings} />
          <HaltQuestions {...working} />
          {report.may_finish ? (
            <section aria-labelledby="finish-heading" class="finish">
              <h2 id="finish-heading">Everything stands as done</h2>
              <label for="where">Where is this? (may stay empty)</label>
              <input id="where" ref={place} type="text" maxLength={200} autocomplete="off" />
              <button type="button" class="primary wide" onClick={() => void finish()}>Finish: keep the record</button>
            </section>
          ) : null}
          <Stations {...working} onSay={setSaid} />
          {needed > 0 && (
            <section aria-labelledby="leave-heading">
              <h2 id="leave-heading" class="for-ears">Leaving</h2>
              <button type="button" class="wide" onClick={() => void write([{ path: `${pointer("breaks", crypto.randomUUID())}/left_at`, value: Date.now() }])}>
                I am leaving the rig for a while
              </button>
              {!report.may_finish && (
                <details class="folded small">
                  <summary>Close the list unfinished</summary>
                  <p>{needed - done} steps are open. The record will say so, and the rig will not count as {walk.list === "hook_up" ? "hooked up" : "checked"}.</p>
                  <button type="button" onClick={() => void finish()}>Close it unfinished</button>
                </details>
              )}
            </section>
          )}
        </>
      )}
    </>
  );
}
