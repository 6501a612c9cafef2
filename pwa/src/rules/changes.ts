/** The changes of law rows that this device keeps: journal documents rule/<row id>, each with a list of one change. */

import { useEffect, useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { RuleChange } from "../engine/types.ts";
import type { Json } from "../store/journal.ts";
import type { Document, Store } from "../store/store.ts";
import { useDocuments } from "../store/use-store.ts";

/** Those that the engine takes, and the rows whose change it cannot use. */
export interface Changes {
  all: RuleChange[];
  leftOut: string[];
}

const NONE: Changes = { all: [], leftOut: [] };

/** The changes kept here, as they change; undefined while they are read. */
export function useChanges(engine: Engine, store: Store): Changes | undefined {
  const documents = useDocuments(store, "rule");
  const [changes, setChanges] = useState<Changes>();
  useEffect(() => {
    let open = true;
    if (documents) {
      usable(engine, documents).then((next) => open && setChanges(next), () => open && setChanges(NONE));
    }
    return () => {
      open = false;
    };
  }, [engine, documents]);
  return changes;
}

/** What the engine refuses is left out, so that one change of a newer version stops no answer. */
export async function usable(engine: Pick<Engine, "run">, documents: Document[]): Promise<Changes> {
  let all = documents.flatMap(({ doc, document }) => changeOf(doc, document.change));
  while (all.length > 0) {
    const outcome = await engine.run<unknown>("rules/rows", JSON.stringify({ id: "-", rule_changes: all }));
    const bad = outcome.ok ? [] : outcome.problem.errors.map(({ pointer }) => Number(/^\/rule_changes\/(\d+)/.exec(pointer)?.[1]));
    if (bad.length === 0 || bad.includes(NaN)) break;
    all = all.filter((_, at) => !bad.includes(at));
  }
  const kept = new Set(all.map(({ row }) => row));
  return { all, leftOut: documents.map(({ doc }) => rowOf(doc)).filter((row) => !kept.has(row)) };
}

/** The most changes that a question about a route carries; the core holds the same bound. */
const MOST = 2_000;

/** The changes that bear on these jurisdictions. */
export function changesIn(changes: RuleChange[], route: string[]): RuleChange[] {
  const wanted = new Set(route);
  return changes.filter(({ row }) => wanted.has(placeOf(row))).slice(0, MOST);
}

/** The writes that keep a change. */
export function keeping(change: RuleChange) {
  return { doc: `rule/${change.row}`, writes: [{ path: "/change", value: [change] as unknown as Json }] };
}

/** US-VA.brakes.1 is of US-VA. */
export function placeOf(row: string): string {
  return row.slice(0, row.indexOf("."));
}

function rowOf(doc: string): string {
  return doc.slice(doc.indexOf("/") + 1);
}

function changeOf(doc: string, list: Json | undefined): RuleChange[] {
  const [change, more] = Array.isArray(list) ? (list as unknown as RuleChange[]) : [];
  return change?.row === rowOf(doc) && more === undefined ? [change] : [];
}
