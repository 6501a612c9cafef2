/** One light test and the engine's plan of it, as they change. */

import { useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { LightTestReport, ProblemDetails, RecordReport } from "../engine/types.ts";
import type { Write } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { useDocument } from "../store/use-store.ts";
import { isRunning, recordSoFar, stamp, type LightTest, type Running } from "./record.ts";
import { useAnswer, useLast } from "./use-answer.ts";

export type WriteTest = (writes: Write[]) => Promise<boolean>;

export interface Working {
  engine: Engine;
  store: Store;
  /** The document's id, without its kind. */
  id: string;
  test: Running;
  report: LightTestReport;
  /** What the core makes of what was seen so far; undefined until it has answered. */
  judged: RecordReport | undefined;
  /** The rig's JSON text that the report is of. */
  rig: string;
  /** This install. */
  device: string;
  write: WriteTest;
}

export type TestState =
  | { at: "reading" }
  | { at: "none" }
  | { at: "problem"; problem: ProblemDetails }
  | { at: "running"; test: Running; report: LightTestReport; judged: RecordReport | undefined; rig: string }
  | { at: "finished"; test: LightTest };

/** `rigNow` gives a rig's text as it is kept now, by its id. */
export function useLightTest(engine: Engine, store: Store, id: string, rigNow: (rig: string) => string | undefined): { state: TestState; write: WriteTest; refused: string } {
  const document = useDocument(store, `test/${id}`);
  const [refused, setRefused] = useState("");
  const write: WriteTest = async (writes) => {
    try {
      await store.write(`test/${id}`, writes);
      setRefused("");
      return true;
    } catch (reason) {
      setRefused(reason instanceof Error ? reason.message : String(reason));
      return false;
    }
  };
  const test = document as unknown as LightTest | null | undefined;
  const running = test && isRunning(test) ? test : undefined;
  const rig = running && (rigNow(running.rig ?? "") ?? running.run.rig_text);
  // A rig that is edited meanwhile takes no page from under the thumb.
  const answer = useLast(useAnswer<LightTestReport>(engine, "lamps/test", rig === undefined ? undefined : `{"rig":${rig},"by":"${running?.by ?? "two_people"}"}`));
  const report = answer?.ok ? answer.value : undefined;
  // Any moment will do for what is not finished; the same one asks nothing anew.
  const judged = useLast(useAnswer<RecordReport>(engine, "lamps/record", running && report && `{"rig":${rig},"record":${JSON.stringify(recordSoFar(running, report, stamp(new Date(running.run.started))))}}`));
  const state = (): TestState => {
    if (test === undefined) {
      return { at: "reading" };
    }
    if (test === null || (test.kind !== "light_test" && test.kind !== "bench")) {
      return { at: "none" };
    }
    if (!running || rig === undefined) {
      return { at: "finished", test };
    }
    if (answer?.ok === false) {
      return { at: "problem", problem: answer.problem };
    }
    return report ? { at: "running", test: running, report, judged: judged?.ok ? judged.value : undefined, rig } : { at: "reading" };
  };
  return { state: state(), write, refused };
}
