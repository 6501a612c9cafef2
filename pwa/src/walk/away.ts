/** While a list is worked through: the screen stays awake, and absences are noticed. */

import { useEffect, useRef } from "preact/hooks";
import { remember, remembered } from "../keep/local.ts";
import { A_BREAK } from "./absence.ts";

/** Keeps the screen on while something is being worked through, where the browser can. */
export function useAwake(on: boolean): void {
  useEffect(() => {
    if (!on || !("wakeLock" in navigator)) {
      return;
    }
    let lock: WakeLockSentinel | undefined;
    let over = false;
    // One after the other: two that ask at once would hold two locks, and let go of one.
    let turn = Promise.resolve();
    const hold = async () => {
      if (over || document.visibilityState !== "visible" || (lock && !lock.released)) {
        return;
      }
      try {
        lock = await navigator.wakeLock.request("screen");
      } catch {
        // Refused, as with a low battery: the screen goes dark as usual.
      }
    };
    const look = () => void (turn = turn.then(hold));
    look();
    document.addEventListener("visibilitychange", look); // the browser lets go whenever the page is hidden
    return () => {
      over = true;
      document.removeEventListener("visibilitychange", look);
      void turn.then(() => lock?.release());
    };
  }, [on]);
}

interface Seen {
  walk: string;
  at: number;
}

/**
 * Tells on each return how long ago this phone was last here with this walk-round.
 * It is remembered, so that an app that was closed knows it too.
 */
export function useReturns(walk: string, on: boolean, returned: (seen: number, now: number) => void): void {
  const tell = useRef(returned);
  tell.current = returned;
  useEffect(() => {
    if (!on) {
      return;
    }
    const follow = () => {
      const seen = remembered<Seen>("walk-seen");
      const now = Date.now();
      const visible = document.visibilityState === "visible";
      if (visible && seen?.walk === walk) {
        tell.current(seen.at, now);
      }
      // A page that is being put aside must not pass over a gap that was not asked about.
      if (visible || seen?.walk !== walk || now - seen.at < A_BREAK) {
        remember("walk-seen", { walk, at: now } satisfies Seen);
      }
    };
    follow();
    const beat = setInterval(follow, 20_000); // also finds a device that slept with the page open
    document.addEventListener("visibilitychange", follow);
    return () => {
      clearInterval(beat);
      document.removeEventListener("visibilitychange", follow);
    };
  }, [walk, on]);
}
