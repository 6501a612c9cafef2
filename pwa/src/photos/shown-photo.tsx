/** A kept photo, small among the words, and large when it is pressed. */

import { useEffect, useRef, useState } from "preact/hooks";
import { Icon } from "../marks/icon.tsx";
import { when } from "../walk/when.ts";
import { t } from "../words/text.ts";
import { photo } from "./photos.ts";

type State = { at: "drawing" | "here" | "elsewhere" } | { at: "cleared"; when: number };

/** `label` says what is on it, for those who cannot see it. */
export function ShownPhoto({ id, label }: { id: string; label: string }) {
  const [small, state] = useDrawn(id);
  const [large, setLarge] = useState(false);
  return (
    <>
      <button type="button" class="photo-button" aria-label={t("photo.open", { label })} hidden={state.at !== "here"} onClick={() => setLarge(true)}>
        <canvas ref={small} class="shown-photo" aria-hidden="true" />
      </button>
      {state.at === "elsewhere" && <p class="hint">{t("photo.elsewhere")}</p>}
      {state.at === "cleared" && <p class="hint">{t("photo.cleared", { when: when(state.when) })}</p>}
      {large && <LargePhoto id={id} label={label} onClose={() => setLarge(false)} />}
    </>
  );
}

/** The photo in its own size, to be moved about: print stays readable. */
function LargePhoto({ id, label, onClose }: { id: string; label: string; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [canvas] = useDrawn(id);
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog ref={dialog} class="large-photo" aria-label={label} onClose={onClose}>
      <button type="button" class="primary" onClick={() => dialog.current?.close()}><Icon name="remove" /> {t("photo.close")}</button>
      {/* It scrolls, so the keyboard must reach it. */}
      <div class="large-photo-view" role="region" tabIndex={0} aria-label={label}>
        <canvas ref={canvas} role="img" aria-label={label} />
      </div>
    </dialog>
  );
}

/** Draws a photo: the page's policy allows no other way. */
function useDrawn(id: string) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [state, setState] = useState<State>({ at: "drawing" });
  useEffect(() => {
    let current = true;
    const draw = async (): Promise<State> => {
      const kept = await photo(id);
      if (!(kept instanceof Blob)) {
        return kept ? { at: "cleared", when: kept.cleared } : { at: "elsewhere" };
      }
      const picture = await createImageBitmap(kept);
      if (current && canvas.current) {
        canvas.current.width = picture.width;
        canvas.current.height = picture.height;
        canvas.current.getContext("2d")?.drawImage(picture, 0, 0);
      }
      picture.close();
      return { at: "here" };
    };
    draw().catch((): State => ({ at: "elsewhere" })).then((next) => current && setState(next));
    return () => {
      current = false;
    };
  }, [id]);
  return [canvas, state] as const;
}
