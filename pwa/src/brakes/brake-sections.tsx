/** What the engine makes of the brakes, the breakaway kit and the car's battery, shown in their sections of the rig. */

import { forEngine, lastTrip } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import { describe } from "../keep/describe.ts";
import type { JsonObject, Write } from "../store/journal.ts";
import { Store } from "../store/store.ts";
import { beginning, idOf } from "../walk/walk.ts";
import { useReader } from "../words/use-reader.ts";
import { BatteryDay } from "./battery-day.tsx";
import { BrakeChoice } from "./brake-choice.tsx";
import { Hold } from "./hold.tsx";
import { MeasuredStop } from "./measured-stop.tsx";
import { Stopping } from "./stopping.tsx";
import { askedOfTrip } from "./stop-asked.ts";
import { useLastRoad } from "./use-last-road.ts";

interface Props {
  /** The section's id. */
  section: string;
  engine: Engine;
  store: Store;
  /** The rig's document, "rig/<id>". */
  doc: string;
  rig: JsonObject;
  /** Keeps the writes; answers why not, in words. */
  onWrite: (writes: Write[]) => Promise<string | undefined>;
}

export function BrakeSections({ section, engine, store, doc, rig, onWrite }: Props) {
  useReader(); // the curves follow the reader's units
  switch (section) {
    case "brake-unit":
      return <BrakeChoice engine={engine} rig={rig} onWrite={onWrite} onSetUp={() => beginSetUp(store, doc, rig)} />;
    case "stopping":
      return <><MeasuredStop rig={rig} onWrite={onWrite} /><RigStopping engine={engine} store={store} rig={rig} /></>;
    case "breakaway":
      return <Hold engine={engine} rig={rig} coldest={forEngine(lastTrip(new Date())).coldest} of="last" />;
    case "car-battery":
      return <BatteryDay engine={engine} rig={rig} />;
    default:
      return null;
  }
}

/** Begins the walk-round of the unit's set-up tests and leads there. */
async function beginSetUp(store: Store, doc: string, rig: JsonObject): Promise<void> {
  const walk = Store.newDoc("walk");
  const text = JSON.stringify(rig);
  await store.write(walk, beginning({ list: "set_up", rig: idOf(doc), rig_name: describe(text).name, rig_text: text }, Date.now()));
  location.hash = walk;
}

/** Held against the limits of the trip last entered. */
function RigStopping({ engine, store, rig }: Omit<Props, "section" | "doc" | "onWrite">) {
  const road = useLastRoad(engine, store, rig);
  return <Stopping engine={engine} rig={rig} road={road} of="last" begin={askedOfTrip(lastTrip(new Date()))} descent />;
}
