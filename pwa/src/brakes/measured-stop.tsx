/** Leads through measuring a stop: first that it is safe, then what stops, then the figures. One question at a time. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import { dayOf } from "../departure/trip.ts";
import { Icon } from "../marks/icon.tsx";
import { valueAt, type JsonObject, type Write } from "../store/journal.ts";
import { currentReader } from "../words/reader.ts";
import { t, textOf } from "../words/text.ts";
import { isBehindTwenty, readMeasured, type Measured } from "./measured.ts";

interface Props {
  rig: JsonObject;
  /** Keeps the writes; answers why not, in words. */
  onWrite: (writes: Write[]) => Promise<string | undefined>;
}

const STEPS = ["safe", "way", "figures"] as const;
type Step = "closed" | (typeof STEPS)[number];

export function MeasuredStop({ rig, onWrite }: Props) {
  const [step, setStep] = useState<Step>("closed");
  const [safe, setSafe] = useState(false);
  const [said, setSaid] = useState("");
  const [stop, setStop] = useState<Measured>(() => ({ of: "alone", speed: "", distance: "", on: dayOf(new Date()) }));
  const heading = useRef<HTMLHeadingElement>(null);
  const begin = useRef<HTMLButtonElement>(null);
  const before = useRef(step);
  useEffect(() => {
    if (before.current !== step) (step === "closed" ? begin : heading).current?.focus();
    before.current = step;
  }, [step]);
  const close = (words: string) => {
    setSaid(words);
    setSafe(false);
    setStep("closed");
  };
  const pair = valueAt(rig, "/brake_unit/fitted") === true ? "stop.pair_with_unit" : "stop.pair";
  if (step === "closed") {
    return (
      <div class="measured-stop">
        <button type="button" class="wide" ref={begin} onClick={() => setStep("safe")}>{t("stop.begin")}</button>
        <p role="status">{said}</p>
      </div>
    );
  }
  return (
    <section class="measured-stop open">
      <p class="kicker">{t("stop.step", { n: STEPS.indexOf(step) + 1 })}</p>
      <h3 ref={heading} tabIndex={-1}>{t(`stop.${step}`)}</h3>
      {step === "safe" && (
        <>
          <Sentences named="stop.safe" />
          <label class="choice"><input type="checkbox" checked={safe} onChange={(event) => setSafe(event.currentTarget.checked)} /> <span>{t("stop.all_so")}</span></label>
          <Buttons next={safe ? t("stop.next") : undefined} onNext={() => setStep("way")} onCancel={() => close("")} />
        </>
      )}
      {step === "way" && (
        <>
          <Switch
            label={t("stop.way")} value={stop.of} onChange={(of) => setStop({ ...stop, of })}
            options={[["alone", t("stop.alone")], ["pair", t(pair)]]}
          />
          <p><strong>{t(stop.of === "alone" ? "stop.alone.first" : `${pair}.first`)}</strong></p>
          <Sentences named="stop.way" />
          <Buttons next={t("stop.next")} onNext={() => setStep("figures")} onBack={() => setStep("safe")} onCancel={() => close("")} />
        </>
      )}
      {step === "figures" && <Figures rig={rig} stop={stop} onType={(part) => setStop({ ...stop, ...part })} onWrite={onWrite} onBack={() => setStep("way")} onClose={close} />}
    </section>
  );
}

interface FiguresProps extends Props {
  stop: Measured;
  onType: (part: Partial<Measured>) => void;
  onBack: () => void;
  /** Closes, with what is to be said. */
  onClose: (said: string) => void;
}

function Figures({ rig, stop, onType, onWrite, onBack, onClose }: FiguresProps) {
  const id = useId();
  const [wrong, setWrong] = useState<Partial<Record<"speed" | "distance" | "on" | "all", string>>>({});
  const keep = async () => {
    const read = readMeasured(rig, stop, currentReader().units);
    if (!read.ok) {
      setWrong(read.wrong);
      return;
    }
    const behind = isBehindTwenty(rig, stop, read.writes);
    const refused = await onWrite(read.writes);
    if (refused === undefined) onClose(t(behind ? "stop.kept_behind" : "stop.kept"));
    else setWrong({ all: refused });
  };
  const figure = (name: "speed" | "distance", label: string) => (
    <div class="field">
      <label for={`${id}-${name}`}>{label}</label>
      <input
        id={`${id}-${name}`} type="text" autocomplete="off" value={stop[name]} aria-invalid={wrong[name] !== undefined} aria-describedby={`${id}-${name}-wrong`}
        onInput={(event) => onType({ [name]: event.currentTarget.value })}
      />
      <p class="wrong" id={`${id}-${name}-wrong`} role="status">{wrong[name]}</p>
    </div>
  );
  const us = currentReader().units === "us";
  return (
    <form onSubmit={(event) => { event.preventDefault(); void keep(); }}>
      <p class="hint">{t("stop.shortest")}</p>
      {figure("speed", t("stop.speed", { unit: us ? "mph" : "km/h" }))}
      {figure("distance", t("stop.distance", { unit: us ? "ft" : "m" }))}
      <div class="field">
        <label for={`${id}-on`}>{t("stop.on")}</label>
        <input id={`${id}-on`} type="date" value={stop.on} aria-invalid={wrong.on !== undefined} aria-describedby={`${id}-on-wrong`} onChange={(event) => onType({ on: event.currentTarget.value })} />
        <p class="wrong" id={`${id}-on-wrong`} role="status">{wrong.on}</p>
      </div>
      <p class="wrong" role="alert">{wrong.all && t("field.not_kept", { why: wrong.all })}</p>
      <div class="buttons">
        <button type="submit" class="primary">{t("stop.keep")}</button>
        <button type="button" onClick={onBack}>{t("stop.back")}</button>
        <button type="button" onClick={() => onClose("")}>{t("add.cancel")}</button>
      </div>
    </form>
  );
}

/** The sentences named so, in their order. */
function Sentences({ named }: { named: string }) {
  const all: string[] = [];
  for (let text = textOf(`${named}.1`); text !== undefined; text = textOf(`${named}.${all.length + 1}`)) all.push(text);
  return <ol class="stop-steps">{all.map((text) => <li key={text}>{text}</li>)}</ol>;
}

function Buttons({ next, onNext, onBack, onCancel }: { next: string | undefined; onNext: () => void; onBack?: () => void; onCancel: () => void }) {
  return (
    <div class="buttons">
      <button type="button" class="primary" disabled={next === undefined} onClick={onNext}>{next ?? t("stop.next")} <Icon name="down" /></button>
      {onBack && <button type="button" onClick={onBack}>{t("stop.back")}</button>}
      <button type="button" onClick={onCancel}>{t("add.cancel")}</button>
    </div>
  );
}
