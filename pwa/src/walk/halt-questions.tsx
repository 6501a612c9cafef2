/** What a roadside check needs to know of this halt, before it says which parts are needed. */

import { Switch } from "../departure/conditions.tsx";
import type { Quantity } from "../rig/quantity.ts";
import { Driven } from "./driven.tsx";
import type { Working } from "./run-page.tsx";
import { whyNot } from "./use-walks.ts";
import { t } from "../words/text.ts";

type Answer = "yes" | "no" | "";

export function HaltQuestions({ doc, walk, report, write }: Working) {
  const parts = new Set(report.steps.map(({ step }) => step.part));
  if (walk.list !== "stop_check") {
    return null;
  }
  const driven = async (value: Quantity | undefined) => whyNot(await write([{ path: "/driven", ...(value ? { value } : { removed: true as const }) }]));
  return (
    <section aria-labelledby="halt-heading" class="halt-questions">
      <h2 id="halt-heading">{t("halt_questions.title")}</h2>
      <p class="hint">{t("halt_questions.hint")}</p>
      {parts.has("out_of_sight") && (
        <Question
          id="sight" words={t("halt_questions.sight")} answer={walk.out_of_sight}
          onAnswer={(value) => write([{ path: "/out_of_sight", value }])}
        />
      )}
      {parts.has("engine_run") && (
        <Question
          id="engine-run" words={t("halt_questions.engine")} answer={walk.engine_run}
          onAnswer={(value) => write([{ path: "/engine_run", value }])}
        />
      )}
      <Driven place={`${doc}/driven`} driven={walk.driven} onDriven={driven} />
    </section>
  );
}

function Question({ id, words, answer, onAnswer }: { id: string; words: string; answer: boolean | undefined; onAnswer: (yes: boolean) => unknown }) {
  return (
    <div class="field">
      <span id={id}>{words}</span>
      <Switch<Answer>
        labelled={id}
        value={answer === undefined ? "" : answer ? "yes" : "no"}
        options={[["yes", t("yes")], ["no", t("no")]]}
        onChange={(value) => onAnswer(value === "yes")}
      />
    </div>
  );
}
