/** The script for one person: what to call or honk while a phone films, and how to set it up. */

import { useState } from "preact/hooks";
import { useHeading } from "../address.ts";
import { Switch } from "../departure/conditions.tsx";
import { Say, sentenceOf } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { atTheCar, seatSteps } from "./script.ts";
import type { Working } from "./use-test.ts";

export function ScriptPage({ id, report }: Working) {
  const heading = useHeading("script");
  const [by, setBy] = useState<"call" | "honk">("call");
  const [first] = report.steps;
  const rest = report.steps.filter(({ step }) => atTheCar(step));
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("lamps.script")}</h1>
      <section aria-labelledby="film-heading">
        <h2 id="film-heading">{t("lamps.film")}</h2>
        <ul class="boxed">
          {report.before.map((one) => <li key={one.id}><Say text={one} /></li>)}
          <li>{t("lamps.film_place")}</li>
          <li>{t("lamps.film_pole")}</li>
        </ul>
      </section>
      <section aria-labelledby="calls-heading">
        <h2 id="calls-heading">{t("lamps.calls")}</h2>
        <Switch label={t("lamps.call_or_honk")} value={by} options={[["call", t("lamps.call")], ["honk", t("lamps.honk")]]} onChange={setBy} />
        <p class="hint">{t(by === "call" ? "lamps.call_hint" : "lamps.honk_hint")}</p>
        <ol class="steps">
          {seatSteps(report).map((step, at) => (
            <li key={step.step}>
              <strong>{by === "call" ? t("lamps.say", { words: sentenceOf(step.says) }) : t("lamps.honks", { n: at + 1 })}</strong><br />
              <span>{step.do.filter(({ id }) => !/film|pole|call$/.test(id)).map(sentenceOf).join(" ")}</span>
            </li>
          ))}
        </ol>
      </section>
      {rest.length > 0 && <p class="hint">{t("lamps.rest", { steps: rest.map(({ says }) => sentenceOf(says)).join("; ") })}</p>}
      {first && <a class="button primary wide tall" href={`#lamps/${id}/step/${first.step}`}>{t("lamps.tag", { step: sentenceOf(first.says) })}</a>}
      <a class="button wide" href={`#lamps/${id}`}>{t("lamps.all_steps")}</a>
    </>
  );
}
