/**
 * Being away from a rig. It is a matter of each phone for itself: whoever was away
 * is asked, and nobody else; and not even they, where another phone went on with
 * the list all the time. Only what the answer means for the rig is shared.
 */

import { useEffect, useState } from "preact/hooks";
import type { Store } from "../store/store.ts";
import type { Walk } from "./walk.ts";

/** This phone's absence from a walk-round, until it is answered. */
export interface Absence {
  walk: string;
  left_at: number;
  /** Absent while it lasts. */
  back_at?: number;
  /** Whether a person said that they were leaving; else the phone only noticed. */
  said: boolean;
}

/** How long nobody may have looked before it counts as an absence. */
export const A_BREAK = 5 * 60_000;

/** Whether a phone that was last here then, and is here now, was away so long that it matters. */
export function wasAway(walk: Walk, seen: number, now: number): boolean {
  return Object.keys(walk.ticks ?? {}).length > 0 && walk.finished === undefined && now - seen >= A_BREAK;
}

/**
 * Whether a phone that is back must be asked. It need not where other phones went
 * on with the list so closely that the rig was never alone for long, or where a
 * break that is answered already covers the time. The moments are those of the
 * other phones' clocks: they can spare a question, never answer one.
 */
export function mustAsk(walk: Walk, device: string, { left_at, back_at, said }: Absence): boolean {
  if (back_at === undefined) {
    return false;
  }
  const others = othersAt(walk, device).filter(([from, to]) => to > left_at && from < back_at);
  if (said && others.length === 0) {
    return true;
  }
  let attended = left_at;
  for (const [from, to] of [...others, [back_at, back_at] as const].sort((a, b) => a[0] - b[0])) {
    if (from - attended >= A_BREAK) return true;
    attended = Math.max(attended, to);
  }
  return false;
}

/** When other phones did something at the rig, and which times are answered for. */
function othersAt(walk: Walk, device: string): (readonly [from: number, to: number])[] {
  const touches = Object.values(walk.breaks ?? {}).flatMap(({ again }) => Object.values(again ?? {}));
  const moments = [...Object.values(walk.ticks ?? {}), ...touches].flatMap((by) =>
    Object.entries(by).flatMap(([of, { at }]) => (of !== device && at !== undefined ? [[at, at] as const] : [])),
  );
  const answered = Object.values(walk.breaks ?? {}).flatMap(({ left, left_at, back_at }) =>
    left !== undefined && left_at !== undefined && back_at !== undefined ? [[left_at, back_at] as const] : [],
  );
  return [...moments, ...answered];
}

const SETTING = "absence";

/** This phone's absence from a walk-round: undefined until it is read, null where there is none. */
export function useAbsence(store: Store, walk: string): [Absence | null | undefined, (absence: Absence | null) => void] {
  const [absence, setAbsence] = useState<Absence | null>();
  useEffect(() => {
    let current = true;
    const read = () =>
      void store.setting(SETTING).then(
        (kept) => current && setAbsence(ofWalk(kept, walk)),
        () => current && setAbsence(null),
      );
    read();
    const end = store.subscribe(`setting/${SETTING}`, read);
    return () => {
      current = false;
      end();
    };
  }, [store, walk]);
  const keep = (next: Absence | null) => {
    setAbsence(next); // holds for this visit where it cannot be kept
    void store.setSetting(SETTING, next === null ? false : { ...next }).catch(() => {});
  };
  return [absence, keep];
}

function ofWalk(kept: unknown, walk: string): Absence | null {
  return typeof kept === "object" && (kept as Absence).walk === walk ? (kept as Absence) : null;
}

/** How long the other phones are waited for before a question is asked. */
const PATIENCE = 3000;

/** Whether what other phones did meanwhile is here, or cannot be had now. */
export function useOthersHeard(store: Store, since: number | undefined): boolean {
  const [heard, setHeard] = useState<number>();
  useEffect(() => {
    if (since === undefined) {
      return;
    }
    let current = true;
    const done = () => current && setHeard(since);
    const patience = setTimeout(done, PATIENCE);
    void store.sync().then(done, done);
    return () => {
      current = false;
      clearTimeout(patience);
    };
  }, [store, since]);
  return heard === since;
}
