/** What was typed and could not be kept: it is still there after another start, where it was typed. It is in no document and no export. */

import { remember, remembered } from "./local.ts";

type Unkept = { [place: string]: string };

/** More texts than this are not remembered; the oldest give way. */
const MOST = 100;

/** The text typed at a place, undefined where all that was typed there is kept. */
export function unkeptAt(place: string): string | undefined {
  return all()[place];
}

/** Remembers the text of a place, undefined once it is kept or given up. */
export function setUnkept(place: string, text: string | undefined): void {
  const { [place]: before, ...others } = all();
  if (text === before) {
    return;
  }
  const next = Object.entries(text === undefined ? others : { ...others, [place]: text }).slice(-MOST);
  remember("unkept", next.length === 0 ? undefined : Object.fromEntries(next));
}

function all(): Unkept {
  return remembered<Unkept>("unkept") ?? {};
}
