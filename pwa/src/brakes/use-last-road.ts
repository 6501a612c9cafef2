/** What the trip last entered under Departure asks of a rig's brakes. */

import { forEngine, lastTrip } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { ReadinessReport, Road } from "../engine/types.ts";
import { changesIn, useChanges } from "../rules/changes.ts";
import type { JsonObject } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { useReport } from "./use-report.ts";

/** Undefined until it is answered, and where that trip has no route. */
export function useLastRoad(engine: Engine, store: Store, rig: JsonObject): Road | undefined {
  const trip = forEngine(lastTrip(new Date()));
  const changes = useChanges(engine, store);
  const asks = changes && trip.route.length > 0 ? { rig, trip, rule_changes: changesIn(changes.all, trip.route) } : undefined;
  const outcome = useReport<ReadinessReport>(engine, "readiness", asks);
  return outcome?.ok ? outcome.value.road : undefined;
}
