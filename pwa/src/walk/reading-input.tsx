/** A figure read at a step, judged as soon as it is entered. */

import { useId, useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { Stand, Tick } from "../engine/types.ts";
import { unkeptAt } from "../keep/unkept.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { plainly, showParam } from "../words/format.ts";
import { currentReader } from "../words/reader.ts";
import { t } from "../words/text.ts";
import { readNumber } from "../words/typed.ts";
import { useTyped } from "./use-typed.ts";

interface Props {
  /** The document and the pointer of the reading. */
  place: string;
  stand: Stand;
  own: Tick;
  /** Keeps the reading; answers why not, in words. */
  onRead: (reading: NonNullable<Tick["reading"]>) => Promise<string | undefined>;
}

export function ReadingInput({ place, stand, own, onRead }: Props) {
  const id = useId();
  const range = stand.step.reading;
  const volts = range?.of === "battery_volts";
  const before = own.reading?.temperature;
  // A figure that is not kept yet stands under the unit it was typed in.
  const placeIn = (as: "f" | "c") => `${place}/${as}`;
  const [unit, setUnit] = useState<"f" | "c">(() => {
    const typedIn = (["f", "c"] as const).find((as) => unkeptAt(placeIn(as)) !== undefined);
    return typedIn ?? (before ? (before.c === undefined ? "f" : "c") : currentReader().units === "us" ? "f" : "c");
  });
  const shown = volts ? own.reading?.volts : before?.[unit];
  const { input, why } = useTyped(volts ? `${place}/volts` : placeIn(unit), String(shown ?? ""), async (typed) => {
    if (typed === "") {
      return undefined; // what was read before stands
    }
    const number = volts ? readNumber(typed, "v", 0, 60) : unit === "f" ? readNumber(typed, "f", -60, 2000) : readNumber(typed, "c", -51, 1093);
    return number.ok ? onRead(volts ? { volts: number.value } : { temperature: { [unit]: number.value } }) : number.why;
  });
  const judged = stand.readings ?? [];
  const limit = range?.least_v !== undefined ? t("reading.least", { figure: `${range.least_v} V` }) : range?.most && t("reading.most", { figure: say(showParam({ temperature: range.most })) });
  return (
    <div class="reading">
      <label for={id}>{t(volts ? "reading.volts" : "reading.hub")}{limit && t("reading.limit", { limit })}</label>
      <div class="figure-input">
        <input {...input} id={id} data-proof inputmode={volts ? "decimal" : "text"} aria-invalid={why !== ""} aria-describedby={`${id}-why`} />
        {volts ? <span class="unit">V</span> : (
          <Switch label={t("reading.unit")} value={unit} options={[["f", "°F"], ["c", "°C"]]} onChange={setUnit} />
        )}
      </div>
      <p class="wrong" id={`${id}-why`} role="status">{why}</p>
      {judged.map(({ device, taken, verdict }) => (
        <p key={device} class={`judged tone-${verdict}`} role="status">
          <VerdictMark verdict={verdict} /> {taken.volts !== undefined ? `${taken.volts} V` : say(showParam({ ...(taken.temperature && { temperature: taken.temperature }) }))}:{" "}
          <strong>{t(`verdict.${verdict}`)}</strong>
        </p>
      ))}
    </div>
  );
}

function say(shown: ReturnType<typeof showParam>): string {
  return shown ? plainly(shown) : "";
}
