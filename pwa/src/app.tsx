/** The frame of the app: rooms, the state of things, and what is offered. */

import { useEffect, useRef, useState } from "preact/hooks";
import { useAddress } from "./address.ts";
import { Departure } from "./departure/departure.tsx";
import type { Engine } from "./engine/client.ts";
import type { Versions } from "./engine/types.ts";
import type { RigStore } from "./keep/rigs.ts";
import { Icon } from "./marks/icon.tsx";
import { PintailMark } from "./marks/pintail-mark.tsx";
import { More } from "./more/more.tsx";
import { watchOffline, type Offline } from "./offline.ts";
import { useChosenRig } from "./trouble/chosen-rig.ts";
import { Trouble } from "./trouble/trouble.tsx";

/** The rooms at hand. */
const ROOMS = [
  { id: "departure", word: "Departure", icon: "departure" },
  { id: "more", word: "More", icon: "more" },
] as const;
/** The rooms behind the last one. */
const BEHIND_MORE = ["trouble"] as const;
type Room = (typeof ROOMS)[number]["id"] | (typeof BEHIND_MORE)[number];

export function App({ engine, store }: { engine: Engine; store: RigStore }) {
  const room = useRoom();
  const rig = useChosenRig(store, room);
  const [offline, setOffline] = useState<Offline>("getting");
  const [versions, setVersions] = useState<Versions>();
  const [failed, setFailed] = useState("");
  const [lasting, setLasting] = useState(true);
  const [update, setUpdate] = useState<() => void>();

  useEffect(() => {
    engine.versions.then(setVersions, (reason: Error) => setFailed(reason.message));
    void store.lasting.then(setLasting);
    void watchOffline(engine, setOffline, (accept) => setUpdate(() => accept));
  }, [engine, store]);

  return (
    <div class="frame">
      <header class="top">
        <a class="brand" href="#departure"><PintailMark /> Pintail</a>
        <OfflineChip offline={offline} failed={failed !== ""} />
      </header>
      <nav class="rooms" aria-label="Rooms">
        {ROOMS.map(({ id, word, icon }) => (
          <a key={id} href={`#${id}`} aria-current={room === id ? "page" : id === "more" && isBehindMore(room) ? "true" : undefined}>
            <Icon name={icon} size={26} /> <span>{word}</span>
          </a>
        ))}
      </nav>
      <main tabIndex={-1}>
        {update && (
          <p class="note" role="status">
            <span>A newer version is on this device. It starts when you say so.</span>
            <button type="button" onClick={update}>Start it now</button>
          </p>
        )}
        {failed && (
          <p class="note tone-no_go" role="alert">
            <span>
              The engine that works out the answers did not load ({failed}). What you entered is safe. Load the page again
              once there is signal.
            </span>
            <button type="button" onClick={() => location.reload()}>Load again</button>
          </p>
        )}
        {!lasting && (
          <p class="note tone-mind" role="status">
            <span>This browser refuses to keep anything, perhaps because the window is private. Rigs and trips stay only until it is closed.</span>
          </p>
        )}
        <div hidden={room !== "departure"}><Departure engine={engine} store={store} /></div>
        {room === "trouble" && <Trouble engine={engine} rig={rig} />}
        {room === "more" && <More offline={offline} versions={versions} failed={failed} lasting={lasting} />}
      </main>
    </div>
  );
}

function isBehindMore(room: string): room is (typeof BEHIND_MORE)[number] {
  return (BEHIND_MORE as readonly string[]).includes(room);
}

/** The room that the address names; any other address is within Departure. */
function useRoom(): Room {
  const [named = ""] = useAddress();
  const room = isBehindMore(named) ? named : (ROOMS.find(({ id }) => id === named)?.id ?? "departure");
  const first = useRef(true);
  useEffect(() => {
    if (first.current) {
      first.current = false;
      return;
    }
    scrollTo(0, 0);
    document.querySelector("main")?.focus({ preventScroll: true });
  }, [room]);
  return room;
}

const CHIP: Record<Offline, string> = {
  getting: "Getting ready…",
  ready: "Ready offline",
  incomplete: "Needs signal",
  refused: "Needs signal",
};

function OfflineChip({ offline, failed }: { offline: Offline; failed: boolean }) {
  const words = failed ? "Not working" : CHIP[offline];
  return (
    <a class={`state state-${failed ? "failed" : offline}`} href="#more">
      <span class="state-dot" aria-hidden="true" /> <span role="status">{words}</span>
    </a>
  );
}
