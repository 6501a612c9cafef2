/** What the engine makes of the brakes, the breakaway kit and the car's battery, shown in their sections of the rig. */

import type { Engine } from "../engine/client.ts";
import type { JsonObject, Write } from "../store/journal.ts";
import { useReader } from "../words/use-reader.ts";
import { BatteryDay } from "./battery-day.tsx";
import { BrakeChoice } from "./brake-choice.tsx";
import { Hold } from "./hold.tsx";
import { MeasuredStop } from "./measured-stop.tsx";
import { Stopping } from "./stopping.tsx";

interface Props {
  /** The section's id. */
  section: string;
  engine: Engine;
  rig: JsonObject;
  /** Keeps the writes; answers why not, in words. */
  onWrite: (writes: Write[]) => Promise<string | undefined>;
}

export function BrakeSections({ section, engine, rig, onWrite }: Props) {
  useReader(); // the curves follow the reader's units
  switch (section) {
    case "brake-unit":
      return <BrakeChoice engine={engine} rig={rig} />;
    case "stopping":
      return <><MeasuredStop rig={rig} onWrite={onWrite} /><Stopping engine={engine} rig={rig} /></>;
    case "breakaway":
      return <Hold engine={engine} rig={rig} />;
    case "car-battery":
      return <BatteryDay engine={engine} rig={rig} />;
    default:
      return null;
  }
}
