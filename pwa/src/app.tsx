/** The frame of the app: rooms, the state of things, and what is offered. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { useAddress } from "./address.ts";
import { Departure } from "./departure/departure.tsx";
import type { Engine } from "./engine/client.ts";
import type { Versions } from "./engine/types.ts";
import { Icon } from "./marks/icon.tsx";
import { PintailMark } from "./marks/pintail-mark.tsx";
import { More } from "./more/more.tsx";
import { watchOffline, type Offline } from "./offline.ts";
import { RigRoom } from "./rig/rig-room.tsx";
import { RulesRoom } from "./rules/rules-room.tsx";
import type { Standing, Store } from "./store/store.ts";
import { useStanding } from "./store/use-store.ts";
import { Trouble } from "./trouble/trouble.tsx";
import { WalkRoom } from "./walk/walk-room.tsx";
import { useReader } from "./words/use-reader.ts";

/** The rooms at hand. */
const ROOMS = [
  { id: "departure", word: "Departure", icon: "departure" },
  { id: "walk", word: "Walk-round", icon: "walk" },
  { id: "rig", word: "Rig", icon: "rig" },
  { id: "more", word: "More", icon: "more" },
] as const;
/** The rooms behind the last one. */
const BEHIND_MORE = ["trouble", "rules"] as const;
type Room = (typeof ROOMS)[number]["id"] | (typeof BEHIND_MORE)[number];

export function App({ engine, store }: { engine: Engine; store: Store }) {
  const room = useRoom();
  const [, within] = useAddress();
  // A list that is being worked through is not the moment for a newer version.
  const working = room === "walk" && within !== undefined;
  const [offline, setOffline] = useState<Offline>("getting");
  const [versions, setVersions] = useState<Versions>();
  const [failed, setFailed] = useState("");
  const standing = useStanding(store);
  const [update, setUpdate] = useState<() => void>();
  useReader(); // all that is shown follows the reader

  useEffect(() => {
    engine.versions.then(setVersions, (reason: Error) => setFailed(reason.message));
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
        {update && !working && (
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
        {standing.trouble && (
          <p class="note tone-mind" role="status">
            <span>{TROUBLE[standing.trouble]}</span>
            {standing.trouble === "superseded" && <button type="button" onClick={() => location.reload()}>Load again</button>}
          </p>
        )}
        <div hidden={room !== "departure"}><Departure engine={engine} store={store} /></div>
        {room === "trouble" && <Trouble engine={engine} store={store} />}
        {room === "rules" && <RulesRoom engine={engine} store={store} />}
        {room === "walk" && <WalkRoom engine={engine} store={store} />}
        {room === "rig" && <RigRoom engine={engine} store={store} />}
        {room === "more" && <More store={store} offline={offline} versions={versions} failed={failed} lasting={standing.lasting !== false} />}
      </main>
    </div>
  );
}

function isBehindMore(room: string): room is (typeof BEHIND_MORE)[number] {
  return (BEHIND_MORE as readonly string[]).includes(room);
}

const TROUBLE: Record<NonNullable<Standing["trouble"]>, string> = {
  refused: "This browser refuses to keep anything, perhaps because the window is private. Rigs and trips stay only until it is closed.",
  newer: "A newer version of this app has kept its things here, and this one cannot read them. They are safe. Load the page again where there is signal; until then nothing entered here is kept.",
  blocked: "Another tab holds an older version of this app open. Close it, and this one goes on.",
  superseded: "Another tab has started a newer version of this app. Load this one again to go on.",
  evicted: "This browser has cleared what was kept here, as it may when space is short. If you saved a copy of everything, bring it back under More.",
};

/** The room that the address names; any other address is within Departure. */
function useRoom(): Room {
  const [named = ""] = useAddress();
  const room = isBehindMore(named) ? named : (ROOMS.find(({ id }) => id === named)?.id ?? "departure");
  const first = useRef(true);
  // Before the new room is painted: a later move would take the focus from who is quick.
  useLayoutEffect(() => {
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
