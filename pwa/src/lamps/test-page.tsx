/** One light test: its steps, the cause of what is wrong, and the record that it leaves. */

import { useAddress, useHeading } from "../address.ts";
import { Problem } from "../departure/problem.tsx";
import type { Engine } from "../engine/client.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import type { Store } from "../store/store.ts";
import { useAwake } from "../walk/away.ts";
import { useTogether } from "../walk/phone-name.tsx";
import { Say, sentenceOf } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { BenchPage } from "./bench-page.tsx";
import { Finish } from "./finish.tsx";
import { PromptChoices } from "./prompts.tsx";
import { dueSteps, roundOf, stateOf } from "./record.ts";
import { RecordPage } from "./record-page.tsx";
import { ScriptPage } from "./script-page.tsx";
import { StepPage, TONES } from "./step-page.tsx";
import { TimedPage } from "./timed-page.tsx";
import { TracePage } from "./trace-page.tsx";
import { useLightTest, type Working } from "./use-test.ts";

interface Props {
  engine: Engine;
  store: Store;
  device: string;
  id: string;
  rigNow: (rig: string) => string | undefined;
}

export function TestPage({ engine, store, device, id, rigNow }: Props) {
  const { state, write, refused } = useLightTest(engine, store, id, rigNow);
  const running = state.at === "running";
  useAwake(running);
  useTogether(store, running);
  return (
    <div class="room lamps">
      <a class="button back" href="#lamps"><Icon name="back" /> {t("lamps.all")}</a>
      {refused && <p class="note tone-no_go" role="alert"><span>{refused} {t("run.safe")}</span></p>}
      {state.at === "none" && <p class="hint empty">{t("lamps.none")}</p>}
      {state.at === "reading" && <p class="hint" role="status">{t("departure.working")}</p>}
      {state.at === "problem" && <Problem problem={state.problem} under="/rig" />}
      {state.at === "running" && <Shown engine={engine} store={store} id={id} device={device} write={write} {...state} />}
      {state.at === "finished" && <RecordPage engine={engine} test={state.test} rig={state.test.run?.rig_text ?? rigNow(state.test.rig ?? "")} write={write} />}
    </div>
  );
}

function Shown(working: Working) {
  const [, , page, named, from] = useAddress();
  const step = page === "step" ? working.report.steps.find((one) => one.step === named) : undefined;
  if (working.report.bench) return <BenchPage {...working} bench={working.report.bench} />;
  if (step) return <StepPage key={step.step} step={step} back={from === "trace"} {...working} />;
  if (page === "trace") return <TracePage {...working} />;
  if (page === "script") return <ScriptPage {...working} />;
  if (page === "timed") return <TimedPage {...working} />;
  return <Steps {...working} />;
}

/** Where the test stands: what to see to first, the steps in their order, and what comes next. */
function Steps(working: Working) {
  const { store, id, test, report, judged } = working;
  const heading = useHeading("steps");
  const due = dueSteps(test, report);
  const states = due.map((step) => ({ step, state: stateOf(test, step, judged) }));
  const open = states.filter(({ state }) => state === "open");
  const needed = open.filter(({ step }) => step.needed);
  const wrong = states.some(({ state }) => state === "wrong" || state === "near");
  const next = (needed[0] ?? open[0])?.step;
  const begun = open.length < due.length;
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("lamps.test_of", { rig: test.run.rig_name })}</h1>
      <div class="walk-progress">
        <progress max={due.length} value={due.length - open.length} aria-label={t("lamps.progress")} />
        <span><strong>{due.length - open.length}</strong> {t("run.of", { needed: due.length })}</span>
      </div>
      {roundOf(test) > 0 && <p class="hint">{t("lamps.again_hint")}</p>}
      {wrong && <a class="button primary wide" href={`#lamps/${id}/trace`}>{t("lamps.find_cause")} <Icon name="chevron" size={18} /></a>}
      {!begun && (
        <section aria-labelledby="before-heading">
          <h2 id="before-heading">{t("lamps.before")}</h2>
          <ul class="boxed">{report.before.map((one) => <li key={one.id}><Say text={one} /></li>)}</ul>
          <PromptChoices store={store} />
        </section>
      )}
      {test.by === "one_person" && <a class="button wide" href={`#lamps/${id}/script`}>{t("lamps.script")} <Icon name="chevron" size={18} /></a>}
      {test.by === "two_people" && <a class="button wide" href={`#lamps/${id}/timed`}>{t("lamps.timed")} <Icon name="chevron" size={18} /></a>}
      {next && <a class={`button wide tall${wrong ? "" : " primary"}`} href={`#lamps/${id}/step/${next.step}`}>{t(begun ? "lamps.go_on" : test.by === "one_person" ? "lamps.tag" : "lamps.begin", { step: sentenceOf(next.says) })}</a>}
      {needed.length === 0 && open.length > 0 && <p class="hint">{t("lamps.all_shown")}</p>}
      <section aria-labelledby="steps-heading">
        <h2 id="steps-heading">{t("lamps.steps")}</h2>
        <ol class="links">
          {states.map(({ step, state }) => (
            <li key={step.step}>
              <a href={`#lamps/${id}/step/${step.step}`} data-step={step.step} data-state={state} class={`tone-${TONES[state]}`}>
                <VerdictMark verdict={TONES[state]} />
                <span><strong>{sentenceOf(step.says)}</strong><br /><span class="quiet">{t(`lamps.state.${state}`)}{step.needed && ` · ${t("lamps.needed")}`}</span></span>
                <Icon name="chevron" size={18} />
              </a>
            </li>
          ))}
        </ol>
      </section>
      {begun && (
        <section aria-labelledby="after-heading">
          <h2 id="after-heading">{t("lamps.after")}</h2>
          <ul class="boxed">{report.after.map((one) => <li key={one.id}><Say text={one} /></li>)}</ul>
          <Finish {...working} open={needed.length} />
        </section>
      )}
    </>
  );
}
