/** The server that edits are exchanged with: its address, the key that opens it, and how it answered. */

import { useId, useState } from "preact/hooks";
import { StoreFault } from "../store/fault.ts";
import type { Standing, Store } from "../store/store.ts";
import { useStanding } from "../store/use-store.ts";
import { when } from "../walk/when.ts";
import { t } from "../words/text.ts";
import { readAddress, readKey } from "./address-and-key.ts";

export function ServerKey({ store }: { store: Store }) {
  const standing = useStanding(store);
  return (
    <section aria-labelledby="server-heading">
      <h2 id="server-heading">{t("server.title")}</h2>
      <p role="status" data-sync={standing.sync}>{answered(standing)}</p>
      {standing.key === undefined ? <Enter store={store} /> : <Kept store={store} id={standing.key} />}
    </section>
  );
}

/** How the server answered, in words. */
function answered({ sync, key, synced }: Standing): string {
  return sync === "refused" && key === undefined ? t("sync.no_key") : t(`sync.${sync}`, { when: when(synced) });
}

/** A key that is kept is shown by its id; its secret is never shown again. */
function Kept({ store, id }: { store: Store; id: string }) {
  const [failed, setFailed] = useState("");
  const remove = () => store.setKey(undefined).catch((reason: unknown) => setFailed(words(reason)));
  return (
    <>
      <dl class="versions">
        <div><dt>{t("server.address_short")}</dt><dd>{location.host}</dd></div>
        <div><dt>{t("server.key")}</dt><dd class="masked">{id}.<span aria-label={t("server.masked")}>••••••••</span></dd></div>
      </dl>
      <div class="buttons">
        <button type="button" onClick={() => void store.sync()}>{t("server.ask")}</button>
        <button type="button" onClick={() => void remove()}>{t("server.remove")}</button>
      </div>
      <p class="hint">{t("server.remove_hint")}</p>
      {failed && <p class="problem" role="alert">{failed}</p>}
    </>
  );
}

function Enter({ store }: { store: Store }) {
  const id = useId();
  const [typed, setTyped] = useState({ address: location.host, key: "" });
  const [why, setWhy] = useState<{ address?: string; elsewhere?: string; key?: string }>({});
  const keep = async () => {
    const address = readAddress(typed.address, location);
    const key = readKey(typed.key);
    setWhy({ ...(address.ok ? {} : address), ...(key.ok ? {} : { key: key.why }) });
    if (!address.ok || !key.ok) {
      document.getElementById(address.ok ? `${id}-key` : `${id}-address`)?.focus();
      return;
    }
    await store.setKey(key.value).catch((reason: unknown) => setWhy({ key: words(reason) }));
  };
  return (
    <form
      class="server-key"
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <label for={`${id}-address`}>{t("server.address")}</label>
      <input
        id={`${id}-address`} type="text" inputmode="url" autocomplete="off" autocapitalize="off" spellcheck={false} value={typed.address}
        aria-invalid={why.address !== undefined} aria-describedby={`${id}-address-why`}
        onInput={(event) => setTyped({ ...typed, address: event.currentTarget.value })}
      />
      <p class="wrong" id={`${id}-address-why`} role="status">
        {why.address}
        {why.elsewhere && <>{" "}<a href={why.elsewhere}>{t("server.open", { host: new URL(why.elsewhere).host })}</a></>}
      </p>
      <label for={`${id}-key`}>{t("server.key")}</label>
      <input
        id={`${id}-key`} type="password" autocomplete="off" value={typed.key}
        aria-invalid={why.key !== undefined} aria-describedby={`${id}-key-help ${id}-key-why`}
        onInput={(event) => setTyped({ ...typed, key: event.currentTarget.value })}
      />
      <p class="wrong" id={`${id}-key-why`} role="status">{why.key}</p>
      <p class="hint" id={`${id}-key-help`}>
        {t("server.key_hint")}
      </p>
      <button type="submit" class="primary">{t("server.keep")}</button>
    </form>
  );
}

function words(reason: unknown): string {
  return reason instanceof StoreFault ? reason.message : String(reason);
}
