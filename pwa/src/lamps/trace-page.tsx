/** From a wrong picture back to its cause: what it may be, and the one look or reading that tells most. */

import { useState } from "preact/hooks";
import { useHeading } from "../address.ts";
import { Switch } from "../departure/conditions.tsx";
import { Problem } from "../departure/problem.tsx";
import type { TraceCause, TraceExpected, TraceGroup, TraceNext, TraceReading, TraceReport, TraceTools } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { setUnkept, unkeptAt } from "../keep/unkept.ts";
import { uuid7 } from "../store/uuid7.ts";
import { Say, sentenceOf, wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { readNumber } from "../words/typed.ts";
import { capital, figure, lampName, lookWords } from "./look-words.ts";
import { Tick } from "./prompts.tsx";
import { evidenceOf, isWiggled, mended, PLACES, readingsOf, roundOf, stateOf, took, tookBack, wiggled } from "./record.ts";
import { useAnswer, useLast } from "./use-answer.ts";
import type { Working } from "./use-test.ts";

const TOOLS: TraceTools[] = ["none", "test_lamp", "meter"];
/** Groups less likely than this, after the first three, are counted only. */
const LEAST_SHARE = 0.02;
/** So many causes of a group stand open; more are too many to mend one after the other. */
const AT_ONCE = 4;

export function TracePage(working: Working) {
  const { engine, id, test, report, judged, rig, device, write } = working;
  const heading = useHeading("trace");
  const tools = test.run.tools ?? "none";
  const evidence = evidenceOf(test, report);
  const answer = useAnswer<TraceReport>(engine, "lamps/trace", `{"rig":${rig},"tools":"${tools}",${JSON.stringify(evidence).slice(1)}`);
  // What was found last stays until the next answer is there.
  const shown = useLast(answer?.ok ? answer.value : undefined);
  const mend = async (what: string, faults?: string[]) => {
    const again = report.steps.filter((step) => ["wrong", "near"].includes(stateOf(test, step, judged))).map(({ step }) => step);
    if (await write(mended(test, { at: Date.now(), device, what, ...(faults && { faults }), again }))) location.hash = `lamps/${id}`;
  };
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("trace.title")}</h1>
      <div class="pair">
        <span id="tools-label">{t("trace.tools")}</span>
        <Switch labelled="tools-label" value={tools} options={TOOLS.map((one) => [one, t(`trace.tools.${one}`)])} onChange={(next) => write([{ path: "/run/tools", value: next }])} />
      </div>
      {answer?.ok === false && <Problem problem={answer.problem} under="/rig" />}
      {!shown && !answer && <p class="hint" role="status">{t("departure.working")}</p>}
      {shown && answer?.ok !== false && (
        <div aria-busy={!answer} class="traced">
          <p role="status" class="traced-says"><Say text={shown.says} /></p>
          {shown.contradictions?.map(({ says, kind, first, second }) => <p key={`${kind} ${first} ${second}`} class="note tone-find_out"><span><Say text={says} /></span></p>)}
          <NextCard key={nextKey(shown.next)} {...working} trace={shown} tools={tools} />
          {shown.groups.slice(0, 1).map((group) => <Group key="first" group={group} onMended={mend} first />)}
          <Others groups={shown.groups.slice(1)} onMended={mend} />
          {(shown.misfits?.length ?? 0) > 0 && <Fold words={t("trace.misfits")} count={shown.misfits?.length ?? 0}>{shown.misfits?.map(({ says, kind, index }) => <li key={`${kind} ${index}`}><Say text={says} /></li>)}</Fold>}
        </div>
      )}
      <Evidence {...working} />
      <button type="button" class="wide" onClick={() => void mend(t("trace.something"))}>{t("trace.mended_other")}</button>
      <a class="button wide" href={`#lamps/${id}`}>{t("lamps.all_steps")}</a>
    </>
  );
}

function nextKey(next: TraceNext | undefined): string {
  return next ? `${next.step} ${next.point ?? ""}` : "none";
}

