/** What a change of law rows does to the rigs and trips kept here, and the one way to keep it. */

import { useEffect, useState } from "preact/hooks";
import { useRigs, type Rig } from "../departure/rigs.ts";
import { forEngine, lastTrip, newTrip, withTripOf } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { EngineTrip, ImpactReport, RuleChange } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import type { Store } from "../store/store.ts";
import { Say } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { changesIn } from "./changes.ts";

/** A trip as it is saved, by the name a person knows it by. */
interface Saved {
  name: string;
  rig: string;
  trip: EngineTrip;
}

/** Shows what the changes tried would flip, and keeps them when told to. */
export function Impact({ engine, store, changes, tried, onKeep }: { engine: Engine; store: Store; changes: RuleChange[]; tried: RuleChange[]; onKeep: () => Promise<void> }) {
  const rigs = useRigs(store);
  const [report, setReport] = useState<ImpactReport | "failed">();
  const [failed, setFailed] = useState("");
  const read = rigs !== undefined;
  useEffect(() => {
    let current = true;
    setReport(undefined);
    if (rigs) {
      impactOf(engine, rigs, changes, tried).then((next) => current && setReport(next), () => current && setReport("failed"));
    }
    return () => {
      current = false;
    };
  }, [engine, read, tried]);
  const names = new Map(rigs ? savedTrips(rigs).map(([key, { name }]) => [key, name]) : []);
  return (
    <section aria-labelledby="impact-heading" class="impact">
      <h2 id="impact-heading">{t("rules.impact")}</h2>
      {report === undefined && <p class="hint">{t("rules.impact_wait")}</p>}
      {report === "failed" && <p class="problem" role="alert">{t("rules.impact_failed")}</p>}
      {report && report !== "failed" && (
        <>
          <p role="status">{report.flips + report.moves === 0 ? t("rules.impact_none", { n: report.trips.length }) : t("rules.impact_some", { flips: report.flips, moves: report.moves, n: report.trips.length })}</p>
          <ul class="lines">
            {report.trips.filter(({ flips, moved }) => flips || moved.length > 0).map((trip) => (
              <li key={trip.trip} class={`tone-${trip.after}`} data-flips={trip.flips}>
                {trip.after && <VerdictMark verdict={trip.after} size={24} />}
                <span>
                  <strong>{names.get(trip.trip) ?? trip.trip}</strong>
                  {trip.before && trip.after && <span>{trip.flips ? t("rules.flips", { before: t(`verdict.${trip.before}`), after: t(`verdict.${trip.after}`) }) : t("rules.stays", { verdict: t(`verdict.${trip.after}`) })}</span>}
                  {trip.moved.map((moved) => <span key={moved.id} class="quiet">{moved.after ? <Say text={moved.after.says} given /> : moved.before && <>{t("rules.gone")} <Say text={moved.before.says} given /></>}</span>)}
                </span>
              </li>
            ))}
          </ul>
        </>
      )}
      {failed && <p class="problem" role="alert">{failed}</p>}
      <button type="button" class="primary wide" disabled={report === undefined} onClick={() => void onKeep().catch((reason: Error) => setFailed(reason.message))}>{t("rules.keep")}</button>
    </section>
  );
}

/** Asks the engine; a rig or trip that it will not take is left out, so that the others are judged. */
export async function impactOf(engine: Pick<Engine, "run">, rigs: Rig[], changes: RuleChange[], tried: RuleChange[]): Promise<ImpactReport> {
  const trips = new Map(savedTrips(rigs).slice(0, 64));
  const wanted = new Set([...trips.values()].map(({ rig }) => rig));
  const kept = new Map(rigs.filter((rig) => wanted.has(keyOf(rig))).map((rig) => [keyOf(rig), rig.text]));
  for (;;) {
    const route = [...trips.values()].flatMap(({ trip }) => trip.route);
    const outcome = await engine.run<ImpactReport>("readiness/impact",
      `{"rigs":{${[...kept].map(([key, text]) => `${JSON.stringify(key)}:${text}`).join()}},` +
      `"trips":${JSON.stringify(Object.fromEntries([...trips].map(([key, { rig, trip }]) => [key, { rig, trip }])))},` +
      `"rule_changes":${JSON.stringify(changesIn(changes, route))},"changes":${JSON.stringify(changesIn(tried, route))}}`);
    if (outcome.ok) return outcome.value;
    const faults = outcome.problem.errors.map(({ pointer }) => pointer.split("/"));
    const before = kept.size + trips.size;
    faults.forEach(([, of, key = ""]) => (of === "rigs" ? kept : trips).delete(key));
    for (const [key, { rig }] of trips) if (!kept.has(rig)) trips.delete(key);
    if (kept.size + trips.size === before) throw new Error(outcome.problem.title);
  }
}

/** The usual trip of each rig, and the one on Departure. */
function savedTrips(rigs: Rig[]): [string, Saved][] {
  const today = new Date();
  const saved = rigs.flatMap((rig): [string, Saved][] => {
    const given = rig.trip === undefined ? undefined : (JSON.parse(rig.trip) as Partial<EngineTrip>);
    return given?.route?.length ? [[keyOf(rig), { name: rig.name, rig: keyOf(rig), trip: forEngine(withTripOf(newTrip(today), given)) }]] : [];
  });
  const now = lastTrip(today);
  const rig = rigs.find(({ id }) => id === now.rig);
  return rig && now.route.length > 0 ? [["departure", { name: t("rules.on_departure", { rig: rig.name }), rig: keyOf(rig), trip: forEngine(now) }], ...saved] : saved;
}

/** A rig's id as a key of the engine. */
function keyOf({ id }: Rig): string {
  return id.replace(/[^A-Za-z0-9_-]/g, "-").slice(0, 64);
}
