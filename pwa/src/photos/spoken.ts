/** Which photos the documents speak of, and which of them a person may clear. */

import type { JsonObject } from "../store/journal.ts";
import type { Document, Store } from "../store/store.ts";
import { letGo, type Photo } from "./photos.ts";

/** What the documents say of a photo. */
export interface Spoken {
  /** When it was taken, as far as the document knows. */
  at: number | undefined;
  /** needed: of a list that is not finished. record: of one that is. page: of a manual. */
  as: "needed" | "record" | "page";
}

/** What the documents of walk-rounds and rigs say of photos, by the photo's id. */
export function spokenOf(walks: Document[], rigs: Document[]): Map<string, Spoken> {
  const spoken = new Map<string, Spoken>();
  for (const { document } of walks) {
    for (const by of members(document.ticks)) {
      for (const tick of members(by)) {
        if (typeof tick.photo === "string") {
          const at = numberOf(tick.at) ?? numberOf(document.started);
          spoken.set(tick.photo, { at, as: document.finished === undefined ? "needed" : "record" });
        }
      }
    }
  }
  for (const { document } of rigs) {
    const pages = (document.permission as JsonObject | undefined)?.page_photos;
    Object.keys(objectOf(pages)).forEach((id) => spoken.set(id, { at: undefined, as: "page" }));
  }
  return spoken;
}

/** Which photos to clear: those older than so many days, the oldest until so many bytes are left, or all that may go. */
export type Which = { older_days: number } | { leave_bytes: number } | "all";

/** The photos of finished lists that go, oldest first. One whose age is not known goes with all, and before all others for room. */
export function toClear(photos: Photo[], spoken: Map<string, Spoken>, which: Which, now: number): Photo[] {
  const age = ({ id, at }: Photo) => at ?? spoken.get(id)?.at;
  const may = photos.filter(({ id }) => (spoken.get(id)?.as ?? "record") === "record").sort((a, b) => (age(a) ?? 0) - (age(b) ?? 0));
  if (which === "all") {
    return may;
  }
  if ("older_days" in which) {
    return may.filter((photo) => (age(photo) ?? now) < now - which.older_days * 86_400_000);
  }
  let left = bytesOf(photos);
  return may.filter(({ picture }) => {
    const goes = left > which.leave_bytes;
    if (goes) left -= picture.size;
    return goes;
  });
}

export function bytesOf(photos: Photo[]): number {
  return photos.reduce((sum, { picture }) => sum + picture.size, 0);
}

/** Lets go of the photos of what was removed for good. Nothing goes while the documents are not all there to speak. */
export async function letGoOfLoose(store: Store, now: number): Promise<void> {
  if (!(await store.lasting) || store.standing().trouble !== undefined) {
    return;
  }
  const [walks, rigs] = await Promise.all([store.documents("walk"), store.documents("rig")]);
  await letGo(new Set(spokenOf(walks, rigs).keys()), now);
}

function members(value: unknown): JsonObject[] {
  return Object.values(objectOf(value)).filter((one): one is JsonObject => typeof one === "object" && one !== null && !Array.isArray(one));
}

function objectOf(value: unknown): JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value) ? (value as JsonObject) : {};
}

function numberOf(value: unknown): number | undefined {
  return typeof value === "number" ? value : undefined;
}
