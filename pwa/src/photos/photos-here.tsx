/** The photos of this phone: how much room they take, and clearing old ones without touching a record. */

import { useEffect, useId, useState } from "preact/hooks";
import type { Store } from "../store/store.ts";
import { useDocuments } from "../store/use-store.ts";
import { showNumber } from "../words/format.ts";
import { t } from "../words/text.ts";
import { allPhotos, clearPhotos, type Photo } from "./photos.ts";
import { bytesOf, spokenOf, toClear, type Which } from "./spoken.ts";

const CHOICES: { [name: string]: Which } = {
  d30: { older_days: 30 }, d90: { older_days: 90 }, d365: { older_days: 365 },
  m50: { leave_bytes: 50e6 }, m10: { leave_bytes: 10e6 }, all: "all",
};

/** The photos that are here; undefined until they are read, or where the browser keeps none. */
export function usePhotos(asked: number): Photo[] | undefined {
  const [photos, setPhotos] = useState<Photo[]>();
  useEffect(() => void allPhotos().then(setPhotos, () => {}), [asked]);
  return photos;
}

export function megabytes(bytes: number): string {
  return showNumber(Math.max(0.01, bytes / 1e6));
}

export function PhotosHere({ store, asked, onCleared }: { store: Store; asked: number; onCleared: () => void }) {
  const id = useId();
  const photos = usePhotos(asked);
  const [walks, rigs] = [useDocuments(store, "walk"), useDocuments(store, "rig")];
  const [chosen, setChosen] = useState("");
  const [said, setSaid] = useState("");
  const [failed, setFailed] = useState("");
  if (!photos || !walks || !rigs) {
    return null;
  }
  const which = CHOICES[chosen];
  const going = which && toClear(photos, spokenOf(walks, rigs), which, Date.now());
  const clear = async (gone: Photo[]) => {
    try {
      await clearPhotos(gone.map((photo) => photo.id), Date.now());
      setFailed("");
      setSaid(t("photos.cleared", { n: gone.length }));
      setChosen("");
      onCleared();
    } catch {
      setFailed(t("photos.failed"));
    }
  };
  return (
    <section aria-labelledby={`${id}-heading`}>
      <h2 id={`${id}-heading`}>{t("photos.title")}</h2>
      {photos.length === 0 ? (
        <p class="hint">{t("photos.none")}</p>
      ) : (
        <>
          <dl class="versions">
            <div><dt>{t("photos.count")}</dt><dd>{photos.length}</dd></div>
            <div><dt>{t("photos.space")}</dt><dd>{megabytes(bytesOf(photos))} MB</dd></div>
          </dl>
          <label for={`${id}-which`}>{t("photos.which")}</label>
          <select id={`${id}-which`} value={chosen} onChange={(event) => (setSaid(""), setChosen(event.currentTarget.value))}>
            <option value="">{t("photos.choose")}</option>
            {Object.entries(CHOICES).map(([name, one]) => <option key={name} value={name}>{wordsOf(one)}</option>)}
          </select>
          <div role="status">
            {going && <p class={going.length > 0 ? "note tone-mind" : "hint"}><span>{going.length > 0 ? t("photos.goes", { n: going.length, mb: megabytes(bytesOf(going)) }) : t("photos.nothing")}</span></p>}
          </div>
          {going && going.length > 0 && <button type="button" class="wide" onClick={() => void clear(going)}>{t("photos.clear", { n: going.length })}</button>}
          <p class="hint">{t("photos.loose")}</p>
        </>
      )}
      <p role="status">{said}</p>
      {failed && <p class="problem" role="alert">{failed}</p>}
    </section>
  );
}

function wordsOf(which: Which): string {
  return which === "all" ? t("photos.all") : "older_days" in which ? t("photos.older", { days: which.older_days }) : t("photos.leave", { mb: which.leave_bytes / 1e6 });
}
