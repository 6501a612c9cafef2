/** The tests on record of a rig, and what readiness makes of them. */

import type { Engine } from "../engine/client.ts";
import type { ProblemDetails, ReadinessReport, TestRecord } from "../engine/types.ts";
import type { Document } from "../store/store.ts";

/** The members that readiness judges; what was seen stays in the document. */
const JUDGED = ["kind", "rig", "at", "watcher", "by", "result", "not_shown", "hangs_on", "gives"] as const satisfies (keyof TestRecord)[];

/** The most that one question takes; the core holds the same bound. */
const MOST = 100;

/** The tests of one rig, by its document's id, newest first. */
export function recordsOf(documents: Document[], rig: string): TestRecord[] {
  return documents
    .map(({ document }) => document as unknown as TestRecord)
    .filter((record) => record.rig === rig)
    .sort((a, b) => time(b) - time(a))
    .slice(0, MOST)
    .map((record) => Object.fromEntries(JUDGED.filter((name) => record[name] !== undefined).map((name) => [name, record[name]])) as unknown as TestRecord);
}

function time({ at }: TestRecord): number {
  const ms = Date.parse(String(at));
  return Number.isNaN(ms) ? -Infinity : ms;
}

export type Answered = { ok: true; value: ReadinessReport } | { ok: false; problem: ProblemDetails };

/**
 * Asks for readiness. A record that the engine refuses is left out, so that one
 * of another version stops no answer.
 */
export async function askReadiness(engine: Pick<Engine, "run">, question: (records: TestRecord[]) => string, records: TestRecord[]): Promise<Answered> {
  let taken = records;
  for (;;) {
    const outcome = await engine.run<ReadinessReport>("readiness", question(taken));
    if (outcome.ok) return outcome;
    const bad = outcome.problem.errors.map(({ pointer }) => Number(/^\/test_records\/(\d+)/.exec(pointer)?.[1]));
    if (bad.length === 0 || bad.includes(NaN)) return outcome;
    taken = taken.filter((_, at) => !bad.includes(at));
  }
}
