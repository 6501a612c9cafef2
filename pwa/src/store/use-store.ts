/** Documents as state of a screen. */

import { useEffect, useState } from "preact/hooks";
import type { Json, JsonObject } from "./journal.ts";
import type { Document, Standing, Store } from "./store.ts";

/** All documents of a kind, kept up to date; undefined until they are read. */
export function useDocuments(store: Store, kind: string): Document[] | undefined {
  return useReading(store, kind, () => store.documents(kind));
}

/** One document, kept up to date: undefined until it is read, null where there is none. */
export function useDocument(store: Store, doc: string): JsonObject | null | undefined {
  return useReading(store, doc, async () => (await store.read(doc)) ?? null);
}

/** A setting of the app, kept up to date. */
export function useSetting<T extends Json>(store: Store, name: string, initial: T): [T, (value: T) => void] {
  const value = useReading(store, `setting/${name}`, async () => (await store.setting<T>(name)) ?? initial);
  return [value ?? initial, (next) => void store.setSetting(name, next)];
}

/** The id of this install; undefined until it is read. */
export function useDevice(store: Store): string | undefined {
  const [device, setDevice] = useState<string>();
  useEffect(() => void store.device().then(setDevice), [store]);
  return device;
}

export function useStanding(store: Store): Standing {
  const [standing, setStanding] = useState(store.standing());
  useEffect(() => store.watch(setStanding), [store]);
  return standing;
}

function useReading<T>(store: Store, topic: string, read: () => Promise<T>): T | undefined {
  const [seen, setSeen] = useState<{ topic: string; value: T }>();
  useEffect(() => {
    let reading = 0;
    const refresh = () => {
      const turn = ++reading;
      // The last question asked is the one shown.
      read().then((value) => turn === reading && setSeen({ topic, value }), () => {});
    };
    refresh();
    const end = store.subscribe(topic, refresh);
    return () => {
      reading = -1;
      end();
    };
  }, [store, topic]);
  return seen?.topic === topic ? seen.value : undefined;
}