/** The one thing to do now, and what each remaining cause would give there. */
function NextCard({ id, test, device, write, trace, tools }: Working & { trace: TraceReport; tools: TraceTools }) {
  const { next } = trace;
  const take = (reading: Pick<TraceReading, "v" | "a" | "lit">) =>
    next?.point === undefined ? Promise.resolve(false) : write(took(test, uuid7(), { at: Date.now(), device, reading: { step: next.step, point: next.point, ...reading } }));
  return (
    <section class="next-card" aria-labelledby="next-heading">
      <h2 id="next-heading">{t("trace.next")}</h2>
      <p><Say text={trace.next_says} /></p>
      {next && next.point === undefined && <a class="button primary wide tall" href={`#lamps/${id}/step/${next.step}/trace`}>{t("trace.look")} <Icon name="chevron" size={18} /></a>}
      {next?.point !== undefined && tools === "test_lamp" && (
        <div class="between">
          <button type="button" class="primary" onClick={() => void take({ lit: true })}>{t("trace.lit")}</button>
          <button type="button" onClick={() => void take({ lit: false })}>{t("trace.unlit")}</button>
        </div>
      )}
      {next?.point !== undefined && tools === "meter" && <Meter place={`test/${id}/reading ${nextKey(next)}`} amps={next.amps === true} onTaken={take} />}
      {next && next.expect.length > 0 && (
        <details class="folded small" open={next.expect.length <= 4}>
          <summary><Icon name="chevron" size={18} /> {t("trace.expected")} <span class="count">{next.expect.length}</span></summary>
          <ul class="plain">
            {next.expect.map((one) => {
              const cause = trace.groups[one.group]?.causes[one.cause];
              return cause && <li key={`${one.group} ${one.cause}`}>{causeWords(cause)}: <strong>{expectedWords(one, next)}</strong></li>;
            })}
          </ul>
        </details>
      )}
    </section>
  );
}

/** A figure as the meter shows it, whatever its sign; typed and not yet taken it outlives a new start. */
function Meter({ place, amps, onTaken }: { place: string; amps: boolean; onTaken: (reading: { v: number } | { a: number }) => Promise<boolean> }) {
  const [typed, setTyped] = useState(() => unkeptAt(place) ?? "");
  const [why, setWhy] = useState("");
  const take = async (event: Event) => {
    event.preventDefault();
    const most = amps ? 100 : 60;
    const number = readNumber(typed, amps ? "a" : "v", -most, most);
    if (!number.ok) {
      setWhy(number.why);
    } else if (await onTaken(amps ? { a: number.value } : { v: number.value })) {
      setUnkept(place, undefined);
    }
  };
  return (
    <form class="reading" onSubmit={(event) => void take(event)}>
      <label for="trace-meter">{t(amps ? "trace.amps" : "trace.volts")}</label>
      <div class="figure-input">
        <input
          id="trace-meter" type="text" inputmode="decimal" autocomplete="off" value={typed} aria-invalid={why !== ""} aria-describedby="trace-meter-why"
          onInput={({ currentTarget }) => {
            setTyped(currentTarget.value);
            setUnkept(place, currentTarget.value === "" ? undefined : currentTarget.value);
          }}
        />
        <span class="unit">{amps ? "A" : "V"}</span>
      </div>
      <p class="wrong" id="trace-meter-why" role="alert">{why}</p>
      <button type="submit" class="primary wide tall">{t("trace.take")}</button>
    </form>
  );
}

/** What a cause would give at the next look or reading. */
function expectedWords({ low, high, lit, looks }: TraceExpected, { point, amps }: TraceNext): string {
  if (low !== undefined && high !== undefined) {
    return t("trace.between", { low: figure(low, ""), high: figure(high, amps ? "A" : "V") });
  }
  if (point !== undefined) {
    return t(lit === undefined ? "trace.either" : lit ? "trace.lit" : "trace.unlit").toLowerCase();
  }
  return looks?.length ? looks.map((look) => `${lampName(look.lamp)} ${lookWords(look)}`).join("; ") : t("trace.as_sound");
}

function causeWords({ says }: TraceCause): string {
  return capital(says.map(sentenceOf).join("; "));
}

interface Mending {
  onMended: (what: string, faults?: string[]) => void;
}

/** Causes that give the same: none is named without the others. */
function Group({ group, first = false, onMended }: { group: TraceGroup; first?: boolean } & Mending) {
  const wrong = group.causes.some(({ faults }) => faults.length > 0);
  return (
    <section class="cause-group" data-share={group.share}>
      {first && <h2>{t(group.causes.length > 1 ? "trace.likeliest" : "trace.likeliest_one")}</h2>}
      <p class="quiet">{t("trace.share", { share: figure(Math.round(group.share * 100), "pct"), places: capital((group.places ?? []).map((place) => t(`trace.place.${place}`)).join(", ")) })}</p>
      {wrong && <p class={`limit limit-${group.limit}`}><strong><Say text={group.limit_says} /></strong></p>}
      <Causes causes={group.causes.slice(0, AT_ONCE)} onMended={onMended} />
      {group.causes.length > AT_ONCE && (
        <details class="folded small">
          <summary><Icon name="chevron" size={18} /> {t("trace.alike")} <span class="count">{group.causes.length - AT_ONCE}</span></summary>
          <Causes causes={group.causes.slice(AT_ONCE)} onMended={onMended} />
        </details>
      )}
      {(group.for?.length ?? 0) > 0 && <Fold words={t("trace.for")} count={group.for?.length ?? 0}>{group.for?.map(({ says, kind, index }) => <li key={`${kind} ${index}`}><Say text={says} /></li>)}</Fold>}
      {(group.against?.length ?? 0) > 0 && <Fold words={t("trace.against")} count={group.against?.length ?? 0}>{group.against?.map(({ says, kind, index }) => <li key={`${kind} ${index}`}><Say text={says} /></li>)}</Fold>}
    </section>
  );
}

