/** Departure: may this rig leave today, on this route? */

import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { OnTrip } from "../brakes/on-trip.tsx";
import type { Engine } from "../engine/client.ts";
import type { EngineTrip, ProblemDetails, ReadinessReport, Registry, RuleChange } from "../engine/types.ts";
import { remember } from "../keep/local.ts";
import { Icon } from "../marks/icon.tsx";
import type { JsonObject } from "../store/journal.ts";
import { Store, type Document } from "../store/store.ts";
import { useDocuments } from "../store/use-store.ts";
import { showDay } from "../words/format.ts";
import { currentReader, watchReader } from "../words/reader.ts";
import { sentenceOf } from "../words/say.tsx";
import { changesIn, useChanges } from "../rules/changes.ts";
import { HookedUpCard } from "../walk/hooked-up-card.tsx";
import { useWalks } from "../walk/use-walks.ts";
import { idOf } from "../walk/walk.ts";
import { t } from "../words/text.ts";
import { Answer } from "./answer.tsx";
import { Conditions } from "./conditions.tsx";
import { shortCode, type Place } from "./places.ts";
import { Problem } from "./problem.tsx";
import { askReadiness, recordsOf } from "./records.ts";
import { RigChoice } from "./rig-choice.tsx";
import { chosenRig, useRigs, type Rig } from "./rigs.ts";
import { Route } from "./route.tsx";
import { forEngine, inUnits, lastTrip, withTripOf, wrongFigures, type Trip } from "./trip.ts";

const NONE: Document[] = [];

type Outcome = { report: ReadinessReport } | { problem: ProblemDetails } | { failed: true } | undefined;

export function Departure({ engine, store }: { engine: Engine; store: Store }) {
  const rigs = useRigs(store);
  const walks = useWalks(store);
  const places = usePlaces(engine);
  const [trip, setTrip] = useState<Trip>(() => lastTrip(new Date()));
  const view = useView();
  const [missing, setMissing] = useState("");
  const heading = useRef<HTMLHeadingElement>(null);
  const question = useRef<HTMLHeadingElement>(null);
  const form = useRef<HTMLDivElement>(null);

  const rig = chosenRig(rigs, trip.rig);
  const wrong = useMemo(() => wrongFigures(trip), [trip]);
  const lacking = whatIsMissing(rig, trip, Object.keys(wrong).length > 0);
  const changes = useChanges(engine, store);
  const tests = useDocuments(store, "test");
  const outcome = useAnswer(engine, lacking === "" && changes && tests ? rig : undefined, trip, changes?.all ?? [], tests ?? NONE);

  const change = (part: Partial<Trip>) => {
    const next = { ...trip, ...part };
    setTrip(next);
    setMissing("");
    remember("trip", next);
  };
  useEffect(() => watchReader(() => setTrip((typed) => inUnits(typed, currentReader().units))), []);
  const choose = (id: string) => {
    const given = rigs?.find((one) => one.id === id)?.trip;
    // A rig's own trip fills an empty form; it never overwrites what a person entered.
    const fills = given !== undefined && trip.route.length === 0;
    change(fills ? { ...withTripOf(trip, JSON.parse(given) as Partial<EngineTrip>), rig: id } : { rig: id });
  };
  const see = () => {
    if (lacking !== "") {
      setMissing(lacking);
      form.current?.querySelector<HTMLElement>('[aria-invalid="true"], [role="combobox"]')?.focus();
      return;
    }
    location.hash = ANSWER;
  };
  const shown = useRef(view);
  useLayoutEffect(() => {
    if (view !== shown.current) {
      shown.current = view;
      scrollTo(0, 0);
      (view === "answer" ? heading : question).current?.focus({ preventScroll: true });
    }
  }, [view]);

  const own = rig?.trip !== undefined && !sameTrip(trip, JSON.parse(rig.trip) as Partial<EngineTrip>) ? rig.trip : undefined;
  return (
    <div class="panes" data-view={view}>
      <div class="question">
        <h1 ref={question} tabIndex={-1}>{t("departure.title")}</h1>
        <a class="button" href="#trouble"><Icon name="trouble" /> {t("trouble")}</a>
      </div>
      <div class="pane trip" ref={form}>
        <RigChoice
          engine={engine}
          store={store}
          rigs={rigs}
          chosen={rig?.id ?? ""}
          onChoose={choose}
          onKeep={async (text) => {
            const doc = Store.newDoc("rig");
            await store.replace(doc, JSON.parse(text) as JsonObject);
            choose(doc);
          }}
        />
        {own !== undefined && (
          <button type="button" class="wide quiet" onClick={() => change(withTripOf(trip, JSON.parse(own) as Partial<EngineTrip>))}>
            {t("departure.use_trip")}
          </button>
        )}
        {rig && <HookedUpCard engine={engine} store={store} walks={walks} rig={idOf(rig.id)} />}
        <Route places={places} route={trip.route} onChange={(route) => change({ route })} />
        <Conditions trip={trip} wrong={wrong} onChange={change} />
        <div class="go">
          <p class="wrong" role="alert">{missing}</p>
          <button type="button" class="primary wide" onClick={see}>{t("departure.see")}</button>
        </div>
      </div>
      <div class="pane result">
        <div class="summary">
          <a class="button only-icon" aria-label={t("departure.change")} href="#departure">
            <Icon name="back" />
          </a>
          {rig && (
            <p>
              <strong>{rig.name}</strong>
              <span class="legs">{trip.route.map(shortCode).join(" → ")}</span>
              <span class="quiet">{t(trip.night ? "day.by_night" : "day.by_day", { day: showDay(trip.on) })}</span>
            </p>
          )}
        </div>
        {!outcome && <p class="hint empty">{(rigs && lacking) || t("departure.working")}</p>}
        {outcome && "failed" in outcome && <p class="hint empty">{t("departure.no_engine")}</p>}
        {outcome && "problem" in outcome && (
          <>
            <p>{t("departure.refused")}</p>
            <Problem problem={outcome.problem} />
          </>
        )}
        {outcome && "report" in outcome && (
          <Answer report={outcome.report} heading={heading}>
            {rig && <OnTrip engine={engine} rig={rig.text} trip={trip} road={outcome.report.road} />}
          </Answer>
        )}
        <p class="for-ears" role="status">
          {outcome && "report" in outcome && `${t(`verdict.${outcome.report.verdict}`)}. ${sentenceOf(outcome.report.answer)}`}
        </p>
      </div>
    </div>
  );
}

