/** The law as it stands here: the rows, and how far it was read. */

import { useEffect, useState } from "preact/hooks";
import { dayOf } from "../departure/trip.ts";
import type { Engine } from "../engine/client.ts";
import type { CoverageReport, PlaceCoverage, RuleChange, RuleRowAt } from "../engine/types.ts";

export interface Law {
  places: PlaceCoverage[];
  totals: CoverageReport["totals"];
  rows: RuleRowAt[];
}

/** undefined while it is being read; "failed" without the engine. */
export function useLaw(engine: Engine, changes: RuleChange[] | undefined): Law | "failed" | undefined {
  const [law, setLaw] = useState<Law | "failed">();
  useEffect(() => {
    let open = true;
    if (changes) {
      readLaw(engine, changes).then((read) => open && setLaw(read), () => open && setLaw("failed"));
    }
    return () => {
      open = false;
    };
  }, [engine, changes]);
  return law;
}

async function readLaw(engine: Engine, changes: RuleChange[]): Promise<Law> {
  const question = JSON.stringify({ on: dayOf(new Date()), rule_changes: changes });
  const [rows, coverage] = await Promise.all([
    engine.run<{ rows: RuleRowAt[] }>("rules/rows", question),
    engine.run<CoverageReport>("rules/coverage", question),
  ]);
  if (!rows.ok || !coverage.ok) {
    throw new Error("the rows could not be listed");
  }
  return { rows: rows.value.rows, places: coverage.value.jurisdictions, totals: coverage.value.totals };
}
