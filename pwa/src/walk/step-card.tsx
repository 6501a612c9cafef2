/** One step: what to do, what to see, why, the danger, the proof, and the tick. */

import { useRef, useState } from "preact/hooks";
import { BasisLine } from "../departure/findings.tsx";
import type { Stand } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { ShownPhoto } from "../photos/shown-photo.tsx";
import { Say, sentenceOf } from "../words/say.tsx";
import { Count } from "./count.tsx";
import { countedWords } from "./evidence-words.ts";
import { isLightStep, LightProof, namedBy } from "./light-proof.tsx";
import { phonesOf, whoSays } from "./phones.ts";
import { PhotoOrNote } from "./photo-or-note.tsx";
import { ReadingInput } from "./reading-input.tsx";
import type { Working } from "./run-page.tsx";
import { whyNot, type WriteRun } from "./use-walks.ts";
import { observed, pointer, settled, ticked, unticked, type Seen } from "./walk.ts";
import { t } from "../words/text.ts";

interface Props extends Working {
  stand: Stand;
  onTicked: () => void;
  onJump: (step: string) => void;
}

export function StepCard(props: Props) {
  const { doc, walk, stand, device, write, lightTest, onTicked, onJump } = props;
  const { step, state } = stand;
  const own = walk.ticks?.[step.id]?.[device] ?? {};
  const [lacking, setLacking] = useState("");
  const [takenBack, setTakenBack] = useState(false);
  const card = useRef<HTMLLIElement>(null);
  const keeping = useRef<ReturnType<WriteRun> | undefined>(undefined);
  const id = `step-${step.id}`;

  const tick = async (writes = ticked) => {
    // Not every browser takes the focus off a field when a button is tapped; what stands in it counts.
    const typing = document.activeElement;
    if (typing instanceof HTMLInputElement && card.current?.contains(typing)) typing.blur();
    // A figure that is just being kept counts: the press follows it by a moment.
    const after = await keeping.current;
    const lack = whatLacks(after?.steps.find((other) => other.step.id === step.id) ?? stand);
    setLacking(lack);
    if (lack !== "") {
      card.current?.querySelector<HTMLElement>("[data-proof]")?.focus();
      return;
    }
    setTakenBack(false);
    // The focus follows only what was kept.
    if (await write([...writes(walk, stand, device, Date.now()), ...namedBy(lightTest, step.id, device)])) onTicked();
  };
  const untick = async () => {
    if (await write(unticked(step.id, device, Date.now()))) {
      setTakenBack(true);
      card.current?.querySelector<HTMLElement>("h3")?.focus();
    }
  };
  if (state === "done") {
    return (
      <li ref={card} class="stand stand-done" data-step={step.id} data-state={state}>
        <Icon name="done" size={28} />
        <div>
          <h3 tabIndex={-1}><span class="for-ears">{t("step.done_colon")} </span><Say text={step.do} /></h3>
          {stand.counting && <p class="quiet">{countedWords(stand.counting)}</p>}
          {Object.entries(walk.ticks?.[step.id] ?? {}).map(([of, { note, photo }]) => (
            <div key={of}>{note && <p class="quiet">{note}</p>}{photo && <ShownPhoto key={photo} id={photo} label={t("photo.at_step", { step: sentenceOf(step.do) })} />}</div>
          ))}
          <p class="quiet who">{whoSays(walk, stand, device)}</p>
        </div>
        <button type="button" class="quiet" aria-label={t("step.untick_step", { step: sentenceOf(step.do) })} onClick={() => void untick()}>{t("step.untick")}</button>
      </li>
    );
  }
  const phones = phonesOf(walk, device);
  const others = (stand.not_done ?? []).filter((other) => other !== device && !stand.settled?.some((answer) => answer.device === other));
  const see = (seen: Seen) => {
    setLacking("");
    const now = write(observed(step.id, device, seen));
    keeping.current = now;
    void now.finally(() => keeping.current === now && (keeping.current = undefined));
    return now.then(whyNot);
  };
  const at = doc + pointer("ticks", step.id, device);
  return (
    <li ref={card} class={`stand stand-${state}`} data-step={step.id} data-state={state} aria-labelledby={id}>
      <h3 id={id} tabIndex={-1} class="stand-do"><Say text={step.do} /></h3>
      {step.from_manual && <p class="kicker">{t("step.manual")}</p>}
      {takenBack && (
        <p class="note tone-mind" role="status"><span>{t("step.unticked")}</span></p>
      )}
      {step.hazard && state !== "blocked" && <p class="hazard"><strong>{t("step.danger")}</strong> <Say text={step.hazard} /></p>}
      {step.check && <p class="check"><strong>{t("step.see")}</strong> <Say text={step.check} /></p>}
      {step.why && (
        <details class="folded small">
          <summary><Icon name="chevron" size={18} /> {t("step.why")}</summary>
          <p><Say text={step.why} /></p>
          <ul class="basis">{step.basis.map((basis) => <li key={basis.reference}><BasisLine basis={basis} /></li>)}</ul>
        </details>
      )}
      {state === "blocked" ? (
        <Blocked {...props} onJump={onJump} />
      ) : (
        <>
          {isLightStep(step.id) && <LightProof test={lightTest} rig={walk.rig} />}
          {step.hold === "count" && <Count place={`${at}/count`} wanted={step.count} counted={own.count} onCount={(count) => see({ count })} />}
          {step.reading && <ReadingInput place={`${at}/reading`} stand={stand} own={own} onRead={(reading) => see({ reading })} />}
          {step.hold === "photo" && <PhotoOrNote step={sentenceOf(step.do)} place={`${at}/note`} own={own} onSee={see} />}
          {stand.because && <p class="because" role="status"><Say text={stand.because} /></p>}
          {(stand.done || stand.not_done) && <p class="quiet who">{whoSays(walk, stand, device)}</p>}
          <p class="wrong" role="alert">{lacking}</p>
          {state === "disagree" && others.length > 0 && own.done !== false && (
            <>
              <p class="note tone-mind"><span>{t("settle.hint", { who: others.map((other) => phones.get(other) ?? other).join(", ") })}</span></p>
              <button type="button" class="primary wide" aria-label={t("settle.do_step", { step: sentenceOf(step.do) })} onClick={() => void tick(settled)}>{t("settle.do")}</button>
            </>
          )}
          {state === "disagree" && own.done ? (
            <button type="button" class="wide" aria-label={t("step.not_done_step", { step: sentenceOf(step.do) })} onClick={() => void untick()}>{t("step.not_done")}</button>
          ) : (
            <button type="button" class="primary wide" aria-label={t("step.done_step", { step: sentenceOf(step.do) })} onClick={() => void tick()}>{t("phones.done")}</button>
          )}
        </>
      )}
    </li>
  );
}

