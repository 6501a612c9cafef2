/** The rig chosen on Departure, for the rooms that speak of one rig. */

import { useEffect, useState } from "preact/hooks";
import { remembered } from "../keep/local.ts";
import type { RigStore } from "../keep/rigs.ts";
import type { ChosenRig } from "./trouble.tsx";

/** Looks the rig up again whenever another room is entered. */
export function useChosenRig(store: RigStore, room: string): ChosenRig {
  const [rig, setRig] = useState<ChosenRig>();
  useEffect(() => {
    let current = true;
    const id = remembered<{ rig?: string }>("trip")?.rig;
    void store.all().then((rigs) => {
      if (current) setRig(rigs.find((kept) => kept.id === id));
    });
    return () => {
      current = false;
    };
  }, [store, room]);
  return rig;
}
