/** Chooses one of the rigs this device keeps, or takes in another. */

import { useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { Kept } from "../keep/rigs.ts";
import { Icon } from "../marks/icon.tsx";
import { AddRig } from "./add-rig.tsx";

interface Props {
  engine: Engine;
  /** undefined while they are being fetched. */
  rigs: Kept[] | undefined;
  chosen: string;
  onChoose: (id: string) => void;
  onKeep: (rig: Kept) => void;
  onRemove: (rig: Kept) => void;
}

export function RigChoice({ engine, rigs, chosen, onChoose, onKeep, onRemove }: Props) {
  const [adding, setAdding] = useState(false);
  const [removed, setRemoved] = useState<Kept>();
  return (
    <section aria-labelledby="rig-heading">
      <h2 id="rig-heading">Rig</h2>
      {rigs?.length === 0 && !adding && (
        <p class="hint">
          No rig on this device yet. Rigs kept on this server appear here once there is signal; or paste one, or open its file.
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
                <span class="quiet">{rig.from === "server" ? "From this server" : "Only on this device"}</span>
              </span>
            </label>
            {rig.from === "phone" && (
              <button
                type="button"
                class="only-icon quiet"
                aria-label={`Remove ${rig.name} from this device`}
                onClick={() => {
                  setRemoved(rig);
                  onRemove(rig);
                }}
              >
                <Icon name="remove" />
              </button>
            )}
          </div>
        ))}
      </div>
      {removed && (
        <p class="undo" role="status">
          <span>{removed.name} is removed.</span>
          <button
            type="button"
            onClick={() => {
              onKeep(removed);
              setRemoved(undefined);
            }}
          >
            Undo
          </button>
        </p>
      )}
      {adding ? (
        <AddRig
          engine={engine}
          onClose={() => setAdding(false)}
          onKeep={(rig) => {
            setAdding(false);
            onKeep(rig);
          }}
        />
      ) : (
        <button type="button" class="wide" onClick={() => setAdding(true)}>
          <Icon name="add" /> Paste or open a rig
        </button>
      )}
    </section>
  );
}
