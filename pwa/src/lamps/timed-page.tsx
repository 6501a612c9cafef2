/** Two phones with no signal: the same script on both, by the clock from a spoken "now". Nothing has to be tapped while it runs. */

import { useEffect, useState } from "preact/hooks";
import { useHeading } from "../address.ts";
import { Switch } from "../departure/conditions.tsx";
import { remember, remembered } from "../keep/local.ts";
import { Say, sentenceOf } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { Expected } from "./expected.tsx";
import { usePrompt } from "./prompt.ts";
import { PromptChoices } from "./prompts.tsx";
import { asExpected, ownSighting, saw } from "./record.ts";
import { LEAD_MS, momentOf, seatSteps, STEP_MS } from "./script.ts";
import type { Working } from "./use-test.ts";

type Role = "cab" | "behind";
interface Timed {
  id: string;
  /** When "now" was said, milliseconds of the Unix epoch. */
  at: number;
  role: Role;
}

export function TimedPage({ id, store, test, report, device, write }: Working) {
  const heading = useHeading("timed");
  const steps = seatSteps(report);
  const [role, setRole] = useState<Role>("cab");
  const [timed, setTimed] = useState(() => {
    const kept = remembered<Timed>("lamps-timed");
    return kept?.id === id && Date.now() - kept.at < LEAD_MS + steps.length * STEP_MS ? kept : undefined;
  });
  const now = useBeat(timed !== undefined);
  const moment = timed && momentOf(now - timed.at, steps.length);
  const step = moment?.at === "step" ? steps[moment.index] : undefined;
  const next = steps[moment?.at === "step" ? moment.index + 1 : 0];
  const orders = step && timed?.role === "cab" ? step.do.filter(({ id }) => id !== "light.do.call") : [];
  usePrompt(store, step ? [step.says, ...orders].map(sentenceOf).join(". ") : "");
  const run = (next: Timed | undefined) => {
    remember("lamps-timed", next);
    setTimed(next);
  };
  const picture = step?.expect[0];
  const say = (asIs: boolean) => {
    if (step && picture) void write(saw(test, step.step, device, { at: Date.now(), done: asIs, pictures: asExpected(step.step, picture) }));
  };
  const said = step && ownSighting(test, step.step, device);
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("lamps.timed")}</h1>
      {!moment && (
        <>
          <p>{t("lamps.timed_hint", { n: steps.length, seconds: STEP_MS / 1000 })}</p>
          <ul class="boxed">{report.before.map((one) => <li key={one.id}><Say text={one} /></li>)}</ul>
          <Switch label={t("lamps.role")} value={role} options={[["cab", t("lamps.role.cab")], ["behind", t("lamps.role.behind")]]} onChange={setRole} />
          <PromptChoices store={store} />
          <button type="button" class="primary wide tall" onClick={() => run({ id, at: Date.now(), role })}>{t("lamps.now")}</button>
        </>
      )}
      {moment?.at === "lead" && <p class="call" role="timer">{t("lamps.lead", { n: moment.left, step: next ? sentenceOf(next.says) : "" })}</p>}
      {moment?.at === "step" && step && (
        <section aria-labelledby="timed-step">
          <p class="kicker">{t("lamps.step_of", { n: moment.index + 1, of: steps.length })} · <span role="timer" aria-live="off">{t("lamps.seconds", { n: moment.left })}</span></p>
          <h2 id="timed-step" class="call">{sentenceOf(step.says)}</h2>
          {orders.length > 0 && <ol class="steps">{orders.map((one) => <li key={one.id}><Say text={one} /></li>)}</ol>}
          {timed?.role === "behind" && picture && (
            <>
              <Expected key={step.step} test={report} step={step} picture={picture} />
              <div class="buttons">
                <button type="button" aria-pressed={said?.done === true} onClick={() => say(true)}>{t("lamps.all_as_expected")}</button>
                <button type="button" aria-pressed={said?.done === false} onClick={() => say(false)}>{t("lamps.differs")}</button>
              </div>
            </>
          )}
          <p class="hint">{next ? t("lamps.then", { step: sentenceOf(next.says) }) : t("lamps.then_over")}</p>
        </section>
      )}
      {moment?.at === "over" && <p class="note" role="status"><span>{t("lamps.over")}</span></p>}
      {moment && <button type="button" class="wide" onClick={() => run(undefined)}>{t(moment.at === "over" ? "lamps.timed_again" : "lamps.timed_end")}</button>}
      <a class="button wide" href={`#lamps/${id}`}>{t("lamps.all_steps")}</a>
    </>
  );
}

/** The time, four times a second while it is wanted. */
function useBeat(on: boolean): number {
  const [now, setNow] = useState(Date.now);
  useEffect(() => {
    if (!on) {
      return;
    }
    setNow(Date.now());
    const beat = setInterval(() => setNow(Date.now()), 250);
    return () => clearInterval(beat);
  }, [on]);
  return now;
}
