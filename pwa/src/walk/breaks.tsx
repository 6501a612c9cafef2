/** Breaks: leaving, coming back, "did you leave it?", and touching again what holds. */

import { useLayoutEffect, useRef } from "preact/hooks";
import type { Stand } from "../engine/types.ts";
import { Say, sentenceOf } from "../words/say.tsx";
import type { Absence } from "./absence.ts";
import { PlacePicture } from "./place-picture.tsx";
import { Repairs } from "./repairs.tsx";
import type { Working } from "./run-page.tsx";
import { leaves, pointer, stationsOf, touched } from "./walk.ts";
import { when } from "./when.ts";
import { t } from "../words/text.ts";

/** The heading of a page that came unasked takes the focus, so that it is heard. */
function useFocus() {
  const heading = useRef<HTMLHeadingElement>(null);
  useLayoutEffect(() => heading.current?.focus(), []);
  return heading;
}

export function OnBreak({ absence, onBack }: { absence: Absence; onBack: () => void }) {
  const heading = useFocus();
  return (
    <section aria-labelledby="break-heading" class="break">
      <h2 id="break-heading" ref={heading} tabIndex={-1}>{t("break.away", { when: when(absence.left_at) })}</h2>
      <p>{t("break.kept")}</p>
      <button type="button" class="primary wide" onClick={onBack}>{t("break.back")}</button>
    </section>
  );
}

/** While the other phones are asked what they did meanwhile. */
export function Looking() {
  return <p class="hint empty" role="status">{t("break.looking")}</p>;
}

interface Asking {
  left_at?: number | undefined;
  back_at?: number | undefined;
  onAnswer: (left: boolean) => void;
}

function Ask({ left_at, back_at, onAnswer }: Asking) {
  const heading = useFocus();
  return (
    <section aria-labelledby="ask-heading" class="break">
      <h2 id="ask-heading" ref={heading} tabIndex={-1}>{t("break.ask")}</h2>
      <p>{t("break.was_away", { from: when(left_at), to: when(back_at) })}</p>
      <div class="lists">
        <button type="button" class="wide primary" onClick={() => onAnswer(true)}>{t("break.yes")}</button>
        <button type="button" class="wide" onClick={() => onAnswer(false)}>{t("break.no")}</button>
      </div>
    </section>
  );
}

function sayOf(left: boolean): string {
  return t(left ? "break.touch" : "break.goes_on");
}

/** Asks about this phone's own absence. The break is kept with its answer, and is then everybody's. */
export function AbsenceAsk({ write, absence, onSay, onAnswered }: Working & { absence: Absence; onSay: (words: string) => void; onAnswered: () => void }) {
  const { left_at, back_at } = absence;
  const answer = async (left: boolean) => {
    if (await write(leaves(pointer("breaks", crypto.randomUUID()), { left_at, back_at, left }))) {
      onSay(sayOf(left));
      onAnswered();
    }
  };
  return <Ask left_at={left_at} back_at={back_at} onAnswer={(left) => void answer(left)} />;
}

/** Asks about a break that was kept without its answer, as by another program. */
export function BreakAsk({ walk, write, id, onSay }: Working & { id: string; onSay: (words: string) => void }) {
  const answer = (left: boolean) => {
    onSay(sayOf(left));
    void write([{ path: `${pointer("breaks", id)}/left`, value: left }]);
  };
  return <Ask {...walk.breaks?.[id]} onAnswer={answer} />;
}

export function TouchAgain({ walk, write, device, stands, onSay }: Working & { stands: Stand[]; onSay: (words: string) => void }) {
  const heading = useFocus();
  const repaired = stands.some(({ because }) => because?.id === "walkround.test_again");
  const touch = async (stand: Stand) => {
    const rest = stands.filter((other) => other !== stand);
    await write(touched(walk, stand.step.id, device, Date.now()));
    onSay(rest[0] ? t(repaired ? "again.test_next" : "again.next", { step: sentenceOf(rest[0].step.do) }) : t("again.all"));
    if (rest.length > 0) heading.current?.focus();
  };
  return (
    <section aria-labelledby="again-heading" class="break">
      <h2 id="again-heading" ref={heading} tabIndex={-1}>{t(repaired ? "again.test_title" : "again.title")} <span class="count">{stands.length}</span></h2>
      <p>{t(repaired ? "again.test_hint" : "again.hint")}</p>
      {repaired && <Repairs walk={walk} device={device} />}
      {stationsOf(stands).map(({ place, steps }) => (
        <div key={steps[0]?.step.id}>
          <h3 class="again-place"><PlacePicture place={place} /> {t(`place.${place}`)}</h3>
          <ul class="stands">
            {steps.map((stand) => (
              <li key={stand.step.id} class="stand" data-step={stand.step.id}>
                <p class="stand-do"><Say text={stand.step.do} /></p>
                {stand.step.check && <p><Say text={stand.step.check} /></p>}
                <button type="button" class="primary wide" aria-label={t(repaired ? "again.tested_step" : "again.touched_step", { step: sentenceOf(stand.step.do) })} onClick={() => void touch(stand)}>
                  {t(repaired ? "again.tested" : "again.touched")}
                </button>
              </li>
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
}
