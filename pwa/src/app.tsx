/** The frame of the app: rooms, the state of things, and what is offered. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { useAddress } from "./address.ts";
import { Departure } from "./departure/departure.tsx";
import type { Engine } from "./engine/client.ts";
import type { Versions } from "./engine/types.ts";
import { LampsRoom } from "./lamps/lamps-room.tsx";
import { Icon } from "./marks/icon.tsx";
import { PintailMark } from "./marks/pintail-mark.tsx";
import { More } from "./more/more.tsx";
import { watchOffline, type Offline } from "./offline.ts";
import { RigRoom } from "./rig/rig-room.tsx";
import { RulesRoom } from "./rules/rules-room.tsx";
import type { Store } from "./store/store.ts";
import { useStanding } from "./store/use-store.ts";
import { Trouble } from "./trouble/trouble.tsx";
import { WalkRoom } from "./walk/walk-room.tsx";
import { t } from "./words/text.ts";
import { useReader } from "./words/use-reader.ts";

/** The rooms at hand. */
const ROOMS = ["departure", "walk", "lamps", "rig", "more"] as const;
/** The rooms behind the last one. */
const BEHIND_MORE = ["trouble", "rules"] as const;
type Room = (typeof ROOMS)[number] | (typeof BEHIND_MORE)[number];

export function App({ engine, store }: { engine: Engine; store: Store }) {
  const room = useRoom();
  const [, within] = useAddress();
  // A list that is being worked through is not the moment for a newer version.
  const working = (room === "walk" || room === "lamps") && within !== undefined;
  const [offline, setOffline] = useState<Offline>("getting");
  const [versions, setVersions] = useState<Versions>();
  const [failed, setFailed] = useState("");
  const standing = useStanding(store);
  const [update, setUpdate] = useState<() => void>();
  const { language } = useReader(); // all that is shown follows the reader

  useEffect(() => void (document.documentElement.lang = language), [language]);
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
      <nav class="rooms" aria-label={t("room.rooms")}>
        {ROOMS.map((id) => (
          <a key={id} href={`#${id}`} aria-current={room === id ? "page" : id === "more" && isBehindMore(room) ? "true" : undefined}>
            <Icon name={id} size={26} /> <span>{t(`room.${id}`)}</span>
          </a>
        ))}
      </nav>
      <main tabIndex={-1}>
        {update && !working && (
          <p class="note" role="status">
            <span>{t("frame.newer")}</span>
            <button type="button" onClick={update}>{t("frame.start")}</button>
          </p>
        )}
        {failed && (
          <p class="note tone-no_go" role="alert">
            <span>{t("frame.no_engine", { why: failed })}</span>
            <button type="button" onClick={() => location.reload()}>{t("frame.load")}</button>
          </p>
        )}
        {standing.trouble && (
          <p class="note tone-mind" role="status">
            <span>{t(`store.${standing.trouble}`)}</span>
            {standing.trouble === "superseded" && <button type="button" onClick={() => location.reload()}>{t("frame.load")}</button>}
          </p>
        )}
        <div hidden={room !== "departure"}><Departure engine={engine} store={store} /></div>
        {room === "trouble" && <Trouble engine={engine} store={store} />}
        {room === "rules" && <RulesRoom engine={engine} store={store} />}
        {room === "walk" && <WalkRoom engine={engine} store={store} />}
        {room === "lamps" && <LampsRoom engine={engine} store={store} />}
        {room === "rig" && <RigRoom engine={engine} store={store} />}
        {room === "more" && <More store={store} offline={offline} versions={versions} failed={failed} lasting={standing.lasting !== false} />}
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
  const room = isBehindMore(named) ? named : (ROOMS.find((id) => id === named) ?? "departure");
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

function OfflineChip({ offline, failed }: { offline: Offline; failed: boolean }) {
  const words = t(failed ? "chip.failed" : `chip.${offline}`);
  return (
    <a class={`state state-${failed ? "failed" : offline}`} href="#more">
      <span class="state-dot" aria-hidden="true" /> <span role="status">{words}</span>
    </a>
  );
}
