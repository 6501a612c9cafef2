/** One failure: how urgent, where to stand, what to do, what to test, whether the trip goes on. */

import type { Ref } from "preact";
import { useEffect, useState } from "preact/hooks";
import { BasisLine } from "../departure/findings.tsx";
import type { Engine } from "../engine/client.ts";
import type { Failure, Text, WalkroundKind, WalkroundReport } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";
import type { Store } from "../store/store.ts";
import { HaltMark } from "./halt-mark.tsx";
import { Repaired } from "./repaired.tsx";
import type { ChosenRig } from "./trouble.tsx";

const TONES: Record<Failure["go_on"], string> = { yes: "ok", after_fix: "mind", no: "no_go" };

interface Props {
  engine: Engine;
  store: Store;
  rig: ChosenRig;
  failure: Failure;
  always: Text[];
  /** The list that led here. */
  back: string;
  heading: Ref<HTMLHeadingElement>;
}

export function FailurePage({ engine, store, rig, failure, always, back, heading }: Props) {
  return (
    <article class="room trouble failure">
      <a class="button back" href={back}><Icon name="back" /> {t("failure.back")}</a>
      <section class={`urgency halt-${failure.halt}`}>
        <HaltMark halt={failure.halt} size={56} />
        <div>
          <p class="urgency-words">{t(`halt.${failure.halt}`)}</p>
          <p>{t(`halt_means.${failure.halt}`)}</p>
        </div>
      </section>
      <h1 ref={heading} tabIndex={-1}><Say text={failure.name} /></h1>
      <p><Say text={failure.signs} /></p>
      {failure.because && <p class="note tone-find_out"><span><Say text={failure.because} /></span></p>}
      <section aria-labelledby="stand-heading">
        <h2 id="stand-heading">{t("failure.stand")}</h2>
        <p><Say text={failure.stand} /></p>
      </section>
      <section aria-labelledby="never-heading" class="never">
        <h2 id="never-heading">{t("failure.never")}</h2>
        <ul class="boxed">{failure.never.map((text) => <li key={text.id}><Say text={text} /></li>)}</ul>
      </section>
      <section aria-labelledby="do-heading">
        <h2 id="do-heading">{t("failure.do")}</h2>
        <ol class="steps">{failure.do.map((text) => <li key={text.id}><Say text={text} /></li>)}</ol>
      </section>
      <TestAgain engine={engine} rig={rig} failure={failure} />
      {rig && failure.test_again && <Repaired engine={engine} store={store} rig={rig} failure={failure} />}
      <section aria-labelledby="go-on-heading" class={`go-on tone-${TONES[failure.go_on]}`}>
        <h2 id="go-on-heading">{t("failure.go_on")}</h2>
        <p><strong class="go-on-words">{t(`go_on.${failure.go_on}`)}.</strong> <Say text={failure.condition} /></p>
      </section>
      <section aria-labelledby="always-heading">
        <h2 id="always-heading">{t("failure.always")}</h2>
        <ul class="boxed">{always.map((text) => <li key={text.id}><Say text={text} /></li>)}</ul>
      </section>
      <section aria-labelledby="cause-heading">
        <h2 id="cause-heading">{t("failure.cause")}</h2>
        <p><Say text={failure.cause} /></p>
        <ul class="basis">{failure.basis.map((basis) => <li key={basis.reference}><BasisLine basis={basis} /></li>)}</ul>
      </section>
    </article>
  );
}

/** The steps to do again, in the words of the lists made for this rig. */
function TestAgain({ engine, rig, failure }: { engine: Engine; rig: ChosenRig; failure: Failure }) {
  const again = failure.test_again ?? [];
  const [steps, setSteps] = useState<Map<string, Text>>();
  useEffect(() => {
    let current = true;
    void Promise.all(again.map(({ list }) => wordsOf(engine, list, rig?.text))).then((maps) => {
      if (current) setSteps(new Map(maps.flatMap((map) => [...map])));
    });
    return () => {
      current = false;
    };
  }, [engine, failure, rig?.text]);
  if (again.length === 0) {
    return null;
  }
  return (
    <section aria-labelledby="test-heading">
      <h2 id="test-heading">{t("failure.test")}</h2>
      {steps && again.map(({ list, steps: ids }) => (
        <div key={list}>
          <h3>{t(`failure.${list as WalkroundKind}`)}</h3>
          <ul class="again">
            {ids.map((id) => ({ id, text: steps.get(`${list}/${id}`) })).filter(({ text }) => text).map(({ id, text }) => (
              <li key={id}>{text && <Say text={text} />}</li>
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
}

/** What the steps of a list say; of a list for any rig where this rig has none. */
async function wordsOf(engine: Engine, list: string, rig: string | undefined): Promise<Map<string, Text>> {
  for (const text of rig === undefined ? ["{}"] : [rig, "{}"]) {
    const outcome = await engine.run<WalkroundReport>("walkround/list", `{"list":"${list}","rig":${text}}`).catch(() => undefined);
    if (outcome?.ok && outcome.value.steps.length > 0) {
      return new Map(outcome.value.steps.map((step) => [`${list}/${step.id}`, step.do]));
    }
  }
  return new Map();
}