/** The fragment of the address while the answer is shown, so that Back returns to the trip. */
const ANSWER = "#answer";

/** Which of the two a phone shows; a desk shows both. */
function useView(): "trip" | "answer" {
  const read = () => (location.hash === ANSWER ? "answer" : "trip");
  const [view, setView] = useState<"trip" | "answer">(read);
  useEffect(() => {
    const follow = () => setView(read());
    addEventListener("hashchange", follow);
    return () => removeEventListener("hashchange", follow);
  }, []);
  return view;
}

/** What keeps the engine from being asked, in words; empty where nothing does. */
function whatIsMissing(rig: Rig | undefined, trip: Trip, wrong: boolean): string {
  if (!rig) {
    return t("departure.no_rig");
  }
  if (trip.route.length === 0) {
    return t("departure.no_route");
  }
  return wrong ? t("departure.bad_figure") : "";
}

function sameTrip(trip: Trip, given: Partial<EngineTrip>): boolean {
  const theirs = withTripOf(trip, given);
  return JSON.stringify(forEngine(theirs)) === JSON.stringify(forEngine(trip));
}

function usePlaces(engine: Engine): Place[] {
  const [places, setPlaces] = useState<Place[]>([]);
  useEffect(() => {
    engine.run<Registry>("rules/jurisdictions", "{}").then(
      (outcome) => outcome.ok && setPlaces(outcome.value.jurisdictions),
      () => {}, // the frame says that there is no engine
    );
  }, [engine]);
  return places;
}

/** Asks the engine whenever rig or trip change; the last question asked is the one shown. */
function useAnswer(engine: Engine, rig: Rig | undefined, trip: Trip, changes: RuleChange[], tests: Document[]): Outcome {
  const [outcome, setOutcome] = useState<Outcome>();
  const question = rig && `{"rig":${rig.text},"trip":${JSON.stringify(forEngine(trip))},"rule_changes":${JSON.stringify(changesIn(changes, trip.route))}`;
  const id = rig && idOf(rig.id);
  const records = useMemo(() => (id === undefined ? [] : recordsOf(tests, id)), [tests, id]);
  useEffect(() => {
    let current = true;
    if (question === undefined) {
      setOutcome(undefined);
      return;
    }
    askReadiness(engine, (taken) => `${question},"test_records":${JSON.stringify(taken)}}`, records).then(
      (answer) => current && setOutcome(answer.ok ? { report: answer.value } : { problem: answer.problem }),
      () => current && setOutcome({ failed: true }),
    );
    return () => {
      current = false;
    };
  }, [engine, question, records]);
  return outcome;
}
