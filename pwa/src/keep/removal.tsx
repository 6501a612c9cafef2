/** Taking a rig or a walk-round away: off this phone, or everywhere. Which of the two is meant is never guessed. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Store } from "../store/store.ts";
import { useSetting, useStanding } from "../store/use-store.ts";
import { t } from "../words/text.ts";

/** What may go: a document and what people call it. */
export interface Named {
  /** The document's name. */
  id: string;
  name: string;
  about?: string;
  /** What it means that it is gone, in words; absent where that is all. */
  means?: string;
}

interface Props {
  store: Store;
  /** What is to go, undefined while nothing is. */
  one: Named | undefined;
  /** Settles once what must be known of it when it is gone is kept elsewhere. */
  before?: (one: Named) => Promise<void>;
  /** Nothing more is asked of it. */
  onSettled: () => void;
}

/** The setting that names the documents taken off this phone. */
export const HIDDEN = "hidden";

type Gone = { one: Named; from: "phone" | "everywhere" };

/** Asks where it is to go from, where that is a question, and offers to take it back. */
export function Removal({ store, one, before, onSettled }: Props) {
  const [hidden] = useSetting<string[]>(store, HIDDEN, []);
  const { sync } = useStanding(store);
  const [shared, setShared] = useState<string>();
  const [gone, setGone] = useState<Gone>();
  const [failed, setFailed] = useState("");
  const say = (reason: unknown) => setFailed(reason instanceof Error ? reason.message : String(reason));

  const everywhere = (going: Named) => {
    const removed = async () => {
      await before?.(going);
      await store.remove(going.id);
    };
    removed().then(() => setGone({ one: going, from: "everywhere" }), say);
    onSettled();
  };
  const offPhone = (going: Named) => {
    store.setSetting(HIDDEN, [...hidden, going.id]).then(() => setGone({ one: going, from: "phone" }), say);
    onSettled();
  };
  const back = ({ one: { id }, from }: Gone) => {
    const done: Promise<unknown> = from === "phone" ? store.setSetting(HIDDEN, hidden.filter((other) => other !== id)) : store.undo(id);
    done.then(() => setGone(undefined), say);
  };
  useEffect(() => {
    if (!one) {
      return;
    }
    setGone(undefined);
    setFailed("");
    // What only this device has can go at once: undo brings it back.
    store.shared(one.id).then((is) => (is ? setShared(one.id) : everywhere(one)), say);
  }, [one]);

  const undo = useRef<HTMLParagraphElement>(null);
  // In a long list the way back would stand out of sight.
  useLayoutEffect(() => undo.current?.scrollIntoView({ block: "nearest" }), [gone]);

  return (
    <>
      {one && shared === one.id && (
        <Ask one={one} mayWrite={sync !== "reading"} onPhone={() => offPhone(one)} onEverywhere={() => everywhere(one)} onKeep={onSettled} />
      )}
      {failed && <p class="problem" role="alert">{failed}</p>}
      {gone && (
        <p ref={undo} class="undo" role="status">
          <span>{wordsOf(gone, sync === "done", shared === gone.one.id)}</span>
          <button type="button" onClick={() => back(gone)}>{t("undo")}</button>
        </p>
      )}
    </>
  );
}

function wordsOf({ one: { name, means = "" }, from }: Gone, reached: boolean, shared: boolean): string {
  if (from === "phone") {
    return t("removal.hidden", { name });
  }
  const removed = t(!shared ? "removal.removed" : reached ? "removal.everywhere" : "removal.with_signal", { name });
  return `${removed} ${means}`.trim();
}

interface AskProps {
  one: Named;
  mayWrite: boolean;
  onPhone: () => void;
  onEverywhere: () => void;
  onKeep: () => void;
}

function Ask({ one, mayWrite, onPhone, onEverywhere, onKeep }: AskProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useLayoutEffect(() => {
    heading.current?.focus({ preventScroll: true });
    heading.current?.parentElement?.scrollIntoView({ block: "center" });
  }, [one.id]);
  return (
    <section class="removal" aria-labelledby="removal-heading">
      <h2 id="removal-heading" ref={heading} tabIndex={-1}>{t("removal.title", { name: one.name })}</h2>
      <p>{t("removal.hint")}</p>
      <button type="button" class="wide" onClick={onPhone}>
        <span><strong>{t("removal.here")}</strong><br /><span class="quiet-words">{t("removal.here_hint")}</span></span>
      </button>
      {mayWrite ? (
        <button type="button" class="wide" onClick={onEverywhere}>
          <span><strong>{t("removal.all")}</strong><br /><span class="quiet-words">{t("removal.all_hint")} {one.means}</span></span>
        </button>
      ) : (
        <p class="hint">{t("removal.reader")}</p>
      )}
      <button type="button" class="wide quiet" onClick={onKeep}>{t("removal.keep")}</button>
    </section>
  );
}

/** What was taken off this phone, to be shown again. `all` is everything of its kind, undefined until it is read. */
export function OffThisPhone({ store, all }: { store: Store; all: Named[] | undefined }) {
  const [hidden, setHidden] = useSetting<string[]>(store, HIDDEN, []);
  const off = all?.filter(({ id }) => hidden.includes(id)) ?? [];
  if (off.length === 0) {
    return null;
  }
  return (
    <section aria-labelledby="hidden-heading">
      <h2 id="hidden-heading">{t("removal.off")}</h2>
      <ul class="rig-list">
        {off.map(({ id, name, about }) => (
          <li key={id} class="choice">
            <span class="rig-words choice-text"><strong>{name}</strong>{about && <span>{about}</span>}</span>
            <button type="button" onClick={() => setHidden(hidden.filter((other) => other !== id))}>{t("removal.show")}<span class="for-ears"> {name}</span> {t("removal.again")}</button>
          </li>
        ))}
      </ul>
    </section>
  );
}
