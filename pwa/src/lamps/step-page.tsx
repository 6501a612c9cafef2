/** One step of a light test: the order, the expected picture, and what the watcher sees. */

import { useEffect, useRef, useState } from "preact/hooks";
import { useHeading } from "../address.ts";
import type { LampComparison, LampPicture, LightTestStep } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { Say, sentenceOf } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { Expected, WhichWins } from "./expected.tsx";
import { LampAnswers } from "./lamp-answers.tsx";
import { PromptButton } from "./prompts.tsx";
import { usePrompt } from "./prompt.ts";
import { asExpected, differs, dueSteps, othersSaw, ownSighting, roundOf, saw, stateOf, type Sighting } from "./record.ts";
import { atTheCar } from "./script.ts";
import type { Working } from "./use-test.ts";

/** `back` leads to the trace that asked for this look. */
export function StepPage({ step, back, ...working }: Working & { step: LightTestStep; back: boolean }) {
  const { store, id, test, report, judged, device, write } = working;
  const due = dueSteps(test, report);
  const at = due.indexOf(step);
  const heading = useHeading(`${step.step} ${roundOf(test)}`);
  usePrompt(store, [step.says, ...step.do].map(sentenceOf).join(". "));
  // What is tapped stands at once: a second tap must not build on what was before the first.
  const [tapped, setTapped] = useState<Sighting>();
  const own = tapped ?? ownSighting(test, step.step, device);
  const [won, setWon] = useState(0);
  const picture = step.expect[won] ?? step.expect[0];
  const next = due.slice(at + 1).find((one) => stateOf(test, one, judged) === "open") ?? due.find((one) => one !== step && stateOf(test, one, judged) === "open");
  const pictures = own?.pictures ?? (picture ? asExpected(step.step, picture) : []);
  const see = (pictures: LampPicture[], comparisons: LampComparison[], done: boolean) => {
    const sighting = { at: Date.now(), done, pictures, comparisons };
    setTapped(sighting);
    return write(saw(test, step.step, device, sighting));
  };
  const onward = () => (location.hash = back ? `lamps/${id}/trace` : next ? `lamps/${id}/step/${next.step}` : `lamps/${id}`);
  const passes = async () => {
    if (picture && await see(asExpected(step.step, picture), [], true)) onward();
  };
  const keep = async () => {
    // A picture that differs stays before the eyes: its cause can be looked for at once.
    if ((await see(pictures, own?.comparisons ?? [], true)) && (back || !differs(pictures, step))) onward();
  };
  // Once the other phone has kept a picture that is as expected, both go on together; what differs stays before the eyes of both.
  const others = othersSaw(test, step.step, device);
  const before = useRef(others.length > 0);
  const follow = !before.current && !back && own === undefined && others.length > 0 && !differs(others, step);
  useEffect(() => {
    if (follow) onward();
  }, [follow]);
  const state = stateOf(test, step, judged);
  const brakes = /brake|unit_|unplugged/.test(step.step);
  if (!picture) {
    return null;
  }
  return (
    <>
      <p class="kicker">{at < 0 ? t("lamps.extra") : t("lamps.step_of", { n: at + 1, of: due.length })}{roundOf(test) > 0 && ` · ${t("lamps.again")}`}</p>
      <h1 ref={heading} tabIndex={-1} class="call">{sentenceOf(step.says)}</h1>
      {brakes && report.before[0] && <p class="hazard"><strong>{t("step.danger")}</strong> <Say text={report.before[0]} /></p>}
      {atTheCar(step.step) && <p class="hazard"><strong>{t("step.danger")}</strong> {t("lamps.at_the_car")}</p>}
      <ol class="steps">{step.do.map((one) => <li key={one.id}><Say text={one} /></li>)}</ol>
      <PromptButton store={store} words={[step.says, ...step.do].map(sentenceOf).join(". ")} />
      <WhichWins step={step} won={won} onWon={setWon} />
      <Expected test={report} step={step} picture={picture} />
      {!own && <button type="button" class="primary wide tall passes" onClick={() => void passes()}>{t("lamps.all_as_expected")}</button>}
      <section aria-labelledby="seen-heading">
        <h2 id="seen-heading">{t("lamps.what_seen")}</h2>
        {own?.done && <p class={`note tone-${TONES[state]}`} role="status"><span>{t(`lamps.state.${state}`)}</span></p>}
        <p class="hint">{t(own ? "lamps.tap" : "lamps.or_tap")}</p>
        <LampAnswers step={step.step} picture={picture} pictures={pictures} comparisons={own?.comparisons ?? []} onSee={(seen, compared) => void see(seen, compared, false)} />
        {own && !own.done && <button type="button" class="primary wide tall" onClick={() => void keep()}>{t("lamps.keep")}</button>}
        {own && <button type="button" class="wide" onClick={() => void passes()}>{t("lamps.all_as_expected")}</button>}
      </section>
      <div class="between">
        <Neighbour id={id} step={due[at - 1]} words={t("lamps.step_before")} />
        <Neighbour id={id} step={due[at + 1]} words={t("lamps.step_after")} />
      </div>
      {(state === "wrong" || state === "near" || back) && <a class="button primary wide" href={`#lamps/${id}/trace`}>{t("lamps.find_cause")} <Icon name="chevron" size={18} /></a>}
      <a class="button wide" href={`#lamps/${id}`}>{t("lamps.all_steps")}</a>
    </>
  );
}

/** The tone of a state; its words stand beside. */
export const TONES = { as_expected: "ok", near: "mind", wrong: "no_go", unclear: "find_out", open: "find_out" } as const;

function Neighbour({ id, step, words }: { id: string; step: LightTestStep | undefined; words: string }) {
  return step ? <a class="button" href={`#lamps/${id}/step/${step.step}`}>{words}<span class="for-ears">: {sentenceOf(step.says)}</span></a> : null;
}