function Causes({ causes, onMended }: { causes: TraceCause[] } & Mending) {
  return (
    <ol class="causes">
      {causes.map((cause) => (
        <li key={cause.faults.join()} data-faults={cause.faults.join(" ")}>
          <h3>{causeWords(cause)}</h3>
          <p class="quiet">{causeNotes(cause)}</p>
          {cause.fix.map((fix, at) => <p key={at}><Say text={fix} /></p>)}
          {cause.faults.length > 0 && <button type="button" class="wide" onClick={() => onMended(causeWords(cause), cause.faults)}>{t("trace.mended")}<span class="for-ears">: {causeWords(cause)}</span></button>}
        </li>
      ))}
    </ol>
  );
}

function causeNotes({ places = [], ohm, ohm_low, ohm_high }: TraceCause): string {
  const size = ohm !== undefined ? t("trace.ohm", { ohm: figure(ohm, "ohm") })
    : ohm_low !== undefined && ohm_high !== undefined && ohm_low !== ohm_high ? t("trace.ohms", { low: figure(ohm_low, ""), high: figure(ohm_high, "ohm") }) : "";
  return [places.map((place) => t(`trace.place.${place}`)).join(", "), size].filter((part) => part !== "").map(capital).join(". ");
}

function Others({ groups, onMended }: { groups: TraceGroup[] } & Mending) {
  const near = groups.filter(({ share }, at) => at < 2 || share >= LEAST_SHARE);
  return near.length === 0 ? null : (
    <details class="folded">
      <summary><Icon name="chevron" /> <span class="folded-words">{t("trace.others")}</span> <span class="count">{near.length}</span></summary>
      {near.map((group, at) => <Group key={at} group={group} onMended={onMended} />)}
      {groups.length > near.length && <p class="hint">{t("trace.more", { n: groups.length - near.length })}</p>}
    </details>
  );
}

/** What the answer rests on: the readings, to be taken back, and what comes and goes. */
function Evidence({ test, report, write }: Working) {
  const round = roundOf(test);
  const readings = readingsOf(test, round);
  const { pictures } = evidenceOf(test, report);
  const steps = new Set(pictures.map(({ step }) => step)).size;
  return (
    <section aria-labelledby="evidence-heading">
      <h2 id="evidence-heading">{t("trace.evidence")}</h2>
      <p class="hint">{t("trace.looks", { steps, lamps: pictures.length })}</p>
      <ul class="plain">
        {readings.map(({ id, kept: { reading } }) => (
          <li key={id} class="taken">
            <span>{readingWords(reading)}</span>
            <button type="button" class="only-icon quiet" aria-label={t("trace.take_back", { reading: readingWords(reading) })} onClick={() => void write(tookBack(test, id))}><Icon name="remove" /></button>
          </li>
        ))}
      </ul>
      <fieldset class="change">
        <legend>{t("trace.wiggle")}</legend>
        {PLACES.map((place) => <Tick key={place} words={capital(t(`trace.place.${place}`))} on={isWiggled(test, place, round)} onChange={(on) => void write(wiggled(test, place, on))} />)}
      </fieldset>
    </section>
  );
}

/** "With brakes on: the car's body against the motorhome's ground, 2.7 V." */
export function readingWords({ step, point, v, a, lit }: TraceReading): string {
  const read = v !== undefined ? figure(v, "V") : a !== undefined ? figure(a, "A") : t(lit ? "trace.lit" : "trace.unlit").toLowerCase();
  return t("trace.reading", { step: wordFor(`light.step.${step}`), point: wordFor(`trace.point.${point}`), read });
}

function Fold({ words, count, children }: { words: string; count: number; children: preact.ComponentChildren }) {
  return (
    <details class="folded small">
      <summary><Icon name="chevron" size={18} /> {words} <span class="count">{count}</span></summary>
      <ul class="plain">{children}</ul>
    </details>
  );
}
