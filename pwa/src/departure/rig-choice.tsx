/** Chooses one of the rigs this device keeps, or takes in another. */

import { useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import { Removal } from "../keep/removal.tsx";
import { Icon } from "../marks/icon.tsx";
import type { Store } from "../store/store.ts";
import { t } from "../words/text.ts";
import { AddRig, isPasted } from "./add-rig.tsx";
import type { Rig } from "./rigs.ts";

interface Props {
  engine: Engine;
  store: Store;
  /** undefined while they are being fetched. */
  rigs: Rig[] | undefined;
  chosen: string;
  onChoose: (id: string) => void;
  /** Keeps the rig of this JSON text. */
  onKeep: (text: string) => Promise<void>;
}

export function RigChoice({ engine, store, rigs, chosen, onChoose, onKeep }: Props) {
  const [adding, setAdding] = useState(isPasted);
  const [going, setGoing] = useState<Rig>();
  return (
    <section aria-labelledby="rig-heading">
      <h2 id="rig-heading">{t("rig_choice.rig")}</h2>
      {rigs?.length === 0 && !adding && (
        <p class="hint">
          {t("rig_choice.none")}
        </p>
      )}
      <div class="choices" role="radiogroup" aria-labelledby="rig-heading">
        {rigs?.map((rig) => (
          <div class="choice" key={rig.id}>
            <label>
              <input type="radio" name="rig" value={rig.id} checked={rig.id === chosen} onChange={() => onChoose(rig.id)} />
              <span class="choice-text">
                <strong>{rig.name}</strong>
                {rig.about && <span>{rig.about}</span>}
                <span class="quiet">{t(rig.from === "server" ? "from_server" : "on_device")}</span>
              </span>
            </label>
            {rig.from === "phone" && (
              <button type="button" class="only-icon quiet" aria-label={t("remove_one", { name: rig.name })} onClick={() => setGoing(rig)}>
                <Icon name="remove" />
              </button>
            )}
          </div>
        ))}
      </div>
      <Removal store={store} one={going} onSettled={() => setGoing(undefined)} />
      {adding ? (
        <AddRig
          engine={engine}
          onClose={() => setAdding(false)}
          onKeep={async (text) => {
            await onKeep(text);
            setAdding(false);
          }}
        />
      ) : (
        <button type="button" class="wide" onClick={() => setAdding(true)}>
          <Icon name="add" /> {t("rig_choice.add")}
        </button>
      )}
    </section>
  );
}
