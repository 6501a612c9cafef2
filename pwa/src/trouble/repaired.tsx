/** "It is repaired": a dated entry where the rig is being worked on, which then asks for what the repair may have touched. */

import { useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { Failure, HookedUpReport, Repair } from "../engine/types.ts";
import { Store } from "../store/store.ts";
import { useDevice } from "../store/use-store.ts";
import { useHookedUp, useWalks } from "../walk/use-walks.ts";
import { beginning, idOf, leaves, pointer, type Kept } from "../walk/walk.ts";
import { when } from "../walk/when.ts";
import { t } from "../words/text.ts";
import type { ChosenRig } from "./trouble.tsx";

interface Props {
  engine: Engine;
  store: Store;
  rig: NonNullable<ChosenRig>;
  failure: Failure;
}

export function Repaired({ engine, store, rig, failure }: Props) {
  const walks = useWalks(store);
  const device = useDevice(store);
  const hookedUp = useHookedUp(engine, walks, idOf(rig.id));
  const [refused, setRefused] = useState("");
  if (!walks || device === undefined) {
    return null;
  }
  const attached = hookedUp && !unhooked(hookedUp.report) ? hookedUp.walk : undefined;
  const running = runningList(walks, idOf(rig.id), attached);
  const note = async () => {
    const now = Date.now();
    const entry = leaves(pointer("repairs", crypto.randomUUID()), { failure: failure.id, at: now, by: device } satisfies Repair);
    const about = { list: "stop_check" as const, rig: idOf(rig.id), rig_name: rig.name, rig_text: rig.text, ...(attached && { hook_up: idOf(attached.doc) }) };
    const [doc, writes] = running ? [running.doc, entry] : [Store.newDoc("walk"), [...beginning(about, now), ...entry]];
    try {
      await store.write(doc, writes);
      location.hash = doc;
    } catch (reason) {
      setRefused(reason instanceof Error ? reason.message : String(reason));
    }
  };
  return (
    <section aria-labelledby="repaired-heading">
      <h2 id="repaired-heading">{t("repaired.title")}</h2>
      <p>
        {running
          ? t("repaired.running", { list: t(`list.${running.value.list}`), when: when(running.value.started) })
          : t(attached ? "repaired.begins" : "repaired.not_hooked")}
      </p>
      {(running ?? attached) && <button type="button" class="primary wide" onClick={() => void note()}>{t("repaired.note")}</button>}
      {refused && <p class="problem" role="alert">{refused}</p>}
    </section>
  );
}

function unhooked({ expires }: HookedUpReport): boolean {
  return expires.some(({ what, ended }) => what === "unhooked" && ended);
}

/** The list that is being worked through: a check of the hook-up that stands, or a hook-up begun since. */
function runningList(walks: Kept[], rig: string, hookUp: Kept | undefined): Kept | undefined {
  return walks
    .filter(({ value }) => value.rig === rig && value.finished === undefined)
    .filter(({ value }) =>
      value.list === "stop_check" ? hookUp !== undefined && value.hook_up === idOf(hookUp.doc) : value.list === "hook_up" && (value.started ?? 0) > (hookUp?.value.started ?? 0),
    )
    .sort((a, b) => (b.value.started ?? 0) - (a.value.started ?? 0))[0];
}
