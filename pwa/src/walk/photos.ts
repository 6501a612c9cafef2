/** Photos taken at hold points. They stay on this phone and are in no export. */

import { openDB, type DBSchema, type IDBPDatabase } from "idb";

interface Schema extends DBSchema {
  photos: { key: string; value: Blob };
}

/** The longer side of a kept photo, in pixels: enough to read a gauge. */
const LONGEST = 1280;

let opened: Promise<IDBPDatabase<Schema>> | undefined;

/** Opened when first needed: a browser that refuses storage still shows every list. */
async function photos(): Promise<IDBPDatabase<Schema>> {
  opened ??= openDB<Schema>("pintail-photos", 1, {
    upgrade: (database) => {
      database.createObjectStore("photos");
    },
  });
  return opened;
}

/**
 * Keeps a photo and returns its id. It is drawn anew and smaller, so that no
 * place, time or camera data of the file is kept. Rejects where the file is no
 * picture this browser reads, or storage is full or refused.
 */
export async function keepPhoto(file: Blob): Promise<string> {
  const picture = await redrawn(file);
  const id = crypto.randomUUID();
  await (await photos()).put("photos", picture, id);
  return id;
}

/** The photo of an id, undefined where this phone does not have it. */
export async function photo(id: string): Promise<Blob | undefined> {
  return (await photos()).get("photos", id);
}

async function redrawn(file: Blob): Promise<Blob> {
  const whole = await createImageBitmap(file);
  const scale = Math.min(1, LONGEST / Math.max(whole.width, whole.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(whole.width * scale));
  canvas.height = Math.max(1, Math.round(whole.height * scale));
  canvas.getContext("2d")?.drawImage(whole, 0, 0, canvas.width, canvas.height);
  whole.close();
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("the picture could not be drawn"))), "image/jpeg", 0.72);
  });
}
