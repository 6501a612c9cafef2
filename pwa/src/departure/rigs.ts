/** The rigs of this device as a trip can take them: its own, and copies of a server's. */

import { useEffect, useMemo, useState } from "preact/hooks";
import { describe } from "../keep/describe.ts";
import { HIDDEN } from "../keep/removal.tsx";
import { fetchRigs } from "../keep/server.ts";
import type { Kept } from "../store/copies.ts";
import type { JsonObject } from "../store/journal.ts";
import type { Document, Store } from "../store/store.ts";
import { useSetting } from "../store/use-store.ts";

/** A rig to choose. `text` is its JSON text, `trip` that of its usual trip. */
export interface Rig {
  /** A document's name, or "server:" and the id of a copy. */
  id: string;
  name: string;
  about: string;
  text: string;
  trip?: string;
  from: "server" | "phone";
}

/** The rigs to choose from, without those taken off this phone. undefined until they are read. */
export function useRigs(store: Store): Rig[] | undefined {
  const all = useAllRigs(store);
  const [hidden] = useSetting<string[]>(store, HIDDEN, NONE);
  return useMemo(() => all?.filter(({ id }) => !hidden.includes(id)), [all, hidden]);
}

const NONE: string[] = [];

/** All rigs by name; a copy gives way to the document of the same id. undefined until they are read. */
export function useAllRigs(store: Store): Rig[] | undefined {
  const [rigs, setRigs] = useState<Rig[]>();
  useEffect(() => {
    let open = true;
    const refresh = async () => {
      const [own, trips, copies, removed] = await Promise.all([store.documents("rig"), store.documents("trip"), store.copies(), store.removed("rig")]);
      if (open) setRigs(together(own, trips, copies, removed));
    };
    const fetch = () => void fetchRigs(store).then(refresh);
    void refresh();
    fetch();
    addEventListener("online", fetch);
    const ends = [store.subscribe("rig", () => void refresh()), store.subscribe("trip", () => void refresh())];
    return () => {
      open = false;
      ends.forEach((end) => end());
      removeEventListener("online", fetch);
    };
  }, [store]);
  return rigs;
}

/** Own rigs and copies as one list, by name. A copy of what was removed here is none. */
export function together(own: Document[], trips: Document[], copies: Kept[], removed: string[] = []): Rig[] {
  const trip = new Map(trips.map(({ doc, document }) => [idOf(doc), JSON.stringify(document)]));
  const mine = own.map(({ doc, document }) => ownRig(doc, document, trip.get(idOf(doc))));
  const taken = new Set([...mine.map(({ id }) => id), ...removed].map(idOf));
  const theirs = copies.filter(({ id }) => !taken.has(id.slice("server:".length)));
  return [...mine, ...theirs].sort((a, b) => a.name.localeCompare(b.name, "en"));
}

/** The rig that a remembered choice means: version 1 called a phone's own rig "phone:" and its id. */
export function chosenRig(rigs: Rig[] | undefined, chosen: string): Rig | undefined {
  const id = chosen.slice(chosen.indexOf(":") + 1);
  return rigs?.find((rig) => rig.id === chosen) ?? rigs?.find((rig) => rig.id === `rig/${id}` || rig.id === `server:${idOf(id)}`);
}

function ownRig(doc: string, document: JsonObject, trip: string | undefined): Rig {
  const text = JSON.stringify(document);
  return { id: doc, ...describe(text), text, from: "phone", ...(trip !== undefined && { trip }) };
}

function idOf(doc: string): string {
  return doc.slice(doc.indexOf("/") + 1);
}
