/** The shop's test of its work without the motorhome: pin by pin, and what the car's own switches send back. */

import { useId } from "preact/hooks";
import { useHeading } from "../address.ts";
import type { BenchTest, TestRecord } from "../engine/types.ts";
import { useTyped } from "../walk/use-typed.ts";
import { Say, wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { readNumber } from "../words/typed.ts";
import { figureAt, figurePath, measured, type Figure } from "./bench.ts";
import { Finish } from "./finish.tsx";
import { capital, figure as shown, lampName } from "./look-words.ts";
import type { Working } from "./use-test.ts";

export function BenchPage({ bench, ...working }: Working & { bench: BenchTest }) {
  const { test, report, judged } = working;
  const heading = useHeading("bench");
  const notShown = judged?.record.not_shown ?? [];
  const isPin = (name: string) => bench.pins.some(({ pin }) => pin === name);
  const nameOf = (name: string) => (isPin(name) ? wordFor(`record.pin.${name}`) : lampName(name));
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("bench.test_of", { rig: test.run.rig_name })}</h1>
      <ul class="boxed">{report.before.map((one) => <li key={one.id}><Say text={one} /></li>)}</ul>
      <ol class="steps">{bench.do.map((one) => <li key={one.id}><Say text={one} /></li>)}</ol>
      {bench.pins.map(({ pin, a, ground_drop_v, lamps }) => (
        <fieldset key={pin} class="change" data-pin={pin}>
          <legend>{capital(wordFor(`record.pin.${pin}`))}</legend>
          <Measure {...working} figure={{ of: "a", pin }} label={t("bench.source")} unit="A" expected={shown(rounded(a), "A")} />
          {lamps.map(({ lamp, v }) => <Measure key={lamp} {...working} figure={{ of: "lamp", pin, lamp }} label={t("bench.lamp", { lamp: lampName(lamp) })} unit="V" expected={shown(rounded(v), "V")} wrong={notShown.includes(lamp)} />)}
          <Measure {...working} figure={{ of: "ground", pin }} label={t("bench.ground")} unit="V" expected={shown(rounded(ground_drop_v), "V")} />
        </fieldset>
      ))}
      {bench.back.map(({ switch: by, pins }) => (
        <fieldset key={by} class="change" data-switch={by}>
          <legend>{t(`bench.switch.${by}`)}</legend>
          {pins.map(({ pin }) => <Measure key={pin} {...working} figure={{ of: "back", pin, by }} label={capital(wordFor(`record.pin.${pin}`))} unit="V" expected={shown(0, "V")} />)}
        </fieldset>
      ))}
      <section aria-labelledby="after-heading">
        <h2 id="after-heading">{t("lamps.after")}</h2>
        <ul class="boxed">{report.after.map((one) => <li key={one.id}><Say text={one} /></li>)}</ul>
        {judged && <p role="status"><Say text={judged.says} />{notShown.length > 0 && ` ${t("bench.wrong", { names: notShown.map(nameOf).join("; ") })}`}</p>}
        <Finish {...working} open={0} />
      </section>
    </>
  );
}

/** One figure of the bench, with what the plan expects of it. */
function Measure({ id: doc, test, write, figure, label, unit, expected, wrong = false }: Working & { figure: Figure; label: string; unit: "A" | "V"; expected: string; wrong?: boolean }) {
  const id = useId();
  const kept = figureAt(test, figure);
  const { input, why } = useTyped(`test/${doc}${figurePath(figure)}`, kept === undefined ? "" : String(kept), async (typed) => {
    const number = typed === "" ? undefined : readNumber(typed, unit === "A" ? "a" : "v", unit === "A" ? -100 : -60, unit === "A" ? 100 : 60);
    if (number?.ok === false) {
      return number.why;
    }
    return (await write(measured(figure, number?.value))) ? undefined : t("trace.not_taken");
  });
  return (
    <div class="reading">
      <label for={id}>{label} <span class="quiet">{t("bench.expected", { figure: expected })}</span></label>
      <div class="figure-input">
        <input {...input} id={id} inputmode="decimal" aria-invalid={why !== ""} aria-describedby={`${id}-why`} />
        <span class="unit">{unit}</span>
      </div>
      <p class="wrong" id={`${id}-why`} role="status">{why || (wrong && kept !== undefined ? t("lamps.state.wrong") : "")}</p>
    </div>
  );
}

const rounded = (value: number) => Math.round(value * 100) / 100;

/** The figures of a record, pin by pin and switch by switch. */
export function BenchSeen({ bench }: { bench: NonNullable<TestRecord["bench"]> }) {
  const volts = (v: number | undefined) => (v === undefined ? t("bench.none") : shown(v, "V"));
  return (
    <ul class="plain">
      {bench.pins?.map(({ pin, a, ground_drop_v, lamps = [] }) => (
        <li key={pin}>
          <strong>{capital(wordFor(`record.pin.${pin}`))}</strong>: {a === undefined ? t("bench.none") : shown(a, "A")}; {t("bench.ground")} {volts(ground_drop_v)}
          {lamps.map(({ lamp, v }) => `; ${lampName(lamp)} ${volts(v)}`).join("")}
        </li>
      ))}
      {bench.back?.map(({ switch: by, pins = [] }) => (
        <li key={by}><strong>{t(`bench.switch.${by}`)}</strong>: {pins.map(({ pin, v }) => `${wordFor(`record.pin.${pin}`)} ${volts(v)}`).join("; ")}</li>
      ))}
    </ul>
  );
}
