/** The expected picture of one step: drawn, said in words, and as a table with volts and light. */

import { useId, useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { ExpectedPicture, LightTestReport, LightTestStep } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { pointerInWords } from "../words/pointer.ts";
import { sentenceOf } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { capital, gets, lampName, lookWords } from "./look-words.ts";
import { blinks, rearLampsOf, unknownMake } from "./look.ts";
import { layOut } from "./rear-layout.ts";
import { RearView } from "./rear-view.tsx";

interface Props {
  test: LightTestReport;
  step: LightTestStep;
  picture: ExpectedPicture;
}

/** What all lamps should do. */
export function Expected(props: Props) {
  return (
    <>
      <Pictures {...props} />
      <details class="folded small">
        <summary><Icon name="chevron" size={18} /> {t("lamps.in_words")}</summary>
        <LampTable picture={props.picture} />
      </details>
    </>
  );
}

/** Where nobody has recorded which of hazard and brake wins there are two pictures, and either passes. */
export function WhichWins({ step, won, onWon }: { step: LightTestStep; won: number; onWon: (won: number) => void }) {
  return step.expect.length < 2 ? null : (
    <>
      <p class="hint">{t("lamps.either")}</p>
      <Switch label={t("lamps.which")} value={String(won)} options={step.expect.map((one, n) => [String(n), textOf(`lamps.wins.${one.hazard_and_brake}`) ?? String(n + 1)])} onChange={(n) => onWon(Number(n))} />
    </>
  );
}

function Pictures({ test, step, picture }: Props) {
  const [moving, setMoving] = useState(() => !matchMedia("(prefers-reduced-motion: reduce)").matches);
  const rearLamps = rearLampsOf(test);
  const label = (half?: string) => t(half ? "lamps.picture_half" : "lamps.picture", { step: sentenceOf(step.says), half: half ?? "" });
  if (!blinks(picture)) {
    return <figure class="rear"><RearView picture={picture} rearLamps={rearLamps} half="lit" label={label()} /></figure>;
  }
  return (
    <>
      <Switch label={t("lamps.flash")} value={moving ? "moving" : "still"} options={[["moving", t("lamps.flash_moving")], ["still", t("lamps.flash_still")]]} onChange={(value) => setMoving(value === "moving")} />
      {moving ? (
        <figure class="rear flashes"><RearView picture={picture} rearLamps={rearLamps} label={label()} /></figure>
      ) : (
        <div class="halves">
          {(["lit", "dark"] as const).map((half) => (
            <figure class="rear" key={half}>
              <figcaption>{t(`lamps.half.${half}`)}</figcaption>
              <RearView picture={picture} rearLamps={rearLamps} half={half} label={label(t(`lamps.half.${half}`))} />
            </figure>
          ))}
        </div>
      )}
    </>
  );
}

/** The same as the picture shows, and what each lamp gets. */
function LampTable({ picture }: { picture: ExpectedPicture }) {
  const flashes = picture.lamps.some(({ dark }) => dark);
  const { elsewhere } = layOut(picture.lamps);
  return (
    <table class="wiring-table lamp-table">
      <caption>{t("lamps.table")}</caption>
      <thead>
        <tr>
          <th scope="col">{t("wiring.lamp")}</th>
          <th scope="col">{t("lamps.should")}</th>
          <th scope="col">{t(flashes ? "lamps.half.lit" : "lamps.figures")}</th>
          {flashes && <th scope="col">{t("lamps.half.dark")}</th>}
        </tr>
      </thead>
      <tbody>
        {picture.lamps.map((lamp) => (
          <tr key={lamp.lamp} data-row={lamp.lamp}>
            <th scope="row">{capital(lampName(lamp.lamp))}{elsewhere.includes(lamp) && <span class="quiet"> {t("lamps.elsewhere")}</span>}</th>
            <td data-column={t("lamps.should")}>{lookWords(lamp)}{lamp.hidden && <span class="quiet"> {t("lamps.hidden")}</span>}</td>
            <td data-column={t(flashes ? "lamps.half.lit" : "lamps.figures")}>{gets(lamp.lit)}</td>
            {flashes && <td data-column={t("lamps.half.dark")}>{lamp.dark ? gets(lamp.dark) : ""}</td>}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** What the picture rests on: without the make of the harness it is only that of a typical one, and says so. */
export function RestsOn({ test, rig }: { test: LightTestReport; rig: string }) {
  const unknown = unknownMake(test);
  const typical = test.values.filter(({ how }) => how === "template").length;
  return (
    <>
      {unknown.length > 0 && (
        <div class="note tone-find_out rests-on">
          <span>
            <strong><VerdictMark verdict="find_out" /> {t("verdict.find_out")}</strong> {t("lamps.unknown_make", { fields: unknown.map(pointerInWords).join("; ") })}
          </span>
          {rig.startsWith("rig/") && <a class="button" href={`#${rig}/lamps`}>{t("lamps.to_rig")} <Icon name="chevron" size={18} /></a>}
        </div>
      )}
      {typical > 0 && <p class="hint">{t("lamps.typical", { n: typical, of: test.values.length })}</p>}
    </>
  );
}

/** Chooses a step of the light test, by name or one after the other. */
export function StepPicker({ test, step, onStep }: { test: LightTestReport; step: LightTestStep; onStep: (step: LightTestStep) => void }) {
  const id = useId();
  const at = test.steps.indexOf(step);
  const go = (by: number) => {
    const next = test.steps[(at + by + test.steps.length) % test.steps.length];
    if (next) onStep(next);
  };
  return (
    <div class="step-picker">
      <label for={id}>{t("lamps.step")}</label>
      <div>
        <button type="button" class="only-icon" aria-label={t("lamps.step_before")} onClick={() => go(-1)}><Icon name="back" /></button>
        <select id={id} value={step.step} onChange={({ currentTarget }) => onStep(test.steps.find((one) => one.step === currentTarget.value) ?? step)}>
          {test.steps.map((one) => <option key={one.step} value={one.step}>{sentenceOf(one.says)}</option>)}
        </select>
        <button type="button" class="only-icon turned" aria-label={t("lamps.step_after")} onClick={() => go(1)}><Icon name="back" /></button>
      </div>
    </div>
  );
}