/** A dangerous step whose turn has not come: what is open before it, and the danger. */
function Blocked({ stand, report, onJump }: Props) {
  const waits = (stand.waits_for ?? []).map((id) => report.steps.find(({ step }) => step.id === id)).filter((other) => other !== undefined);
  const [first, ...more] = waits;
  return (
    <div class="blocked">
      <p><strong>{t("step.not_yet")}</strong> {stand.because && <Say text={stand.because} />}</p>
      {first && <JumpTo stand={first} onJump={onJump} />}
      {more.length > 0 && (
        <details class="folded small">
          <summary><Icon name="chevron" size={18} /> {t("step.after")} <span class="count">{more.length}</span></summary>
          <ul>{more.map((other) => <li key={other.step.id}><JumpTo stand={other} onJump={onJump} /></li>)}</ul>
        </details>
      )}
    </div>
  );
}

function JumpTo({ stand, onJump }: { stand: Stand; onJump: (step: string) => void }) {
  return (
    <button type="button" class="wide jump" onClick={() => onJump(stand.step.id)}>
      <span><Say text={stand.step.do} /></span> <Icon name="chevron" size={18} />
    </button>
  );
}

/** Which proof a tick still lacks, in words. */
function whatLacks(stand: Stand): string {
  const { counting } = stand;
  if (counting?.result === "short") {
    return t("lack.short", { counted: counting.counted, wanted: counting.wanted ?? "" });
  }
  switch (stand.wants) {
    case "count":
      return t("lack.count");
    case "reading":
      return t("lack.reading");
    case "photo":
      return t("lack.photo");
  }
  return "";
}
