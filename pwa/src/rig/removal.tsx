/** Taking a rig away: off this phone, or everywhere. Which of the two is meant is never guessed. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { HIDDEN, type Rig } from "../departure/rigs.ts";
import { StoreFault } from "../store/fault.ts";
import type { Store } from "../store/store.ts";
import { useSetting, useStanding } from "../store/use-store.ts";

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
          <button type="button" onClick={() => back(gone)}>Undo</button>
        </p>
      )}
    </>
  );
}

function wordsOf({ rig, from }: Gone, reached: boolean, shared: boolean): string {
  if (from === "phone") {
    return `${rig.name} is off this phone. The server and other phones still have it.`;
  }
  if (!shared) {
    return `${rig.name} is removed.`;
  }
  return reached ? `${rig.name} is removed everywhere.` : `${rig.name} is removed here, and everywhere else with the next signal.`;
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
      <h2 id="removal-heading" ref={heading} tabIndex={-1}>Remove {rig.name} from where?</h2>
      <p>The server has this rig, and so has every phone that shares it.</p>
      <button type="button" class="wide" onClick={onPhone}>
        <span><strong>From this phone only</strong><br /><span class="quiet-words">Others keep it. You can show it here again.</span></span>
      </button>
      {mayWrite ? (
        <button type="button" class="wide" onClick={onEverywhere}>
          <span><strong>Everywhere</strong><br /><span class="quiet-words">From the server and from every phone that shares it.</span></span>
        </button>
      ) : (
        <p class="hint">The key here may only read, so it cannot be removed for others.</p>
      )}
      <button type="button" class="wide quiet" onClick={onKeep}>Keep it</button>
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
      <h2 id="hidden-heading">Off this phone</h2>
      <ul class="rig-list">
        {off.map((rig) => (
          <li key={rig.id} class="choice">
            <span class="rig-words choice-text"><strong>{rig.name}</strong>{rig.about && <span>{rig.about}</span>}</span>
            <button type="button" onClick={() => setHidden(hidden.filter((id) => id !== rig.id))}>Show<span class="for-ears"> {rig.name}</span> again</button>
          </li>
        ))}
      </ul>
    </section>
  );
}
