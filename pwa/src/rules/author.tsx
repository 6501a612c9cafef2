/** Who makes a change of law, and why. */

import { useId, useState } from "preact/hooks";
import type { Store } from "../store/store.ts";
import { useSetting } from "../store/use-store.ts";
import { t } from "../words/text.ts";

/** The name is remembered on this device. */
export function useAuthor(store: Store): [string, (name: string) => void] {
  const [kept, keep] = useSetting<string>(store, "law_by", "");
  const [typed, setTyped] = useState<string>();
  return [typed ?? kept, (name) => {
    setTyped(name);
    keep(name);
  }];
}

export function Author({ by, reason, onBy, onReason }: { by: string; reason: string; onBy: (by: string) => void; onReason: (reason: string) => void }) {
  const id = useId();
  return (
    <>
      <div class="rig-field">
        <label class="rig-label" for={`${id}-by`}>{t("rules.by")}</label>
        <input id={`${id}-by`} type="text" maxLength={100} autocomplete="name" value={by} onInput={(event) => onBy(event.currentTarget.value)} />
      </div>
      <div class="rig-field">
        <label class="rig-label" for={`${id}-why`}>{t("rules.why")}</label>
        <input id={`${id}-why`} type="text" maxLength={600} autocomplete="off" value={reason} onInput={(event) => onReason(event.currentTarget.value)} />
      </div>
    </>
  );
}
