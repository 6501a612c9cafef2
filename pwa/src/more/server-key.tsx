/** The server that edits are exchanged with: its address, the key that opens it, and how it answered. */

import { useId, useState } from "preact/hooks";
import { StoreFault } from "../store/fault.ts";
import type { Standing, Store } from "../store/store.ts";
import { useStanding } from "../store/use-store.ts";
import { when } from "../walk/when.ts";
import { readAddress, readKey } from "./address-and-key.ts";

const ANSWERED: Record<Standing["sync"], (standing: Standing) => string> = {
  never: () => "Not asked yet.",
  running: () => "Being asked…",
  off: () => "This address answers, but no server of Pintail takes or shows anything under it. What you enter stays on this device.",
  refused: ({ key }) => key === undefined
    ? "The server wants a key. Until you enter one, what you enter stays on this device."
    : "The server refused this key: it is mistyped, or was revoked. What you enter stays on this device; enter another key, or remove this one.",
  away: () => "The server could not be reached. What you enter waits here and goes by itself once there is signal.",
  reading: () => "The server was reached. The key may only read: you see what others enter, and what you enter stays on this device.",
  done: ({ synced }) => `The server was reached, and everything is shared with it, last at ${when(synced)}. That goes on by itself.`,
};

export function ServerKey({ store }: { store: Store }) {
  const standing = useStanding(store);
  return (
    <section aria-labelledby="server-heading">
      <h2 id="server-heading">Server</h2>
      <p role="status" data-sync={standing.sync}>{ANSWERED[standing.sync](standing)}</p>
      {standing.key === undefined ? <Enter store={store} /> : <Kept store={store} id={standing.key} />}
    </section>
  );
}

/** A key that is kept is shown by its id; its secret is never shown again. */
function Kept({ store, id }: { store: Store; id: string }) {
  const [failed, setFailed] = useState("");
  const remove = () => store.setKey(undefined).catch((reason: unknown) => setFailed(words(reason)));
  return (
    <>
      <dl class="versions">
        <div><dt>Address</dt><dd>{location.host}</dd></div>
        <div><dt>Key</dt><dd class="masked">{id}.<span aria-label="its secret, not shown">••••••••</span></dd></div>
      </dl>
      <div class="buttons">
        <button type="button" onClick={() => void store.sync()}>Ask now</button>
        <button type="button" onClick={() => void remove()}>Remove the key</button>
      </div>
      <p class="hint">Removing it ends the exchange and leaves everything on this device. To end the key itself, whoever runs the server revokes it.</p>
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
      <label for={`${id}-address`}>Address of the server</label>
      <input
        id={`${id}-address`} type="text" inputmode="url" autocomplete="off" autocapitalize="off" spellcheck={false} value={typed.address}
        aria-invalid={why.address !== undefined} aria-describedby={`${id}-address-why`}
        onInput={(event) => setTyped({ ...typed, address: event.currentTarget.value })}
      />
      <p class="wrong" id={`${id}-address-why`} role="status">
        {why.address}
        {why.elsewhere && <>{" "}<a href={why.elsewhere}>Open {new URL(why.elsewhere).host}</a></>}
      </p>
      <label for={`${id}-key`}>Key</label>
      <input
        id={`${id}-key`} type="password" autocomplete="off" value={typed.key}
        aria-invalid={why.key !== undefined} aria-describedby={`${id}-key-help ${id}-key-why`}
        onInput={(event) => setTyped({ ...typed, key: event.currentTarget.value })}
      />
      <p class="wrong" id={`${id}-key-why`} role="status">{why.key}</p>
      <p class="hint" id={`${id}-key-help`}>
        From whoever runs the server. It is kept on this device only, and in no saved copy. Everything on this device is then shared with the people of that server.
      </p>
      <button type="submit" class="primary">Keep the key and exchange</button>
    </form>
  );
}

function words(reason: unknown): string {
  return reason instanceof StoreFault ? reason.message : String(reason);
}
