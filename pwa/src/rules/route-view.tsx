/** What the law asks along the route of the trip chosen on Departure; it prints as a table. */

import type { Ref } from "preact";
import { useEffect, useState } from "preact/hooks";
import { Borders, Unread } from "../departure/borders.tsx";
import { shortCode } from "../departure/places.ts";
import { Problem } from "../departure/problem.tsx";
import { chosenRig, useRigs, type Rig } from "../departure/rigs.ts";
import { forEngine, lastTrip, type Trip } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { EngineTrip, Law, ProblemDetails, ReadinessReport, RuleChange } from "../engine/types.ts";
import type { Store } from "../store/store.ts";
import { showDay } from "../words/format.ts";
import { t } from "../words/text.ts";
import { changesIn, type Changes } from "./changes.ts";
import { RouteTable } from "./route-table.tsx";
import { Strictest } from "./strictest.tsx";

interface Props {
  engine: Engine;
  store: Store;
  changes: Changes | undefined;
  heading: Ref<HTMLHeadingElement>;
}

export function RouteView({ engine, store, changes, heading }: Props) {
  const rigs = useRigs(store);
  const [trip] = useState<Trip>(() => lastTrip(new Date()));
  const rig = chosenRig(rigs, trip.rig);
  const answer = useRouteLaw(engine, rigs && changes && trip.route.length > 0 ? trip : undefined, rig, changes);
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.heading")}</h1>
      {trip.route.length === 0 ? (
        <>
          <p class="hint empty">{t("rules.no_route")}</p>
          <a class="button wide" href="#departure">{t("rules.to_departure")}</a>
        </>
      ) : (
        <p class="route-line">
          <strong>{trip.route.map(shortCode).join(" → ")}</strong>
          <span class="quiet">{[rig?.name ?? t("rules.without_rig"), showDay(trip.on)].join(" · ")}</span>
        </p>
      )}
      <p class="hint">{t("rules.promise")}</p>
      {trip.route.length > 0 && answer === undefined && <p class="hint empty">{t("rules.waiting")}</p>}
      {answer === "failed" && <p class="hint empty" role="alert">{t("rules.failed")}</p>}
      {answer && answer !== "failed" && "problem" in answer && <Problem problem={answer.problem} />}
      {answer && answer !== "failed" && "law" in answer && (
        <>
          <div class="buttons no-print">
            <button type="button" onClick={() => print()}>{t("rules.print")}</button>
            <a class="button" href="#departure">{t("rules.change_trip")}</a>
          </div>
          <Strictest law={answer.law} judged={rig !== undefined} />
          <Borders law={answer.law} />
          <RouteTable law={answer.law} judged={rig !== undefined} />
          <Unread law={answer.law} />
          <p class="stamp">{answer.stamp}</p>
        </>
      )}
    </>
  );
}

type Answer = { law: Law; stamp: string } | { problem: ProblemDetails } | "failed" | undefined;

/** The law of the trip: judged against the rig where one is chosen. The last question asked is the one shown. */
function useRouteLaw(engine: Engine, trip: Trip | undefined, rig: Rig | undefined, changes: Changes | undefined): Answer {
  const [answer, setAnswer] = useState<Answer>();
  const question = trip && JSON.stringify(forEngine(trip));
  useEffect(() => {
    let current = true;
    if (question === undefined) {
      return;
    }
    askLaw(engine, question, rig?.text, changes?.all ?? []).then((next) => current && setAnswer(next), () => current && setAnswer("failed"));
    return () => {
      current = false;
    };
  }, [engine, question, rig?.text, changes]);
  return answer;
}

async function askLaw(engine: Engine, trip: string, rig: string | undefined, changes: RuleChange[]): Promise<Answer> {
  const { route, on, night } = JSON.parse(trip) as EngineTrip;
  const rule_changes = changesIn(changes, route);
  if (rig !== undefined) {
    const judged = await engine.run<ReadinessReport>("readiness", `{"rig":${rig},"trip":${trip},"rule_changes":${JSON.stringify(rule_changes)}}`);
    return judged.ok ? { law: judged.value.law, stamp: stampOf(judged.value) } : { problem: judged.problem };
  }
  const read = await engine.run<Law & Stamped>("rules/evaluate", JSON.stringify({ route, on, night, rule_changes }));
  return read.ok ? { law: read.value, stamp: stampOf(read.value) } : { problem: read.problem };
}

interface Stamped {
  engine_version: string;
  facts_version: string;
}

function stampOf({ engine_version, facts_version }: Stamped): string {
  return t("answer.stamp", { engine: engine_version, facts: facts_version });
}
