/** The proof of a hold point: a photo that stays on this phone, or what was seen, in words. */

import { useId } from "preact/hooks";
import type { Tick } from "../engine/types.ts";
import { ShownPhoto } from "../photos/shown-photo.tsx";
import { TakePhoto } from "../photos/take-photo.tsx";
import { t } from "../words/text.ts";
import { useTyped } from "./use-typed.ts";

interface Props {
  /** What the step says to do. */
  step: string;
  /** The document and the pointer of the note. */
  place: string;
  own: Tick;
  /** Keeps what was seen; answers why not, in words. */
  onSee: (seen: Partial<Pick<Tick, "note" | "photo">>) => Promise<string | undefined>;
}

export function PhotoOrNote({ step, place, own, onSee }: Props) {
  const id = useId();
  const { input, why } = useTyped(place, own.note ?? "", (note) => onSee({ note }));
  return (
    <div class="photo">
      {own.photo && <ShownPhoto key={own.photo} id={own.photo} label={t("photo.at_step", { step })} />}
      <TakePhoto words={t(own.photo ? "photo.another" : "photo.take")} instead={t("photo.write")} onKept={(photo) => onSee({ photo })} />
      <label for={id}>{t("photo.note")}</label>
      <input {...input} id={id} maxLength={600} aria-describedby={`${id}-why`} />
      <p class="wrong" id={`${id}-why`} role="status">{why}</p>
    </div>
  );
}
