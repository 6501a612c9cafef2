/** The room Rig: the rigs of this device, and one of them open. */

import { useState } from "preact/hooks";
import { useAddress, useHeading } from "../address.ts";
import { AddRig, isPasted } from "../departure/add-rig.tsx";
import { useAllRigs, type Rig } from "../departure/rigs.ts";
import type { Engine } from "../engine/client.ts";
import { HIDDEN, OffThisPhone, Removal } from "../keep/removal.tsx";
import { Icon } from "../marks/icon.tsx";
import { StoreFault } from "../store/fault.ts";
import type { JsonObject } from "../store/journal.ts";
import { Store } from "../store/store.ts";
import { useSetting } from "../store/use-store.ts";
import { t } from "../words/text.ts";
import { RigPage } from "./rig-page.tsx";

export function RigRoom({ engine, store }: { engine: Engine; store: Store }) {
  const [, id] = useAddress();
  return id ? <RigPage key={id} engine={engine} store={store} doc={`rig/${id}`} /> : <RigList engine={engine} store={store} />;
}

function RigList({ engine, store }: { engine: Engine; store: Store }) {
  const all = useAllRigs(store);
  const [hidden] = useSetting<string[]>(store, HIDDEN, []);
  const rigs = all?.filter(({ id }) => !hidden.includes(id));
  const heading = useHeading("list");
  const [adding, setAdding] = useState(isPasted);
  const [going, setGoing] = useState<Rig>();
  const [failed, setFailed] = useState("");
  const say = (reason: unknown) => setFailed(reason instanceof StoreFault ? reason.message : String(reason));
  const take = async (text: string, name?: string) => {
    const doc = Store.newDoc("rig");
    const rig = JSON.parse(text) as JsonObject;
    await store.replace(doc, name === undefined ? rig : { ...rig, name });
    open(doc);
  };
  return (
    <div class="rig-room">
      <h1 ref={heading} tabIndex={-1}>{t("rigs.title")}</h1>
      {rigs?.length === 0 && <p class="hint">{t("rigs.none")}</p>}
      <ul class="rig-list">
        {rigs?.map((rig) => (
          <li key={rig.id} class="choice">
            {rig.from === "phone" ? (
              <a href={`#${rig.id}`}><RigWords rig={rig} /></a>
            ) : (
              <span class="rig-words"><RigWords rig={rig} /></span>
            )}
            <button type="button" onClick={() => void take(rig.text, t("rigs.copy_name", { name: rig.name }).slice(0, 120)).catch(say)}>{t("rigs.copy")}<span class="for-ears"> {rig.name}</span></button>
            {rig.from === "phone" && (
              <button type="button" class="only-icon quiet" aria-label={t("remove_one", { name: rig.name })} onClick={() => setGoing(rig)}>
                <Icon name="remove" />
              </button>
            )}
          </li>
        ))}
      </ul>
      <Removal store={store} one={going} onSettled={() => setGoing(undefined)} />
      {failed && <p class="problem" role="alert">{failed}</p>}
      <OffThisPhone store={store} all={all} />
      <div class="rig-begin">
        <button type="button" class="primary wide" onClick={() => open(Store.newDoc("rig"))}><Icon name="add" /> {t("rigs.new")}</button>
        {adding ? (
          <AddRig engine={engine} onKeep={take} onClose={() => setAdding(false)} />
        ) : (
          <button type="button" class="wide" onClick={() => setAdding(true)}>{t("rig_choice.add")}</button>
        )}
      </div>
    </div>
  );
}

function RigWords({ rig }: { rig: Rig }) {
  return (
    <span class="choice-text">
      <strong>{rig.name}</strong>
      {rig.about && <span>{rig.about}</span>}
      <span class="quiet">{t(rig.from === "server" ? "from_server_copy" : "on_device")}</span>
    </span>
  );
}

function open(doc: string): void {
  location.hash = `#${doc}`;
}
