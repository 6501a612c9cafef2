/** What a roadside check needs to know of this halt, before it says which parts are needed. */

import { Switch } from "../departure/conditions.tsx";
import type { Working } from "./run-page.tsx";
import { t } from "../words/text.ts";

type Answer = "yes" | "no" | "";

export function HaltQuestions({ walk, report, write }: Working) {
  const parts = new Set(report.steps.map(({ step }) => step.part));
  if (!parts.has("engine_run") && !parts.has("out_of_sight")) {
    return null;
  }
  return (
    <section aria-labelledby="halt-heading" class="halt-questions">
      <h2 id="halt-heading">{t("halt_questions.title")}</h2>
      <p class="hint">{t("halt_questions.hint")}</p>
      {parts.has("out_of_sight") && (
        <Question
          id="sight" words={t("halt_questions.sight")} answer={walk.out_of_sight}
          onAnswer={(value) => void write([{ path: "/out_of_sight", value }])}
        />
      )}
      {parts.has("engine_run") && (
        <Question
          id="engine-run" words={t("halt_questions.engine")} answer={walk.engine_run}
          onAnswer={(value) => void write([{ path: "/engine_run", value }])}
        />
      )}
    </section>
  );
}

function Question({ id, words, answer, onAnswer }: { id: string; words: string; answer: boolean | undefined; onAnswer: (yes: boolean) => void }) {
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
