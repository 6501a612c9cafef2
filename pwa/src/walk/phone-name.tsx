/** Several phones on one list: what this one is called, and hearing of the others while it is open. */

import { useEffect, useId } from "preact/hooks";
import { Icon } from "../marks/icon.tsx";
import type { Store } from "../store/store.ts";
import { useSetting } from "../store/use-store.ts";
import { phonesOf } from "./phones.ts";
import type { Working } from "./run-page.tsx";
import { whyNot } from "./use-walks.ts";
import { useTyped } from "./use-typed.ts";
import { pointer } from "./walk.ts";
import { t } from "../words/text.ts";

/** How often the other phones are heard while a list is open. */
const BEAT = 5000;

/** Exchanges edits every few seconds while a list is looked at, so that two phones see each other's ticks. */
export function useTogether(store: Store, on: boolean): void {
  useEffect(() => {
    if (!on) {
      return;
    }
    const listen = () => {
      // With no signal it waits for the app's own beat, and for the signal.
      if (document.visibilityState === "visible" && store.standing().sync === "done") void store.sync();
    };
    const beat = setInterval(listen, BEAT);
    return () => clearInterval(beat);
  }, [store, on]);
}

/** Who works on this list, and how this phone is called on the others. */
export function PhoneName({ doc, walk, device, write, store }: Working & { store: Store }) {
  const id = useId();
  const [kept, setKept] = useSetting<string>(store, "phone_name", "");
  const phones = phonesOf(walk, device);
  const name = walk.phones?.[device] ?? kept;
  useEffect(() => {
    // A name given on an earlier list counts here from the first tick on.
    const ticks = Object.values(walk.ticks ?? {}).some((by) => by[device]);
    if (kept !== "" && ticks && walk.phones?.[device] === undefined) void write([{ path: pointer("phones", device), value: kept }]);
  }, [kept, walk, device]);
  const at = pointer("phones", device);
  const { input, why } = useTyped(doc + at, name, async (typed) => {
    setKept(typed);
    return whyNot(await write([typed === "" ? { path: at, removed: true } : { path: at, value: typed }]));
  });
  return (
    <details class="folded small phones">
      <summary><Icon name="chevron" size={18} /> {t("phones.title")} <span class="count">{phones.size}</span></summary>
      <ul class="plain">{[...phones].map(([of, words]) => <li key={of}>{words}{of === device && name !== "" && t("phones.called", { name })}</li>)}</ul>
      <label for={id}>{t("phones.name")}</label>
      <input {...input} id={id} maxLength={40} placeholder={t("phones.example")} aria-describedby={`${id}-why`} />
      <p class="wrong" id={`${id}-why`} role="status">{why}</p>
      <p class="hint">{t("phones.hint")}</p>
    </details>
  );
}
