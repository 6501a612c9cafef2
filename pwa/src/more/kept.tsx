/** What this device keeps, and how it goes elsewhere as a file. */

import { useEffect, useRef, useState } from "preact/hooks";
import { dayOf } from "../departure/trip.ts";
import { bringPhotos, withPhotos } from "../photos/photo-file.ts";
import { megabytes, PhotosHere, usePhotos } from "../photos/photos-here.tsx";
import { bytesOf } from "../photos/spoken.ts";
import { StoreFault } from "../store/fault.ts";
import type { Store } from "../store/store.ts";
import { useDocuments, useStanding } from "../store/use-store.ts";
import { showNumber } from "../words/format.ts";
import { t } from "../words/text.ts";

export function KeptHere({ store }: { store: Store }) {
  const standing = useStanding(store);
  const [rigs, walks, tests] = [useDocuments(store, "rig"), useDocuments(store, "walk"), useDocuments(store, "test")];
  const used = useUsed();
  // Counts what may have changed the photos, so that they are read again.
  const [changed, setChanged] = useState(0);
  const photos = usePhotos(changed) ?? [];
  const [taking, setTaking] = useState(false);
  const [said, setSaid] = useState("");
  const [failed, setFailed] = useState("");
  const file = useRef<HTMLInputElement>(null);

  const save = async () => {
    const text = await store.exportAll();
    const link = document.createElement("a");
    link.href = URL.createObjectURL(taking && photos.length > 0 ? await withPhotos(text) : new Blob([text], { type: "application/json" }));
    link.download = `pintail-${dayOf(new Date())}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    setSaid(t("kept.saved"));
  };
  const bring = async () => {
    const chosen = file.current?.files?.[0];
    setFailed("");
    setSaid("");
    if (!chosen) return;
    try {
      const text = await chosen.text();
      const { edits, documents } = await store.importAll(text);
      const { fresh, unread } = await bringPhotos(text);
      const brought = edits > 0 ? [t("kept.brought", { edits, documents })] : fresh === 0 ? [t("kept.same")] : [];
      setSaid([...brought, ...(fresh > 0 ? [t("kept.photos_brought", { n: fresh })] : []), ...(unread > 0 ? [t("kept.photos_unread", { n: unread })] : [])].join(" "));
      setChanged((times) => times + 1);
    } catch (reason) {
      const full = reason instanceof DOMException && reason.name === "QuotaExceededError";
      setFailed(reason instanceof StoreFault ? reason.message : t(full ? "photo.full" : "kept.unread"));
    } finally {
      if (file.current) file.current.value = "";
    }
  };
  return (
    <>
      <section aria-labelledby="kept-heading">
        <h2 id="kept-heading">{t("kept.title")}</h2>
        <dl class="versions">
          <div><dt>{t("kept.rigs")}</dt><dd>{rigs?.length ?? "…"}</dd></div>
          <div><dt>{t("kept.records")}</dt><dd>{walks && tests ? walks.length + tests.length : "…"}</dd></div>
          <div><dt>{t("kept.waiting")}</dt><dd>{standing.waiting}</dd></div>
          {used !== undefined && <div><dt>{t("kept.space")}</dt><dd>{showNumber(used / 1e6)} MB</dd></div>}
        </dl>
        {standing.aside.length > 0 && (
          <p class="note tone-mind"><span>{t("kept.aside", { n: standing.aside.length, why: standing.aside[0]?.detail ?? "" })}</span></p>
        )}
        <p class="quiet">
          {standing.persistent
            ? t("kept.persistent")
            : t("kept.may_clear")}
        </p>
        {photos.length > 0 && (
          <label class="tick">
            <input type="checkbox" checked={taking} onChange={(event) => setTaking(event.currentTarget.checked)} />
            <span>{t("kept.photos", { n: photos.length, mb: megabytes(bytesOf(photos)) })}</span>
          </label>
        )}
        <div class="buttons">
          <button type="button" class="primary" onClick={() => void save().catch(() => setFailed(t("kept.unsaved")))}>{t("kept.save")}</button>
          <button type="button" onClick={() => file.current?.click()}>{t("kept.bring")}</button>
        </div>
        <input ref={file} type="file" accept=".json,application/json" hidden aria-label={t("kept.file")} onChange={() => void bring()} />
        <p class="hint">{t("kept.hint")}</p>
        <p role="status">{said}</p>
        {failed && <p class="problem" role="alert">{failed}</p>}
      </section>
      <PhotosHere store={store} asked={changed} onCleared={() => setChanged((times) => times + 1)} />
    </>
  );
}

function useUsed(): number | undefined {
  const [used, setUsed] = useState<number>();
  useEffect(() => {
    navigator.storage?.estimate?.().then(({ usage }) => setUsed(usage), () => {});
  }, []);
  return used;
}
