/** The button that takes a photo, and says why one could not be kept. */

import { useRef, useState } from "preact/hooks";
import { Icon } from "../marks/icon.tsx";
import { t } from "../words/text.ts";
import { keepPhoto } from "./photos.ts";

interface Props {
  words: string;
  /** What else a person can do where the photo cannot be kept. */
  instead: string;
  /** The longer side it is kept with, in pixels. */
  longest?: number;
  /** Whether a picture taken earlier will do as well. */
  earlier?: boolean;
  onKept: (id: string) => Promise<unknown>;
}

export function TakePhoto({ words, instead, longest, earlier = false, onKept }: Props) {
  const file = useRef<HTMLInputElement>(null);
  const [failed, setFailed] = useState("");
  const take = async () => {
    const chosen = file.current?.files?.[0];
    if (!chosen) {
      return;
    }
    try {
      setFailed("");
      await onKept(await keepPhoto(chosen, Date.now(), longest));
    } catch (reason) {
      const full = reason instanceof DOMException && reason.name === "QuotaExceededError";
      setFailed(`${t(full ? "photo.full" : "photo.unread")} ${instead}`);
    }
    if (file.current) {
      file.current.value = ""; // the same file may be chosen again
    }
  };
  return (
    <>
      <button type="button" class="wide" data-proof onClick={() => file.current?.click()}>
        <Icon name="photo" /> {words}
      </button>
      <input ref={file} type="file" accept="image/*" {...(!earlier && { capture: "environment" as const })} hidden onChange={() => void take()} />
      <p class="hint">{t("photo.hint")}</p>
      <p class="wrong" role="alert">{failed}</p>
    </>
  );
}
