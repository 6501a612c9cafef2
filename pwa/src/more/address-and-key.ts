/** Reads the address and the key of a server as a person types or pastes them. */

import { t } from "../words/text.ts";

/** `elsewhere` is the page at which a key of another server is entered. */
export type ReadAddress = { ok: true } | { ok: false; address: string; elsewhere?: string };

/**
 * Whether the typed address is that of the server that this app came from. An app
 * exchanges with no other: what a page could send anywhere, a fault in it could
 * send anywhere.
 */
export function readAddress(typed: string, here: { origin: string; host: string; protocol: string }): ReadAddress {
  const text = typed.trim();
  const whole = /^https?:\/\//i.test(text) ? text : `${text.split(/[/?#]/)[0] === here.host ? here.protocol : "https:"}//${text}`;
  const url = /^\S+$/.test(text) && URL.canParse(whole) ? new URL(whole) : undefined;
  if (!url) {
    return { ok: false, address: t("server.no_address", { typed: text }) };
  }
  return url.origin === here.origin ? { ok: true } : {
    ok: false,
    address: t("server.elsewhere", { host: here.host }),
    elsewhere: `${url.origin}/#more`,
  };
}

/** A key has an id, a point, and 43 characters of secret, as a server prints it. */
export function readKey(typed: string): { ok: true; value: string } | { ok: false; why: string } {
  const key = typed.replace(/^\s*bearer\s+/i, "").replace(/\s+/g, "");
  return /^[A-Za-z0-9_-]{1,64}\.[A-Za-z0-9_-]{43}$/.test(key)
    ? { ok: true, value: key }
    : { ok: false, why: t(key === "" ? "server.empty_key" : "server.bad_key") };
}
