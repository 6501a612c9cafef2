/** The law as the engine knows it, row by row. */

import { useEffect, useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { Jurisdiction, LawRow, LawSubject, Leg, Registry } from "../engine/types.ts";

/** One row with where it belongs. */
export interface Placed extends LawRow {
  jurisdiction: string;
  subject: LawSubject;
}

/** All that was read: the places by name, and the rows by place and subject. */
export interface Law {
  places: Jurisdiction[];
  rows: Placed[];
}

/** undefined while it is being read; "failed" without the engine. */
export function useLaw(engine: Engine): Law | "failed" | undefined {
  const [law, setLaw] = useState<Law | "failed">();
  useEffect(() => {
    let open = true;
    readLaw(engine).then((read) => open && setLaw(read), () => open && setLaw("failed"));
    return () => {
      open = false;
    };
  }, [engine]);
  return law;
}

async function readLaw(engine: Engine): Promise<Law> {
  const registry = await engine.run<Registry>("rules/jurisdictions", "{}");
  if (!registry.ok) {
    throw new Error(registry.problem.title);
  }
  const places = registry.value.jurisdictions;
  const judged = await engine.run<{ legs: Leg[] }>("rules/evaluate", JSON.stringify({ route: places.map(({ code }) => code) }));
  if (!judged.ok) {
    throw new Error(judged.problem.title);
  }
  const rows = judged.value.legs.flatMap(({ jurisdiction, items }) =>
    items.flatMap(({ subject, rows }) => rows.map((row) => ({ ...row, jurisdiction, subject: subjectOf(row.id) ?? subject }))),
  );
  return { places, rows };
}

/** US-VA.brakes.1 is about brakes; a row may also stand under a subject it excuses from. */
function subjectOf(id: string): LawSubject | undefined {
  return id.split(".")[1] as LawSubject | undefined;
}
