/** The proof of a hold point: a photo that stays on this phone, or what was seen, in words. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Tick } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { keepPhoto, photo } from "./photos.ts";
import { useTyped } from "./use-typed.ts";
import { t } from "../words/text.ts";

interface Props {
  /** The document and the pointer of the note. */
  place: string;
  own: Tick;
  /** Keeps what was seen; answers why not, in words. */
  onSee: (seen: Partial<Pick<Tick, "note" | "photo">>) => Promise<string | undefined>;
}

export function PhotoOrNote({ place, own, onSee }: Props) {
  const id = useId();
  const { input, why } = useTyped(place, own.note ?? "", (note) => onSee({ note }));
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
      setFailed(t(full ? "photo.full" : "photo.unread"));
    }
    if (file.current) {
      file.current.value = ""; // the same file may be chosen again
    }
  };
  return (
    <div class="photo">
      {own.photo && <ShownPhoto id={own.photo} />}
      <button type="button" class="wide" data-proof onClick={() => file.current?.click()}>
        <Icon name="photo" /> {t(own.photo ? "photo.another" : "photo.take")}
      </button>
      <input ref={file} type="file" accept="image/*" capture="environment" hidden onChange={() => void take()} />
      <p class="hint">{t("photo.hint")}</p>
      <p class="wrong" role="alert">{failed}</p>
      <label for={id}>{t("photo.note")}</label>
      <input {...input} id={id} maxLength={600} aria-describedby={`${id}-why`} />
      <p class="wrong" id={`${id}-why`} role="status">{why}</p>
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
      <canvas ref={canvas} class="shown-photo" role="img" aria-label={t("photo.here")} hidden={state !== "here"} />
      {state === "elsewhere" && <p class="hint">{t("photo.elsewhere")}</p>}
    </>
  );
}
