/** A figure read at a step, judged as soon as it is entered. */

import { useId, useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { Stand, Tick } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { plainly, showParam } from "../words/format.ts";
import { currentReader } from "../words/reader.ts";
import { t } from "../words/text.ts";
import { readNumber } from "../words/typed.ts";
import { TypedInput } from "./typed-input.tsx";

interface Props {
  stand: Stand;
  own: Tick;
  onRead: (reading: NonNullable<Tick["reading"]>) => void;
}

export function ReadingInput({ stand, own, onRead }: Props) {
  const id = useId();
  const range = stand.step.reading;
  const volts = range?.of === "battery_volts";
  const before = own.reading?.temperature;
  const [unit, setUnit] = useState<"f" | "c">(before ? (before.c === undefined ? "f" : "c") : currentReader().units === "us" ? "f" : "c");
  const [wrong, setWrong] = useState("");
  const read = (typed: string, as: "f" | "c") => {
    if (typed.trim() === "") {
      setWrong("");
      return;
    }
    const number = volts ? readNumber(typed, "v", 0, 60) : as === "f" ? readNumber(typed, "f", -60, 2000) : readNumber(typed, "c", -51, 1093);
    setWrong(number.ok ? "" : number.why);
    if (number.ok) onRead(volts ? { volts: number.value } : { temperature: { [as]: number.value } });
  };
  const shown = volts ? own.reading?.volts : before?.[unit];
  const judged = stand.readings ?? [];
  const limit = range?.least_v !== undefined ? t("reading.least", { figure: `${range.least_v} V` }) : range?.most && t("reading.most", { figure: say(showParam({ temperature: range.most })) });
  return (
    <div class="reading">
      <label for={id}>{t(volts ? "reading.volts" : "reading.hub")}{limit && t("reading.limit", { limit })}</label>
      <div class="figure-input">
        <TypedInput
          id={id}
          data-proof
          inputmode={volts ? "decimal" : "text"}
          value={String(shown ?? "")}
          aria-invalid={wrong !== ""}
          aria-describedby={`${id}-wrong`}
          onTyped={(typed) => read(typed, unit)}
        />
        {volts ? <span class="unit">V</span> : (
          <Switch label={t("reading.unit")} value={unit} options={[["f", "°F"], ["c", "°C"]]} onChange={setUnit} />
        )}
      </div>
      <p class="wrong" id={`${id}-wrong`} role="status">{wrong}</p>
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
