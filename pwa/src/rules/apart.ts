/**
 * Changes of one row that did not know of each other, made on devices that had
 * not met. One of them counts, by the clocks; that nobody decided between them is
 * told from what each says its author had seen.
 */

import { useEffect, useState } from "preact/hooks";
import type { RuleChange, SeenRuleChange } from "../engine/types.ts";
import type { Change, Entry } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { useDocuments } from "../store/use-store.ts";

/** The change that counts, and those that it does not know of, newest first. */
export interface Apart {
  counts: RuleChange | undefined;
  others: RuleChange[];
}

/** Reads it from a history, newest first. */
export function apartIn(past: Change[]): Apart {
  const made = past.flatMap(({ entry, standing }) => {
    const change = changeIn(entry);
    return change ? [{ change, standing, device: entry.device }] : [];
  });
  const newest = made.find(({ standing }) => standing === "current");
  if (!newest) return { counts: undefined, others: [] };
  const known = new Set([newest]);
  for (const one of known) {
    const seen = new Set(one.change.seen?.map(nameOf));
    for (const [at, other] of made.entries()) {
      // A device knows what it made before.
      if (seen.has(nameOf(other.change)) || (other.device === one.device && at > made.indexOf(one))) known.add(other);
    }
  }
  return { counts: newest.change, others: made.filter((one) => !known.has(one)).map(({ change }) => change) };
}

/** What a change made with all this in view knows of. */
export function seenIn({ counts, others }: Apart): SeenRuleChange[] {
  return [...(counts ? [counts] : []), ...others].slice(0, MOST_SEEN).map(({ by, at }) => ({ by, at }));
}

/** The core holds the same bound. */
const MOST_SEEN = 32;

/** The history of a row, newest first; undefined until it is read. */
export function useHistory(store: Store, id: string): Change[] | undefined {
  const [past, setPast] = useState<Change[]>();
  useEffect(() => {
    const read = () => void store.history(`rule/${id}`).then(setPast, () => {});
    read();
    return store.subscribe(`rule/${id}`, read);
  }, [store, id]);
  return past;
}

/** The rows of which two changes do not know of each other. */
export function useApart(store: Store): string[] {
  const documents = useDocuments(store, "rule");
  const [rows, setRows] = useState<string[]>([]);
  useEffect(() => {
    let open = true;
    const look = async () => {
      const found: string[] = [];
      for (const doc of await store.editedAgain("rule")) {
        if (!open) return;
        if (apartIn(await store.history(doc)).others.length > 0) found.push(doc.slice(doc.indexOf("/") + 1));
      }
      if (open) setRows(found);
    };
    void look().catch(() => {});
    return () => {
      open = false;
    };
  }, [store, documents]);
  return rows;
}

/** The change that an entry holds. */
export function changeIn(entry: Entry): RuleChange | undefined {
  return (Array.isArray(entry.value) ? entry.value[0] : undefined) as unknown as RuleChange | undefined;
}

function nameOf({ by, at }: SeenRuleChange): string {
  return `${at} ${by}`;
}
