/** Photos in the file that holds a copy of everything, where a person asks for them. */

import { allPhotos, bringPhoto, type Photo } from "./photos.ts";

/** The member of the file. */
interface InFile {
  id: string;
  at?: number;
  /** Base64. */
  jpeg: string;
}

/** The file with every photo of this phone in it; `text` is the file without. It comes in parts, for it may be large. */
export async function withPhotos(text: string): Promise<Blob> {
  const parts: BlobPart[] = [text.slice(0, text.lastIndexOf("}")), ',"photos":['];
  for (const [at, { id, at: taken, picture }] of (await allPhotos()).entries()) {
    parts.push(at === 0 ? "" : ",", JSON.stringify({ id, ...(taken !== undefined && { at: taken }), jpeg: await toBase64(picture) } satisfies InFile));
  }
  return new Blob([...parts, "]}"], { type: "application/json" });
}

/** Takes in the photos of a file's text. Returns how many were new, and how many of them could not be read. */
export async function bringPhotos(text: string): Promise<{ fresh: number; unread: number }> {
  const listed = (JSON.parse(text) as { photos?: unknown }).photos;
  let [fresh, unread] = [0, 0];
  for (const one of Array.isArray(listed) ? listed : []) {
    try {
      if (await bringPhoto(fromFile(one))) fresh++;
    } catch (reason) {
      if (reason instanceof DOMException && reason.name === "QuotaExceededError") throw reason;
      unread++;
    }
  }
  return { fresh, unread };
}

function fromFile(one: Partial<InFile> | null): Photo {
  if (typeof one?.id !== "string" || !/^[A-Za-z0-9_-]{1,64}$/.test(one.id) || typeof one.jpeg !== "string") {
    throw new Error("not a photo");
  }
  const bytes = Uint8Array.from(atob(one.jpeg), (letter) => letter.charCodeAt(0));
  return { id: one.id, at: typeof one.at === "number" ? one.at : undefined, picture: new Blob([bytes], { type: "image/jpeg" }) };
}

async function toBase64(picture: Blob): Promise<string> {
  const bytes = new Uint8Array(await picture.arrayBuffer());
  let letters = "";
  // In pieces: a call takes only so many arguments.
  for (let from = 0; from < bytes.length; from += 32_768) letters += String.fromCharCode(...bytes.subarray(from, from + 32_768));
  return btoa(letters);
}
