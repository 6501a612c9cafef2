/** What a finished light test leaves: a dated record of what was seen, measured and mended. */

import { useHeading } from "../address.ts";
import type { Engine } from "../engine/client.ts";
import type { LampPicture, RecordReport, TraceReading } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { when } from "../walk/when.ts";
import { Say, wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { BenchSeen } from "./bench-page.tsx";
import { seenWords } from "./lamp-answers.tsx";
import { capital, lampName } from "./look-words.ts";
import { allSeen, momentOf, readingsOf, recordOf, reopening, repairOf, roundOf, type LightTest, type Running } from "./record.ts";
import { readingWords } from "./trace-page.tsx";
import { useAnswer } from "./use-answer.ts";
import type { WriteTest } from "./use-test.ts";

interface Props {
  engine: Engine;
  test: LightTest;
  /** The rig's JSON text, as it was then where the record has it; undefined where no rig is known. */
  rig: string | undefined;
  write: WriteTest;
}

export function RecordPage({ engine, test, rig, write }: Props) {
  const heading = useHeading("record");
  const record = recordOf(test);
  const answer = useAnswer<RecordReport>(engine, "lamps/record", record && rig !== undefined ? `{"rig":${rig},"record":${JSON.stringify(record)}}` : undefined);
  const judged = answer?.ok ? answer.value : undefined;
  const verdict = test.result === "passed" ? "ok" : test.result === "wrong" ? "no_go" : "find_out";
  const { run } = test;
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{test.name ?? t("lamps.test_of", { rig: run?.rig_name ?? test.rig ?? "" })}</h1>
      <section class={`verdict tone-${verdict}`} data-verdict={verdict}>
        <VerdictMark verdict={verdict} size={48} />
        <div>
          <h2>{t(`record_of.${verdict}`)}</h2>
          {judged && <p><Say text={judged.says} /></p>}
          <p>{when(momentOf(test))}{test.place ? `, ${test.place}` : ""}</p>
        </div>
      </section>
      <dl class="versions">
        {run && <div><dt>{t("record.begun")}</dt><dd>{when(run.started)}</dd></div>}
        {test.by && <div><dt>{t("record_of.how")}</dt><dd>{t(`lamps.by.${test.by}`)}</dd></div>}
        {test.watcher && <div><dt>{t("record_of.watcher")}</dt><dd>{test.watcher}</dd></div>}
      </dl>
      {test.note && <p>{test.note}</p>}
      {judged && judged.missing.length > 0 && <p class="note tone-find_out"><span>{t("record_of.missing", { steps: judged.missing.map((step) => wordFor(`light.call.${step}`)).join("; ") })}</span></p>}
      <section aria-labelledby="seen-heading">
        <h2 id="seen-heading">{t(run?.repairs ? "record_of.seen_last" : "record_of.seen")}</h2>
        {test.bench ? <BenchSeen bench={test.bench} /> : <Seen pictures={test.pictures ?? []} readings={test.readings ?? []} judged={judged} />}
      </section>
      {run && <Before test={{ ...test, run }} />}
      {run && <button type="button" class="wide quiet" onClick={() => void write(reopening())}>{t("record_of.reopen")}</button>}
    </>
  );
}

/** Step by step what the lamps did, and what was read. */
function Seen({ pictures, readings, judged }: { pictures: LampPicture[]; readings: TraceReading[]; judged?: RecordReport | undefined }) {
  const steps = [...new Set(pictures.map(({ step }) => step))];
  const misfit = (step: string, lamp?: string) => judged?.misfits.find((one) => one.step === step && (lamp === undefined || one.lamp === lamp));
  return (
    <>
      {pictures.length === 0 && <p class="hint">{t("record_of.nothing")}</p>}
      <ul class="plain">
        {steps.map((step) => (
          <li key={step} data-step={step} class={misfit(step) ? "misfit" : undefined}>
            <strong>{wordFor(`light.call.${step}`)}</strong>{misfit(step) && `: ${t("lamps.state.wrong").toLowerCase()}`}
            <br />
            <span class="quiet">{pictures.filter((one) => one.step === step).map((one) => `${capital(lampName(one.lamp))} ${seenWords(one)}`).join("; ")}</span>
          </li>
        ))}
        {readings.map((reading, at) => <li key={at}>{readingWords(reading)}</li>)}
      </ul>
    </>
  );
}

/** What was seen before each repair, the latest first. */
function Before({ test }: { test: Running }) {
  const rounds = Array.from({ length: roundOf(test) }, (_, at) => roundOf(test) - at);
  return (
    <>
      {rounds.map((round) => {
        const repair = repairOf(test, round);
        return (
          <section key={round} aria-labelledby={`round-${round}`}>
            <h2 id={`round-${round}`}>{t("record_of.mended", { what: repair?.what ?? "" })}</h2>
            <p class="quiet">{when(repair?.at)}. {t("record_of.before")}</p>
            <Seen pictures={allSeen(test, round - 1)} readings={readingsOf(test, round - 1).map(({ kept }) => kept.reading)} />
          </section>
        );
      })}
    </>
  );
}
