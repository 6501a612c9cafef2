/** Photos of the manual's page that gives the permission: taken here, shown here, and large when pressed. */

import { useState } from "preact/hooks";
import { dayOf } from "../departure/trip.ts";
import { Icon } from "../marks/icon.tsx";
import { LONGEST_PAGE } from "../photos/photos.ts";
import { ShownPhoto } from "../photos/shown-photo.tsx";
import { TakePhoto } from "../photos/take-photo.tsx";
import { valueAt, type JsonObject, type Write } from "../store/journal.ts";
import { showDay } from "../words/format.ts";
import { t } from "../words/text.ts";

const AT = "/permission/page_photos";

interface Props {
  rig: JsonObject;
  /** Keeps the writes; answers why not, in words. */
  onWrite: (writes: Write[]) => Promise<string | undefined>;
}

export function PagePhotos({ rig, onWrite }: Props) {
  const [refused, setRefused] = useState("");
  const photos = (valueAt(rig, AT) ?? {}) as { [id: string]: { on?: string } };
  const pages = Object.entries(photos).sort(([, a], [, b]) => ((a.on ?? "") < (b.on ?? "") ? -1 : 1));
  const write = async (writes: Write[]) => setRefused((await onWrite(writes)) ?? "");
  return (
    <div class="rig-field page-photos">
      <span class="rig-label">{t("page_photos.title")}</span>
      <p class="hint">{t("page_photos.hint")}</p>
      <ul class="plain">
        {pages.map(([id, { on = "" }], at) => {
          const label = t("page_photos.one", { n: at + 1, on: showDay(on) });
          return (
            <li key={id}>
              <ShownPhoto id={id} label={label} />
              <span>{label}</span>
              <button type="button" class="only-icon quiet" aria-label={t("remove_one", { name: label })} onClick={() => void write([{ path: `${AT}/${id}`, removed: true }])}>
                <Icon name="remove" />
              </button>
            </li>
          );
        })}
      </ul>
      <TakePhoto
        words={t(pages.length > 0 ? "page_photos.another" : "page_photos.take")} instead={t("page_photos.instead")} longest={LONGEST_PAGE} earlier
        onKept={(id) => write([{ path: `${AT}/${id}/on`, value: dayOf(new Date()) }])}
      />
      <p class="wrong" role="alert">{refused}</p>
    </div>
  );
}
