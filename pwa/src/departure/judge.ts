/** Lets the engine judge a rig that a person brings. */

import type { Engine } from "../engine/client.ts";
import type { ProblemDetails } from "../engine/types.ts";
import { t } from "../words/text.ts";

/** `rig` is its JSON text. */
export type Judged = { ok: true; rig: string } | { ok: false; problem: ProblemDetails };

/**
 * Judges the bytes of a rig's JSON text, or of {"rig": …} around it. Pointers in
 * the problem begin with /rig.
 */
export async function judgeRig(engine: Pick<Engine, "run">, bytes: Uint8Array): Promise<Judged> {
  const wrapped = onlyMember(bytes) ? bytes : around(bytes);
  const outcome = await engine.run<unknown>("coupling/check", wrapped);
  if (!outcome.ok) {
    return outcome;
  }
  const text = new TextDecoder().decode(bytes);
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (reason) {
    // It fitted between our braces but is no value by itself, as in `{}, "x": 1`.
    return malformed(String(reason instanceof Error ? reason.message : reason));
  }
  const rig = onlyMember(bytes) ? JSON.stringify((value as { rig: unknown }).rig) : text;
  return { ok: true, rig };
}

function around(bytes: Uint8Array): Uint8Array {
  const before = new TextEncoder().encode('{"rig":');
  const out = new Uint8Array(before.length + bytes.length + 1);
  out.set(before);
  out.set(bytes, before.length);
  out.set(new TextEncoder().encode("}"), before.length + bytes.length);
  return out;
}

/** Reports whether the text is already an operation's input: an object with the one member rig. */
function onlyMember(bytes: Uint8Array): boolean {
  try {
    const value: unknown = JSON.parse(new TextDecoder().decode(bytes));
    return typeof value === "object" && value !== null && Object.keys(value).join() === "rig";
  } catch {
    return false;
  }
}

function malformed(detail: string): Judged {
  return {
    ok: false,
    problem: {
      type: "urn:problem-type:pintail:malformed_json", title: t("add.not_json"), detail,
      errors: [{ pointer: "", code: "malformed_json", detail }],
    },
  };
}
