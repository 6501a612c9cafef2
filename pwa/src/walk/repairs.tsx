/** What was repaired while a list was worked through, dated, with who says so. */

import { wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { phonesOf } from "./phones.ts";
import type { Walk } from "./walk.ts";
import { when } from "./when.ts";

export function Repairs({ walk, device }: { walk: Walk; device: string }) {
  const repairs = Object.entries(walk.repairs ?? {}).sort(([, a], [, b]) => (a.at ?? 0) - (b.at ?? 0));
  if (repairs.length === 0) {
    return null;
  }
  const phones = phonesOf(walk, device);
  return (
    <section aria-labelledby="repairs-heading" class="repairs">
      <h2 id="repairs-heading">{t("repairs.title")}</h2>
      <ul class="plain">
        {repairs.map(([id, { failure, at, by }]) => (
          <li key={id}>
            <strong>{wordFor(`trouble.${failure}.name`)}</strong> <span class="quiet">{t("repairs.noted", { when: when(at), by: (by && phones.get(by)) ?? t("repairs.somebody") })}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
