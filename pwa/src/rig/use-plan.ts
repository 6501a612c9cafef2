/** The wiring plan of a rig, made anew in the worker a moment after each change. */

import { useEffect, useState } from "preact/hooks";
import type { Engine, Outcome } from "../engine/client.ts";
import type { PlanReport } from "../engine/types.ts";

/** How long the rig must stay as it is before it is asked about, milliseconds: changes in a row are one question. */
const REST = 120;

export interface Planned {
  /** The last answer; undefined until there is one. */
  outcome: Outcome<PlanReport> | undefined;
  /** Whether the rig has changed since. */
  stale: boolean;
}

/** `rig` is JSON text; nothing is asked until it is `wanted`. */
export function usePlan(engine: Engine, rig: string, wanted: boolean): Planned {
  const [answer, setAnswer] = useState<{ of: string; outcome: Outcome<PlanReport> }>();
  const first = answer === undefined;
  useEffect(() => {
    if (!wanted) {
      return;
    }
    let current = true;
    const ask = () =>
      engine.run<PlanReport>("lamps/plan", `{"rig":${rig}}`).then(
        (outcome) => current && setAnswer({ of: rig, outcome }),
        () => {}, // the frame says that there is no engine
      );
    const timer = setTimeout(() => void ask(), first ? 0 : REST);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [engine, rig, wanted]);
  return { outcome: answer?.outcome, stale: answer !== undefined && answer.of !== rig };
}
