/** Fetches the rigs that a server shows, where there is one and there is signal. */

import type { KeptRig, RigList } from "../engine/types.ts";
import type { Kept } from "../store/copies.ts";
import type { Store } from "../store/store.ts";
import { describe } from "./describe.ts";

/** Brings the device's copies up to date. Reports whether the server answered. */
export async function fetchRigs(store: Pick<Store, "ask" | "copies" | "putCopy">): Promise<boolean> {
  let list: RigList;
  try {
    list = await get<RigList>(store, "/v1/rigs");
  } catch {
    return false; // no signal, or no server: the copies at hand stay
  }
  const here = new Map((await store.copies()).map((rig) => [rig.id, rig]));
  for (const entry of list.rigs) {
    const copy = here.get(`server:${entry.id}`);
    if (copy?.revision !== entry.revision) {
      try {
        await store.putCopy(kept(await get<KeptRig>(store, `/v1/rigs/${encodeURIComponent(entry.id)}`)));
      } catch {
        return false; // the signal went away half-way
      }
    }
  }
  return true;
}

function kept(rig: KeptRig): Kept {
  const text = JSON.stringify(rig.rig);
  const { about } = describe(text);
  return {
    id: `server:${rig.id}`, name: rig.name, about, text, trip: JSON.stringify(rig.trip), from: "server", revision: rig.revision,
  };
}

async function get<T>(store: Pick<Store, "ask">, path: string): Promise<T> {
  const response = await store.ask(path);
  if (!response.ok) {
    throw new Error(`${path}: ${response.status}`);
  }
  return (await response.json()) as T;
}
