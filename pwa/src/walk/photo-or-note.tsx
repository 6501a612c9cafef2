/** The proof of a hold point: a photo that stays on this phone, or what was seen, in words. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Tick } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { keepPhoto, photo } from "./photos.ts";

interface Props {
  own: Tick;
  onSee: (seen: Partial<Pick<Tick, "note" | "photo">>) => Promise<unknown>;
}

export function PhotoOrNote({ own, onSee }: Props) {
  const id = useId();
  const file = useRef<HTMLInputElement>(null);
  const [failed, setFailed] = useState("");
  const take = async () => {
    const chosen = file.current?.files?.[0];
    if (!chosen) {
      return;
    }
    try {
      setFailed("");
      await onSee({ photo: await keepPhoto(chosen) });
    } catch (reason) {
      const full = reason instanceof DOMException && reason.name === "QuotaExceededError";
      setFailed(full ? "This device has no room for the photo. Write what you saw instead." : "This picture cannot be read here. Write what you saw instead.");
    }
    if (file.current) {
      file.current.value = ""; // the same file may be chosen again
    }
  };
  return (
    <div class="photo">
      {own.photo && <ShownPhoto id={own.photo} />}
      <button type="button" class="wide" data-proof onClick={() => file.current?.click()}>
        <Icon name="photo" /> {own.photo ? "Take another photo" : "Take a photo"}
      </button>
      <input ref={file} type="file" accept="image/*" capture="environment" hidden onChange={() => void take()} />
      <p class="hint">It is made smaller, loses its place and time, and stays on this phone.</p>
      <p class="wrong" role="alert">{failed}</p>
      <label for={id}>Or write what you saw</label>
      <input
        id={id}
        type="text"
        maxLength={600}
        autocomplete="off"
        value={own.note ?? ""}
        onChange={(event) => void onSee({ note: event.currentTarget.value.trim() })}
      />
    </div>
  );
}

/** A kept photo, drawn: the page's policy allows no other way. */
export function ShownPhoto({ id }: { id: string }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [state, setState] = useState<"drawing" | "here" | "elsewhere">("drawing");
  useEffect(() => {
    let current = true;
    const draw = async () => {
      const kept = await photo(id).catch(() => undefined);
      const picture = kept && (await createImageBitmap(kept));
      if (!current || !canvas.current) return;
      if (picture) {
        canvas.current.width = picture.width;
        canvas.current.height = picture.height;
        canvas.current.getContext("2d")?.drawImage(picture, 0, 0);
        picture.close();
      }
      setState(picture ? "here" : "elsewhere");
    };
    void draw().catch(() => current && setState("elsewhere"));
    return () => {
      current = false;
    };
  }, [id]);
  return (
    <>
      <canvas ref={canvas} class="shown-photo" role="img" aria-label="Photo taken at this step" hidden={state !== "here"} />
      {state === "elsewhere" && <p class="hint">The photo is on the phone that took it.</p>}
    </>
  );
}
