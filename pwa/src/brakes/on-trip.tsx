/** Brakes, breakaway and battery at the figures of one trip. A part is asked for and drawn once it is opened. */

import type { ComponentChildren } from "preact";
import { useMemo, useState } from "preact/hooks";
import { forEngine, type Trip } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { Road } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import type { JsonObject } from "../store/journal.ts";
import { plainly, showParam } from "../words/format.ts";
import { t } from "../words/text.ts";
import { ThroughDay } from "./battery-day.tsx";
import { Descent } from "./descent.tsx";
import { Hold } from "./hold.tsx";
import { idOf, type Part } from "./parts.ts";
import { askedOfTrip } from "./stop-asked.ts";
import { Stopping } from "./stopping.tsx";

interface Props {
  engine: Engine;
  /** The rig's JSON text. */
  rig: string;
  trip: Trip;
  road: Road;
}

export function OnTrip({ engine, rig: text, trip, road }: Props) {
  const rig = useMemo(() => JSON.parse(text) as JsonObject, [text]);
  const { coldest, driving_h, steepest_grade_pct, planned_speed } = forEngine(trip);
  const cold = coldest && showParam({ temperature: coldest });
  return (
    <section aria-labelledby="on-trip-heading" class="on-trip">
      <h2 id="on-trip-heading">{t("on_trip.title")}</h2>
      <OnePart part="stopping">
        <Stopping key={`${trip.speed} ${trip.speedUnit}`} engine={engine} rig={rig} road={road} of="this" begin={askedOfTrip(trip)} />
      </OnePart>
      <OnePart part="descent">
        {steepest_grade_pct === 0
          ? <p>{t("on_trip.level")}</p>
          : <Descent engine={engine} rig={rig} {...(steepest_grade_pct !== undefined && { grade_pct: steepest_grade_pct })} {...(planned_speed && { speed: planned_speed })} fieldOf={fieldOfTrip} />}
      </OnePart>
      <OnePart part="hold">
        <Hold engine={engine} rig={rig} coldest={coldest} of="this" fieldOf={fieldOfTrip} />
      </OnePart>
      <OnePart part="day">
        {driving_h !== undefined && <p class="hint">{t("on_trip.driving", { h: driving_h })} {cold && t("on_trip.cold", { cold: plainly(cold) })}</p>}
        <ThroughDay engine={engine} rig={rig} day={road.day} {...(coldest && { temperature: coldest })} fieldOf={fieldOfTrip} />
      </OnePart>
    </section>
  );
}

function OnePart({ part, children }: { part: Part; children: ComponentChildren }) {
  const [opened, setOpened] = useState(false);
  return (
    <details class="folded" id={idOf(part)} onToggle={(event) => event.currentTarget.open && setOpened(true)}>
      <summary><Icon name="chevron" /> <span class="folded-words">{t(`on_trip.${part}`)}</span></summary>
      <div class="on-trip-part">{opened && children}</div>
    </details>
  );
}

/** The trip's field behind a field of an operation's question. */
const OF_TRIP: Record<string, string> = {
  "/coldest": "/trip/coldest", "/temperature": "/trip/coldest", "/day": "/trip/driving_h", "/grade_pct": "/trip/steepest_grade_pct", "/speed": "/trip/planned_speed",
};

function fieldOfTrip(pointer: string): string {
  return OF_TRIP[pointer] ?? pointer;
}
