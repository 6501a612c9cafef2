/** Photos taken at hold points and of a manual's pages. They stay on this phone, and are in an export only where that is asked for. */

import { openDB, type DBSchema, type IDBPDatabase } from "idb";

/** A photo as it is laid down. */
interface Laid {
  /** Absent once it is cleared. */
  picture?: Blob;
  /** When it was kept, and when it was cleared, in milliseconds of the Unix epoch. */
  at?: number;
  cleared?: number;
  /** Since when no document has spoken of it. */
  loose?: number;
}

interface Schema extends DBSchema {
  /** Earlier versions laid down the picture alone. */
  photos: { key: string; value: Laid | Blob };
}

/** A photo that is here. */
export interface Photo {
  id: string;
  /** When it was kept; undefined where an earlier version did not say. */
  at: number | undefined;
  picture: Blob;
}

/** The longer side of a kept photo, in pixels: enough to read a gauge, and a page of print. */
const LONGEST = 1280;
export const LONGEST_PAGE = 2000;

/** How long a photo that no document speaks of is kept: until then a removal may be taken back, here or on another phone. */
const LOOSE_MS = 7 * 86_400_000;

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
export async function keepPhoto(file: Blob, now: number, longest = LONGEST): Promise<string> {
  const id = crypto.randomUUID();
  await lay(id, { picture: await redrawn(file, longest), at: now });
  return id;
}

/**
 * Takes in a photo of a saved copy; one that is here already stays. Reports
 * whether it was new. Rejects as keepPhoto does.
 */
export async function bringPhoto({ id, at, picture }: Photo): Promise<boolean> {
  if ((await laid(id))?.picture) {
    return false;
  }
  await lay(id, { picture: (await isPlain(picture)) ? picture : await redrawn(picture, LONGEST_PAGE), ...(at !== undefined && { at }) });
  return true;
}

/** The photo of an id; when it was cleared; undefined where this phone never had it. */
export async function photo(id: string): Promise<Blob | { cleared: number } | undefined> {
  const found = await laid(id);
  return found?.picture ?? (found?.cleared === undefined ? undefined : { cleared: found.cleared });
}

/** Every photo that is here. */
export async function allPhotos(): Promise<Photo[]> {
  return (await everything()).flatMap(([id, { picture, at }]) => (picture ? [{ id, at, picture }] : []));
}

/** Clears photos for good; that they were here, and when they went, is kept. */
export async function clearPhotos(ids: string[], now: number): Promise<void> {
  await change(ids.map((id) => [id, { cleared: now }]));
}

/**
 * Lets go of photos that no document has spoken of for a week. `spoken` are the
 * ids that documents speak of now. Returns how many went.
 */
export async function letGo(spoken: Set<string>, now: number): Promise<number> {
  const changes: [string, Laid | undefined][] = [];
  for (const [id, { loose, ...rest }] of await everything()) {
    if (spoken.has(id)) {
      if (loose !== undefined) changes.push([id, rest]);
    } else if (loose === undefined) {
      changes.push([id, { ...rest, loose: now }]);
    } else if (now - loose >= LOOSE_MS) {
      changes.push([id, undefined]);
    }
  }
  await change(changes);
  return changes.filter(([, next]) => next === undefined).length;
}

async function laid(id: string): Promise<Laid | undefined> {
  return whole(await (await photos()).get("photos", id));
}

async function everything(): Promise<[id: string, photo: Laid][]> {
  const tx = (await photos()).transaction("photos");
  const [ids, values] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
  return ids.map((id, at) => [id, whole(values[at]) ?? {}]);
}

function whole(value: Laid | Blob | undefined): Laid | undefined {
  return value instanceof Blob ? { picture: value } : value;
}

async function lay(id: string, value: Laid): Promise<void> {
  await change([[id, value]]);
}

/** Lays down all of the changes, undefined takes a photo away; resolves once they are on disk. */
async function change(changes: [id: string, value: Laid | undefined][]): Promise<void> {
  if (changes.length === 0) {
    return;
  }
  // Strict, as for the journal: a document that speaks of a photo must find it.
  const tx = (await photos()).transaction("photos", "readwrite", { durability: "strict" });
  await Promise.all([...changes.map(([id, value]) => (value === undefined ? tx.store.delete(id) : tx.store.put(value, id))), tx.done]);
}

/** Whether a picture is one of ours: a JPEG no larger than a page, with no camera's data in it. */
async function isPlain(picture: Blob): Promise<boolean> {
  const head = new Uint8Array(await picture.slice(0, 65_536).arrayBuffer());
  const jpeg = head[0] === 0xff && head[1] === 0xd8;
  const camera = head.some((byte, at) => byte === 0xff && head[at + 1] === 0xe1);
  const whole = await createImageBitmap(picture);
  const small = Math.max(whole.width, whole.height) <= LONGEST_PAGE;
  whole.close();
  return jpeg && !camera && small;
}

async function redrawn(file: Blob, longest: number): Promise<Blob> {
  const whole = await createImageBitmap(file);
  const scale = Math.min(1, longest / Math.max(whole.width, whole.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(whole.width * scale));
  canvas.height = Math.max(1, Math.round(whole.height * scale));
  canvas.getContext("2d")?.drawImage(whole, 0, 0, canvas.width, canvas.height);
  whole.close();
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("the picture could not be drawn"))), "image/jpeg", 0.72);
  });
}
