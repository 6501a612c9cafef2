/** The hilliest land of a use or a day. */

import { useId } from "preact/hooks";
import { t } from "../words/text.ts";

export type Terrain = "" | "level" | "hills" | "mountains";

export function TerrainChoice({ value, onChange }: { value: Terrain; onChange: (terrain: Terrain) => void }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{t("terrain")}</label>
      <select id={id} value={value} onChange={(event) => onChange(event.currentTarget.value as Terrain)}>
        <option value="">{t("not_known")}</option>
        {(["level", "hills", "mountains"] as const).map((of) => <option key={of} value={of}>{t(`terrain.${of}`)}</option>)}
      </select>
    </div>
  );
}
