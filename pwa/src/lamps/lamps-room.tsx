/** The room Lamps: what the rear of a rig should show, and the light tests that prove it. */

import { useState } from "preact/hooks";
import { useHeading } from "../address.ts";
import { Problem } from "../departure/problem.tsx";
import { chosenRig, useRigs, type Rig } from "../departure/rigs.ts";
import type { Engine } from "../engine/client.ts";
import type { LightTestReport } from "../engine/types.ts";
import { remembered } from "../keep/local.ts";
import type { Store } from "../store/store.ts";
import { t } from "../words/text.ts";
import { Expected, RestsOn, StepPicker } from "./expected.tsx";
import { useAnswer } from "./use-answer.ts";
import "../rig/wiring.css";
import "./lamps.css";

export function LampsRoom({ engine, store }: { engine: Engine; store: Store }) {
  const rigs = useRigs(store);
  const heading = useHeading("lamps");
  const [chosen, setChosen] = useState(() => remembered<{ rig?: string }>("trip")?.rig ?? "");
  const rig = chosenRig(rigs, chosen) ?? rigs?.[0];
  return (
    <div class="room lamps">
      <h1 ref={heading} tabIndex={-1}>{t("room.lamps")}</h1>
      {rigs?.length === 0 && <p class="hint">{t("lists.none")}</p>}
      {rigs && rig && (
        <div class="rig-field">
          <label for="lamps-rig">{t("rig_choice.rig")}</label>
          <select id="lamps-rig" value={rig.id} onChange={({ currentTarget }) => setChosen(currentTarget.value)}>
            {rigs.map(({ id, name }) => <option key={id} value={id}>{name}</option>)}
          </select>
        </div>
      )}
      {rig && <Rear key={rig.id} engine={engine} rig={rig} />}
    </div>
  );
}

function Rear({ engine, rig }: { engine: Engine; rig: Rig }) {
  const answer = useAnswer<LightTestReport>(engine, "lamps/test", `{"rig":${rig.text}}`);
  const [chosen, setChosen] = useState("tail_brake");
  if (!answer) {
    return <p class="hint" role="status">{t("departure.working")}</p>;
  }
  if (!answer.ok) {
    return <Problem problem={answer.problem} under="/rig" />;
  }
  const test = answer.value;
  const step = test.steps.find((one) => one.step === chosen) ?? test.steps[0];
  return (
    <section aria-labelledby="expected-heading">
      <h2 id="expected-heading">{t("lamps.expected")}</h2>
      <RestsOn test={test} rig={rig.id} />
      {step && (
        <>
          <StepPicker test={test} step={step} onStep={(next) => setChosen(next.step)} />
          <Expected key={step.step} test={test} step={step} />
        </>
      )}
    </section>
  );
}
