/** A survey of the motorhome's socket or of the car's lamps: what was measured, what it means, and what of it goes into the rig. */

import { useState } from "preact/hooks";
import { useHeading } from "../address.ts";
import { Problem } from "../departure/problem.tsx";
import { dayOf } from "../departure/trip.ts";
import type { Rig } from "../departure/rigs.ts";
import type { Engine } from "../engine/client.ts";
import type { RecordReport, SurveyEdit, SurveyReport } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { refusal } from "../rig/edit.ts";
import type { Json, JsonObject, Write } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { useDocument } from "../store/use-store.ts";
import { FindingLines } from "../walk/finding-lines.tsx";
import { idOf } from "../walk/walk.ts";
import { when } from "../walk/when.ts";
import { pointerInWords } from "../words/pointer.ts";
import { wordFor } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { capital, figure } from "./look-words.ts";
import { stamp } from "./record.ts";
import { SurveyFigure } from "./survey-figure.tsx";
import { began, entering, finishing, groupsOf, isEntered, isSurvey, measuredIn, recordSoFar, reopening, typedIn, typing, valueOf, type Group, type Survey } from "./survey.ts";
import { useAnswer, useLast } from "./use-answer.ts";
import "./survey.css";

interface Props {
  engine: Engine;
  store: Store;
  /** The document's id, without its kind. */
  id: string;
  rigs: Rig[];
}

export function SurveyPage({ engine, store, id, rigs }: Props) {
  const document = useDocument(store, `test/${id}`);
  const heading = useHeading(id, document !== undefined);
  const [refused, setRefused] = useState("");
  const survey = document && isSurvey(document.kind) ? (document as unknown as Survey) : undefined;
  const rig = rigs.find((one) => idOf(one.id) === survey?.rig);
  const question = survey && `{"rig":${rig?.text ?? "{}"},${JSON.stringify(measuredIn(survey)).slice(1)}`;
  const answer = useAnswer<SurveyReport>(engine, "lamps/survey", question);
  const report = useLast(answer?.ok ? answer.value : undefined);
  if (document === undefined) {
    return null;
  }
  if (!survey) {
    return <div class="room lamps"><Back /><p class="hint">{t("lamps.none")}</p></div>;
  }
  const write = async (writes: Write[]): Promise<string | undefined> => {
    try {
      await store.write(`test/${id}`, writes);
      setRefused("");
      return undefined;
    } catch (reason) {
      const why = reason instanceof Error ? reason.message : String(reason);
      setRefused(why);
      return why;
    }
  };
  const finish = async () => {
    const outcome = await engine.run<RecordReport>("lamps/record", `{"rig":${rig?.text ?? "{}"},"record":${JSON.stringify(recordSoFar(survey, stamp(new Date())))}}`);
    if (outcome.ok) await write(finishing(outcome.value, Date.now()));
    else setRefused(outcome.problem.errors.map(({ detail }) => detail).join(" "));
  };
  const finished = survey.run?.finished !== undefined || survey.at !== undefined;
  return (
    <div class="room lamps survey">
      <Back />
      <h1 ref={heading} tabIndex={-1}>{t(`survey.title.${survey.kind}`)}</h1>
      <p class="quiet">{survey.run?.rig_name ?? survey.name}. {when(began(survey))}</p>
      {refused && <p class="note tone-no_go" role="alert"><span>{refused}</span></p>}
      {finished ? (
        <p class="note" role="status"><span>{t("survey.kept")} {t(`survey.result.${survey.result ?? "open"}`)}</span></p>
      ) : (
        <>
          <p class="hazard"><strong>{t("step.danger")}</strong> {t(`survey.danger.${survey.kind}`)}</p>
          <p>{t(`survey.how.${survey.kind}`)}</p>
          {groupsOf(survey.kind).map((group, at) => <Measured key={group.id} id={id} survey={survey} group={group} open={at === 0} write={write} />)}
        </>
      )}
      <section aria-labelledby="means-heading" aria-busy={!answer}>
        <h2 id="means-heading">{t("survey.means")}</h2>
        {answer?.ok === false && <Problem problem={answer.problem} />}
        {report && <Means report={report} />}
        {report && report.edits.length > 0 && <Edits engine={engine} store={store} record={id} rig={rig} edits={report.edits} />}
      </section>
      {finished
        ? survey.run && <button type="button" class="wide quiet" onClick={() => void write(reopening())}>{t("survey.reopen")}</button>
        : <button type="button" class="primary wide tall" onClick={() => void finish()}>{t("survey.keep")}</button>}
    </div>
  );
}

function Back() {
  return <p class="back-line"><a class="button" href="#lamps"><Icon name="back" /> {t("survey.back")}</a></p>;
}

/** The rows of a pin or of a lamp, with how many of their figures are there. */
function Measured({ id, survey, group, open, write }: { id: string; survey: Survey; group: Group; open: boolean; write: (writes: Write[]) => Promise<string | undefined> }) {
  const there = group.rows.reduce((sum, row) => sum + row.asks.filter(([member]) => typedIn(survey, row.id, member) !== undefined).length, 0);
  return (
    <details class="rig-section" data-group={group.id} open={open}>
      <summary>
        <Icon name="chevron" size={20} />
        <h2>{capital(nameOf(survey.kind, group.id))}</h2>
        {there > 0 && <span class="count">{there}</span>}
      </summary>
      <div class="rig-section-body">
        {group.rows.map((row) => (
          <div key={row.id} class="survey-row" role="group" aria-label={rowWords(row.id)} data-row={row.id}>
            {group.rows.length > 1 && <h3>{rowWords(row.id)}</h3>}
            {row.asks.map(([member, as]) => (
              <SurveyFigure
                key={member} place={`test/${id}/run/typed/${row.id}/${member}`} label={textOf(`survey.ask.${member}`) ?? member} as={as}
                kept={typedIn(survey, row.id, member)} onKeep={(value: Json | undefined) => write(typing(row.id, member, value))}
              />
            ))}
          </div>
        ))}
      </div>
    </details>
  );
}

