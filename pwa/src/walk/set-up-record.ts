/** What a finished list of set-up tests leaves in the rig. */

import type { RunRecord } from "../engine/types.ts";
import type { Write } from "../store/journal.ts";

/** A test passed is kept with its day; one that was taken back is not known again. Those left alone stay as they are. */
export function setUpWrites({ set_up }: Pick<RunRecord, "set_up">, on: string): Write[] {
  return Object.entries(set_up ?? {}).flatMap(([id, passed]) => testWrites(id, passed ? true : undefined, on));
}

/** The writes that keep one test: passed, not passed, or undefined where it is not done. */
export function testWrites(id: string, passed: boolean | undefined, on: string): Write[] {
  const at = `/brake_unit/set_up/${id}`;
  return passed === undefined ? [{ path: at, removed: true }] : [{ path: `${at}/passed`, value: passed }, { path: `${at}/on`, value: on }];
}
