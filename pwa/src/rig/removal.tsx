/** Taking a rig away: off this phone, or everywhere. Which of the two is meant is never guessed. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { HIDDEN, type Rig } from "../departure/rigs.ts";
import { StoreFault } from "../store/fault.ts";
import type { Store } from "../store/store.ts";
import { useSetting, useStanding } from "../store/use-store.ts";
import { t } from "../words/text.ts";

interface Props {
  store: Store;
  /** The rig that is to go, undefined while none is. */
  rig: Rig | undefined;
  /** Nothing more is asked of this rig. */
  onSettled: () => void;
}

type Gone = { rig: Rig; from: "phone" | "everywhere" };

/** Asks where the rig is to go from, where that is a question, and offers to take it back. */
export function Removal({ store, rig, onSettled }: Props) {
  const [hidden] = useSetting<string[]>(store, HIDDEN, []);
  const { sync } = useStanding(store);
  const [shared, setShared] = useState<string>();
  const [gone, setGone] = useState<Gone>();
  const [failed, setFailed] = useState("");
  const say = (reason: unknown) => setFailed(reason instanceof StoreFault ? reason.message : String(reason));

  const everywhere = (one: Rig) => {
    store.remove(one.id).then(() => setGone({ rig: one, from: "everywhere" }), say);
    onSettled();
  };
  const offPhone = (one: Rig) => {
    store.setSetting(HIDDEN, [...hidden, one.id]).then(() => setGone({ rig: one, from: "phone" }), say);
    onSettled();
  };
  const back = ({ rig: one, from }: Gone) => {
    const done: Promise<unknown> = from === "phone" ? store.setSetting(HIDDEN, hidden.filter((id) => id !== one.id)) : store.undo(one.id);
    done.then(() => setGone(undefined), say);
  };
  useEffect(() => {
    if (!rig) {
      return;
    }
    setGone(undefined);
    setFailed("");
    // What only this device has can go at once: undo brings it back.
    store.shared(rig.id).then((is) => (is ? setShared(rig.id) : everywhere(rig)), say);
  }, [rig]);

  return (
    <>
      {rig && shared === rig.id && (
        <Ask rig={rig} mayWrite={sync !== "reading"} onPhone={() => offPhone(rig)} onEverywhere={() => everywhere(rig)} onKeep={onSettled} />
      )}
      {failed && <p class="problem" role="alert">{failed}</p>}
      {gone && (
        <p class="undo" role="status">
          <span>{wordsOf(gone, sync === "done", shared === gone.rig.id)}</span>
          <button type="button" onClick={() => back(gone)}>{t("undo")}</button>
        </p>
      )}
    </>
  );
}

function wordsOf({ rig, from }: Gone, reached: boolean, shared: boolean): string {
  if (from === "phone") {
    return t("removal.hidden", { name: rig.name });
  }
  if (!shared) {
    return t("removal.removed", { name: rig.name });
  }
  return t(reached ? "removal.everywhere" : "removal.with_signal", { name: rig.name });
}

interface AskProps {
  rig: Rig;
  mayWrite: boolean;
  onPhone: () => void;
  onEverywhere: () => void;
  onKeep: () => void;
}

function Ask({ rig, mayWrite, onPhone, onEverywhere, onKeep }: AskProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useLayoutEffect(() => {
    heading.current?.focus({ preventScroll: true });
    heading.current?.parentElement?.scrollIntoView({ block: "center" });
  }, [rig.id]);
  return (
    <section class="removal" aria-labelledby="removal-heading">
      <h2 id="removal-heading" ref={heading} tabIndex={-1}>{t("removal.title", { name: rig.name })}</h2>
      <p>{t("removal.hint")}</p>
      <button type="button" class="wide" onClick={onPhone}>
        <span><strong>{t("removal.here")}</strong><br /><span class="quiet-words">{t("removal.here_hint")}</span></span>
      </button>
      {mayWrite ? (
        <button type="button" class="wide" onClick={onEverywhere}>
          <span><strong>{t("removal.all")}</strong><br /><span class="quiet-words">{t("removal.all_hint")}</span></span>
        </button>
      ) : (
        <p class="hint">{t("removal.reader")}</p>
      )}
      <button type="button" class="wide quiet" onClick={onKeep}>{t("removal.keep")}</button>
    </section>
  );
}

/** The rigs that were taken off this phone, to be shown again. */
export function HiddenRigs({ store, rigs }: { store: Store; rigs: Rig[] | undefined }) {
  const [hidden, setHidden] = useSetting<string[]>(store, HIDDEN, []);
  const off = rigs?.filter(({ id }) => hidden.includes(id)) ?? [];
  if (off.length === 0) {
    return null;
  }
  return (
    <section aria-labelledby="hidden-heading">
      <h2 id="hidden-heading">{t("removal.off")}</h2>
      <ul class="rig-list">
        {off.map((rig) => (
          <li key={rig.id} class="choice">
            <span class="rig-words choice-text"><strong>{rig.name}</strong>{rig.about && <span>{rig.about}</span>}</span>
            <button type="button" onClick={() => setHidden(hidden.filter((id) => id !== rig.id))}>{t("removal.show")}<span class="for-ears"> {rig.name}</span> {t("removal.again")}</button>
          </li>
        ))}
      </ul>
    </section>
  );
}
