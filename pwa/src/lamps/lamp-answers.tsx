/** What a person sees of the lamps in one step: each lamp as expected until it is told otherwise, and left against right. */

import { useRef, useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { ExpectedPicture, LampComparison, LampPicture, LightStep } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { capital, lampName, lookWords } from "./look-words.ts";
import { GLOWS, sameLook } from "./look.ts";
import { asked } from "./record.ts";

interface Props {
  step: LightStep;
  picture: ExpectedPicture;
  pictures: LampPicture[];
  comparisons: LampComparison[];
  onSee: (pictures: LampPicture[], comparisons: LampComparison[]) => void;
}

export function LampAnswers({ step, picture, pictures, comparisons, onSee }: Props) {
  const [open, setOpen] = useState<string>();
  const answers = useRef<HTMLDivElement>(null);
  const lamps = asked(picture);
  const side = (of: string) => lamps.filter(({ lamp }) => lamp.endsWith(`_${of}`));
  const both = lamps.filter(({ lamp }) => !/_(left|right)$/.test(lamp));
  const flashes = lamps.some(({ dark }) => dark);
  const change = (changed: LampPicture) => onSee(pictures.map((one) => (one.lamp === changed.lamp ? changed : one)), comparisons);
  const card = ({ lamp }: (typeof lamps)[number]) => {
    const seen = pictures.find((one) => one.lamp === lamp);
    return seen && <Answer key={lamp} seen={seen} expected={lamps.find((one) => one.lamp === lamp)} open={open === lamp} onOpen={() => setOpen(open === lamp ? undefined : lamp)} />;
  };
  const close = () => {
    answers.current?.querySelector<HTMLElement>(`[data-lamp="${open}"]`)?.focus();
    setOpen(undefined);
  };
  const changing = pictures.find(({ lamp }) => lamp === open);
  return (
    <>
      <div class="answers" ref={answers}>
        {[side("left"), side("right"), both].map((group, at) => group.length > 0 && <ul key={at} class={at === 2 ? "answers-both" : undefined}>{group.map(card)}</ul>)}
      </div>
      {changing && <Change key={changing.lamp} picture={changing} flashes={flashes} onChange={change} onClose={close} />}
      {(picture.pairs?.length ?? 0) > 0 && (
        <details class="folded small">
          <summary><Icon name="chevron" size={18} /> {t("lamps.compare")} <span class="count">{comparisons.length}</span></summary>
          {picture.pairs?.map(({ lamp }) => (
            <div key={lamp} class="pair">
              <span id={`pair-${lamp}`}>{t("lamps.brighter", { pair: wordFor(`trace.pair.${lamp}`) })}</span>
              <Switch
                labelled={`pair-${lamp}`}
                value={comparisons.find((one) => one.lamp === lamp)?.brighter ?? "not"}
                options={[["left", t("lamps.brighter.left")], ["alike", t("lamps.brighter.alike")], ["right", t("lamps.brighter.right")], ["not", t("lamps.brighter.not")]]}
                onChange={(brighter) => onSee(pictures, [...comparisons.filter((one) => one.lamp !== lamp), ...(brighter === "not" ? [] : [{ step, lamp, brighter }])])}
              />
            </div>
          ))}
        </details>
      )}
    </>
  );
}

/** One lamp: what is said of it, to be changed by a tap. */
function Answer({ seen, expected, open, onOpen }: { seen: LampPicture; expected: ExpectedPicture["lamps"][number] | undefined; open: boolean; onOpen: () => void }) {
  const other = expected && (seen.trust === "cant_tell" || !seen.glow || !sameLook({ ...seen, glow: seen.glow }, expected));
  return (
    <li>
      <button type="button" class={other ? "answer-lamp other" : "answer-lamp"} aria-expanded={open} data-lamp={seen.lamp} onClick={onOpen}>
        <span class="answer-name">{capital(lampName(seen.lamp))}</span>
        <strong>{seenWords(seen)}</strong>
        {other && expected && <span class="quiet-words">{t("lamps.not", { look: lookWords(expected) })}</span>}
      </button>
    </li>
  );
}

/** "dim and steady, doubtful". */
export function seenWords({ glow, pattern, phase, trust }: LampPicture): string {
  if (trust === "cant_tell" || !glow) {
    return t("lamps.trust.cant_tell").toLowerCase();
  }
  const words = lookWords({ glow, ...(pattern && { pattern }), ...(phase && { phase }) });
  return trust === "doubtful" ? t("lamps.doubtful", { look: words }) : words;
}

function Change({ picture, flashes, onChange, onClose }: { picture: LampPicture; flashes: boolean; onChange: (picture: LampPicture) => void; onClose: () => void }) {
  const { step, lamp, glow = "dark", pattern = "steady", phase = "in_step", trust = "sure" } = picture;
  const say = (next: Partial<LampPicture>) => {
    const all = { glow, pattern, phase, trust, ...next };
    const lit = all.glow !== "dark";
    onChange({ step, lamp, glow: all.glow, ...(lit && { pattern: all.pattern }), ...(lit && all.pattern !== "steady" && { phase: all.phase }), trust: all.trust });
  };
  return (
    <fieldset class="change">
      <legend>{capital(lampName(lamp))}</legend>
      <Choice label={t("lamps.how_bright")} value={trust === "cant_tell" ? "" : glow} options={GLOWS.map((one) => [one, capital(wordFor(`look.${one}`))])} onChange={(next) => say({ glow: next as typeof glow, ...(trust === "cant_tell" && { trust: "sure" }) })} />
      {glow !== "dark" && <Choice label={t("lamps.how_steady")} value={pattern} options={(["steady", "flashing", "pulsing"] as const).map((one) => [one, t(`lamps.does.${one}`)])} onChange={(next) => say({ pattern: next as typeof pattern })} />}
      {glow !== "dark" && pattern !== "steady" && flashes && <Choice label={t("lamps.when")} value={phase} options={(["in_step", "opposed"] as const).map((one) => [one, t(`lamps.phase.${one}`)])} onChange={(next) => say({ phase: next as typeof phase })} />}
      <Choice label={t("lamps.how_sure")} value={trust} options={(["sure", "doubtful", "cant_tell"] as const).map((one) => [one, t(`lamps.trust.${one}`)])} onChange={(next) => say({ trust: next as typeof trust })} />
      <button type="button" class="wide" onClick={onClose}>{t("lamps.change_done")}</button>
    </fieldset>
  );
}

/** Answers of which one holds, as wide as a thumb. */
function Choice({ label, value, options, onChange }: { label: string; value: string; options: [string, string][]; onChange: (value: string) => void }) {
  return (
    <div class="thumb-choice" role="group" aria-label={label}>
      <span class="quiet" aria-hidden="true">{label}</span>
      <div>
        {options.map(([option, words]) => (
          <button key={option} type="button" aria-pressed={value === option} onClick={() => onChange(option)}>{words}</button>
        ))}
      </div>
    </div>
  );
}
