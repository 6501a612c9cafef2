/** The room Walk-round: choose rig and list, or go on with one. */

import { useState } from "preact/hooks";
import { useAddress, useHeading } from "../address.ts";
import { chosenRig, useAllRigs, useRigs, type Rig } from "../departure/rigs.ts";
import type { Engine } from "../engine/client.ts";
import type { WalkroundKind } from "../engine/types.ts";
import { remembered } from "../keep/local.ts";
import { HIDDEN, OffThisPhone, Removal, type Named } from "../keep/removal.tsx";
import { Icon } from "../marks/icon.tsx";
import { Store } from "../store/store.ts";
import { useDevice, useSetting } from "../store/use-store.ts";
import { HookedUpCard } from "./hooked-up-card.tsx";
import { changesOf, countsAsHookedUp, handOn, newest } from "./hooked-up.ts";
import { RunPage } from "./run-page.tsx";
import { useWalks } from "./use-walks.ts";
import { beginning, idOf, LISTS, type Kept } from "./walk.ts";
import { when } from "./when.ts";
import { t } from "../words/text.ts";

export function WalkRoom({ engine, store }: { engine: Engine; store: Store }) {
  const [, id] = useAddress();
  const rigs = useRigs(store);
  const all = useAllRigs(store); // a list goes on though its rig was taken off this phone
  const walks = useWalks(store);
  const device = useDevice(store);
  const heading = useHeading(id ?? "");
  if (id === undefined || id === "") {
    return <Choose engine={engine} store={store} rigs={rigs} walks={walks} heading={heading} />;
  }
  if (!all || !walks || device === undefined) {
    return null; // until the rigs are read the list would be judged by an older one
  }
  const about = walks.find(({ doc }) => doc === `walk/${id}`)?.value.rig;
  const rig = all.find((kept) => idOf(kept.id) === about);
  return <RunPage key={id} engine={engine} store={store} device={device} id={id} rig={rig?.text} rigDoc={rig?.from === "phone" ? rig.id : undefined} heading={heading} />;
}

interface Choice {
  engine: Engine;
  store: Store;
  rigs: Rig[] | undefined;
  walks: Kept[] | undefined;
  heading: ReturnType<typeof useHeading>;
}

function Choose({ engine, store, rigs, walks, heading }: Choice) {
  const read = rigs !== undefined && walks !== undefined; // a list begun earlier would know no rig
  const [chosen, setChosen] = useState(() => remembered<{ rig?: string }>("trip")?.rig ?? "");
  const [refused, setRefused] = useState("");
  const [hidden] = useSetting<string[]>(store, HIDDEN, NONE);
  const [going, setGoing] = useState<Named>();
  const rig = chosenRig(rigs, chosen) ?? (rigs?.length === 1 ? rigs[0] : undefined);

  const begin = async (list: WalkroundKind) => {
    if (!rig || !walks) {
      setRefused(t("lists.no_rig"));
      return;
    }
    const now = Date.now();
    const doc = Store.newDoc("walk");
    try {
      const hookUp = newest(walks, idOf(rig.id), "hook_up", ({ hooked_up }) => hooked_up !== undefined);
      const follows = list === "unhook" ? await changesOf(engine, walks, idOf(rig.id), now) : list === "stop_check" && hookUp ? { hook_up: idOf(hookUp.doc) } : {};
      await store.write(doc, beginning({ list, rig: idOf(rig.id), rig_name: rig.name, rig_text: rig.text, ...follows }, now));
      location.hash = doc;
    } catch (reason) {
      setRefused(t("lists.failed", { why: reason instanceof Error ? reason.message : String(reason) }));
    }
  };

  const shown = (walks ?? []).filter(({ doc }) => !hidden.includes(doc)).sort(newestFirst);
  const open = shown.filter(({ value }) => value.finished === undefined);
  const past = shown.filter(({ value }) => value.finished !== undefined);
  const remove = async (walk: Kept) => setGoing({ ...named(walk), ...((await countsAsHookedUp(engine, walks ?? [], walk)) && { means: t("lists.was_hooked_up") }) });
  return (
    <div class="room walk">
      <h1 ref={heading} tabIndex={-1}>{t("room.walk")}</h1>
      {open.length > 0 && (
        <section aria-labelledby="open-heading">
          <h2 id="open-heading">{t("lists.open")}</h2>
          <WalkLinks walks={open} onRemove={(walk) => void remove(walk)} />
        </section>
      )}
      <section aria-labelledby="walk-rig-heading">
        <h2 id="walk-rig-heading">{t("rig_choice.rig")}</h2>
        {rigs?.length === 0 && <p class="hint">{t("lists.none")}</p>}
        <div class="choices" role="radiogroup" aria-labelledby="walk-rig-heading">
          {rigs?.map((kept) => (
            <div class="choice" key={kept.id}>
              <label>
                <input type="radio" name="walk-rig" checked={kept.id === rig?.id} onChange={() => setChosen(kept.id)} />
                <span class="choice-text"><strong>{kept.name}</strong>{kept.about && <span>{kept.about}</span>}</span>
              </label>
            </div>
          ))}
        </div>
      </section>
      {rig && <HookedUpCard engine={engine} store={store} walks={walks} rig={idOf(rig.id)} leads={false} />}
      <section aria-labelledby="list-heading">
        <h2 id="list-heading">{t("lists.begin")}</h2>
        <p class="wrong" role="alert">{refused}</p>
        <div class="lists">
          {read && LISTS.map((list) => (
            <button key={list} type="button" class="wide" onClick={() => void begin(list)}>
              <span><strong>{t(`list.${list}`)}</strong><br /><span class="quiet-words">{t(`about.${list}`)}</span></span>
              <Icon name="chevron" size={18} />
            </button>
          ))}
        </div>
      </section>
      {past.length > 0 && (
        <section aria-labelledby="past-heading">
          <h2 id="past-heading">{t("lists.records")}</h2>
          <WalkLinks walks={past} onRemove={(walk) => void remove(walk)} />
        </section>
      )}
      <Removal store={store} one={going} before={({ id }) => handOn(engine, store, walks ?? [], id, Date.now())} onSettled={() => setGoing(undefined)} />
      <OffThisPhone store={store} all={walks?.map(named)} />
    </div>
  );
}

const NONE: string[] = [];

function newestFirst(a: Kept, b: Kept): number {
  return (b.value.started ?? 0) - (a.value.started ?? 0);
}

/** What a walk-round is called where it may be removed. */
function named({ doc, value }: Kept): Named {
  return { id: doc, name: t("lists.one", { list: t(`list.${value.list}`), rig: value.rig_name, when: when(value.finished ?? value.started) }) };
}

function WalkLinks({ walks, onRemove }: { walks: Kept[]; onRemove: (walk: Kept) => void }) {
  return (
    <ul class="links">
      {walks.map((walk) => (
        <li key={walk.doc} class="with-button">
          <a href={`#walk/${idOf(walk.doc)}`}>
            <span>
              <strong>{t(`list.${walk.value.list}`)}</strong>, {walk.value.rig_name}
              <br />
              <span class="quiet">{when(walk.value.finished ?? walk.value.started)}{walk.value.finished === undefined ? t("lists.begun") : ""}</span>
            </span>
            <Icon name="chevron" size={18} />
          </a>
          <button type="button" class="only-icon quiet" aria-label={t("remove_one", { name: named(walk).name })} onClick={() => onRemove(walk)}>
            <Icon name="remove" />
          </button>
        </li>
      ))}
    </ul>
  );
}
