/** The walk-rounds kept, and where one of them stands, as they change. */

import { useCallback, useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { ProblemDetails, WalkroundRunReport } from "../engine/types.ts";
import type { Write } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { useDocuments } from "../store/use-store.ts";
import { hookedUpState, type HookedUpState } from "./hooked-up.ts";
import { keptWalk, runInput, type Kept, type Walk } from "./walk.ts";
import { t } from "../words/text.ts";

/** All walk-rounds; undefined while they are being read. */
export function useWalks(store: Store): Kept[] | undefined {
  const documents = useDocuments(store, "walk");
  return useMemo(() => documents?.map(keptWalk), [documents]);
}

/** Whether a rig is hooked up; asked again with every change, on every return and every minute. */
export function useHookedUp(engine: Engine, walks: Kept[] | undefined, rig: string): HookedUpState | undefined {
  const [state, setState] = useState<HookedUpState>();
  const now = useMinutes();
  useEffect(() => {
    let current = true;
    hookedUpState(engine, walks ?? [], rig, now).then(
      (next) => current && setState(next),
      () => {}, // without the engine nothing is known, and the frame says so
    );
    return () => {
      current = false;
    };
  }, [engine, walks, rig, now]);
  return state?.walk.value.rig === rig ? state : undefined;
}

/** The time, as it was on the last return or at the last full minute since. */
function useMinutes(): number {
  const [now, setNow] = useState(Date.now);
  useEffect(() => {
    const look = () => document.visibilityState === "visible" && setNow(Date.now());
    const beat = setInterval(look, 60_000);
    document.addEventListener("visibilitychange", look);
    return () => {
      clearInterval(beat);
      document.removeEventListener("visibilitychange", look);
    };
  }, []);
  return now;
}

export type RunState =
  | { at: "reading" }
  | { at: "none" }
  | { at: "failed" }
  | { at: "problem"; problem: ProblemDetails }
  | { at: "known"; walk: Walk; report: WalkroundRunReport };

/** Writes leaves of a walk-round and gives where it stands then; undefined where they were not kept. */
export type WriteRun = (writes: Write[]) => Promise<WalkroundRunReport | undefined>;

/** Why a write was not kept, in words for the field it came from; undefined where it was. The page says the rest. */
export function whyNot(written: WalkroundRunReport | undefined): string | undefined {
  return written ? undefined : t("field.still");
}

/** Where a walk-round stands. `rig` is the rig as it is kept now; without it the one recorded at the beginning counts. */
export function useRun(engine: Engine, store: Store, id: string, rig: string | undefined) {
  const [state, setState] = useState<RunState>({ at: "reading" });
  const [refused, setRefused] = useState("");
  const asked = useRef(0);
  const refresh = useCallback(async () => {
    const question = ++asked.current;
    const next = await standing(engine, store, id, rig);
    if (question === asked.current) setState(next);
    return next;
  }, [engine, store, id, rig]);
  useEffect(() => {
    void refresh();
    const end = store.subscribe(`walk/${id}`, () => void refresh());
    return () => {
      asked.current++;
      end();
    };
  }, [store, id, refresh]);
  const write: WriteRun = async (writes) => {
    try {
      await store.write(`walk/${id}`, writes);
      setRefused("");
      const next = await refresh();
      return next.at === "known" ? next.report : undefined;
    } catch (reason) {
      setRefused(reason instanceof Error ? reason.message : String(reason));
      return undefined;
    }
  };
  return { state, write, refused };
}

async function standing(engine: Engine, store: Store, id: string, rig: string | undefined): Promise<RunState> {
  const walk = (await store.read(`walk/${id}`)) as Walk | undefined;
  if (!walk?.list) {
    return { at: "none" };
  }
  const text = walk.finished === undefined ? (rig ?? walk.rig_text) : walk.rig_text;
  try {
    const outcome = await engine.run<WalkroundRunReport>("walkround/run", runInput(walk, text, Date.now()));
    return outcome.ok ? { at: "known", walk, report: outcome.value } : { at: "problem", problem: outcome.problem };
  } catch {
    return { at: "failed" };
  }
}