function nameOf(kind: Survey["kind"], group: string): string {
  return group === "car" ? t("survey.whole_car") : wordFor(kind === "socket_survey" ? `survey.pin.${group}` : `survey.lamp.${group}`);
}

/** What is switched on for a row. */
function rowWords(row: string): string {
  const [, state = "", rest] = row.split("-");
  if (state === "") return nameOf("lamp_survey", row);
  return capital(rest ? t("survey.at_rest") : row === "charge-off" || row === "supply-off" ? t("survey.engine_on") : wordFor(`survey.state.${state}`));
}

/** What the engine makes of it: faults with what they cost, contradictions, what is open. */
function Means({ report }: { report: SurveyReport }) {
  const sound = report.verdict === "ok" && report.branches.length > 0 && report.faults.length === 0;
  return (
    <>
      {sound && <p class="sound tone-ok"><VerdictMark verdict="ok" /> {t("survey.sound")}</p>}
      <FindingLines findings={report.findings} />
      {report.faults.flatMap(({ costs }) => costs ?? []).map((cost) => (
        <p key={`${cost.step} ${cost.lamp}`} class="quiet">
          {t("survey.costs", {
            lamp: wordFor(`wiring.lamp.${cost.lamp}`), step: wordFor(`survey.state.${cost.step}`),
            v: figure(cost.v, "V"), light: figure(Math.round(100 * cost.light), "pct"), sound_v: figure(cost.sound_v, "V"), sound_light: figure(Math.round(100 * cost.sound_light), "pct"),
          })}
        </p>
      ))}
    </>
  );
}

/** What would go into the rig, one by one or all, each to be taken back. */
function Edits({ engine, store, record, rig, edits }: { engine: Engine; store: Store; record: string; rig: Rig | undefined; edits: SurveyEdit[] }) {
  const own = rig?.from === "phone" ? rig.id : undefined;
  const document = useDocument(store, own ?? "rig/");
  const [refused, setRefused] = useState("");
  const [entered, setEntered] = useState(0);
  const open = edits.filter((edit) => !isEntered(edit, document ?? {}));
  const enter = async (these: SurveyEdit[]) => {
    if (!own || !document) return;
    const writes = these.flatMap((edit) => entering(edit, record, dayOf(new Date())));
    try {
      const why = await refusal(engine, document as JsonObject, writes);
      if (why === undefined) {
        await store.write(own, writes);
        setEntered((n) => n + 1);
      }
      setRefused(why ?? "");
    } catch (reason) {
      setRefused(reason instanceof Error ? reason.message : String(reason));
    }
  };
  const undo = async () => {
    if (own && (await store.undo(own))) setEntered((n) => n - 1);
  };
  return (
    <section aria-labelledby="edits-heading">
      <h3 id="edits-heading">{t("survey.edits")}</h3>
      {!own && <p class="hint">{t("survey.not_own")}</p>}
      <p class="wrong" role="alert">{refused}</p>
      <ul class="survey-edits">
        {edits.map((edit) => (
          <li key={edit.field} data-field={edit.field}>
            <span class="kicker">{capital(pointerInWords(edit.field))}</span>
            <strong>{shown(edit)}</strong>
            <span class="quiet">{capital(wordFor(edit.says.id))}. {edit.was && !isEntered(edit, document ?? {}) && t(edit.was.how === "template" ? "survey.was_typical" : "survey.was", { was: wasShown(edit.was) })}</span>
            {isEntered(edit, document ?? {})
              ? <span class="entered-mark tone-ok"><VerdictMark verdict="ok" /> {t("survey.entered")}</span>
              : own && <button type="button" aria-label={t("survey.enter_this", { field: pointerInWords(edit.field) })} onClick={() => void enter([edit])}>{t("survey.enter")}</button>}
          </li>
        ))}
      </ul>
      {own && open.length > 1 && <button type="button" class="wide" onClick={() => void enter(open)}>{t("survey.enter_all", { count: open.length })}</button>}
      {entered > 0 && <button type="button" class="wide quiet" onClick={() => void undo()}>{t("survey.undo")}</button>}
      <p class="for-ears" role="status">{entered > 0 && open.length === 0 ? t("survey.all_entered") : ""}</p>
    </section>
  );
}

/** "0.25 Ω, 0.2 to 0.3 Ω by the meter". */
function shown(edit: SurveyEdit): string {
  const { number, unit = "", low, high } = edit;
  if (number === undefined) {
    return plainWord(String(valueOf(edit)));
  }
  const value = figure(number, unit);
  return low === undefined || high === undefined ? value : t("survey.band", { value, low: figure(low, ""), high: figure(high, unit) });
}

function wasShown({ number, word = "", unit = "" }: NonNullable<SurveyEdit["was"]>): string {
  return number === undefined ? plainWord(word) : figure(number, unit);
}

function plainWord(word: string): string {
  return word === "true" || word === "yes" ? t("survey.yes") : word === "false" || word === "no" ? t("survey.no") : word.replaceAll("_", " ");
}
