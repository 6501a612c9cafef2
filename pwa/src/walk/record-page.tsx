/** What a finished walk-round leaves: a dated record. */

import type { Ref } from "preact";
import type { RunRecord, Stand, WalkroundRunReport } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import { ShownPhoto } from "../photos/shown-photo.tsx";
import { Say, sentenceOf } from "../words/say.tsx";
import { countedWords, temperatureWords } from "./evidence-words.ts";
import { FindingLines } from "./finding-lines.tsx";
import { phonesOf, whoSays } from "./phones.ts";
import { Repairs } from "./repairs.tsx";
import type { WriteRun } from "./use-walks.ts";
import { type Walk } from "./walk.ts";
import { when } from "./when.ts";
import { t } from "../words/text.ts";

interface Props {
  walk: Walk;
  report: WalkroundRunReport;
  /** The rig's document, where this phone keeps one. */
  rigDoc: string | undefined;
  /** This install. */
  device: string;
  write: WriteRun;
  heading: Ref<HTMLHeadingElement>;
}

export function RecordPage({ walk, rigDoc, report, device, write, heading }: Props) {
  const { record, hooked_up: standing } = report;
  if (!record) {
    return null;
  }
  const phones = phonesOf(walk, device);
  const step = (id: string) => report.steps.find((stand) => stand.step.id === id);
  const passed = Object.values(record.set_up ?? {}).filter((one) => one).length;
  const reopen = () => void write([{ path: "/finished", removed: true }, ...(walk.hooked_up ? [{ path: "/hooked_up", removed: true as const }] : [])]);
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("record.title", { list: t(`list.${walk.list}`) })}</h1>
      <section class={`verdict tone-${record.whole ? "ok" : "find_out"}`} data-whole={record.whole}>
        <VerdictMark verdict={record.whole ? "ok" : "find_out"} size={48} />
        <div>
          <h2>{t(record.whole ? `whole.${walk.list}` : "record.open")}</h2>
          <p>{when(record.finished)}{record.place ? `, ${record.place}` : ""}</p>
        </div>
      </section>
      <dl class="versions">
        <div><dt>{t("rig_choice.rig")}</dt><dd>{walk.rig_name}</dd></div>
        <div><dt>{t("record.begun")}</dt><dd>{when(record.started)}</dd></div>
        <div><dt>{t("record.finished")}</dt><dd>{when(record.finished)}</dd></div>
        <div><dt>{t("run.progress")}</dt><dd>{t("record.of", { done: record.done, steps: record.steps })}</dd></div>
        <div><dt>{t("record.by")}</dt><dd>{record.devices.map((of) => `${phones.get(of)} (${report.steps.filter(({ done }) => done?.includes(of)).length})`).join(", ")}</dd></div>
      </dl>
      {standing && (
        <section aria-labelledby="expires-heading">
          <h2 id="expires-heading">{t("hooked.expires")}</h2>
          <ul class="plain">{standing.expires.map(({ what, says }) => <li key={what}><Say text={says} /></li>)}</ul>
        </section>
      )}
      <FindingLines findings={report.findings.filter(({ verdict }) => verdict !== "ok")} />
      {record.open.length > 0 && (
        <section aria-labelledby="left-heading">
          <h2 id="left-heading">{t("record.left")}</h2>
          <ul class="plain">{record.open.map(({ step: id, do: what }) => <li key={id}><Say text={what} /></li>)}</ul>
        </section>
      )}
      <Repairs walk={walk} device={device} />
      <Settled walk={walk} report={report} device={device} />
      <Evidence record={record} step={step} />
      {passed > 0 && rigDoc !== undefined && (
        <>
          <p>{t("record.set_up", { n: passed })}</p>
          <a class="button wide" href={`#${rigDoc}/brake-unit`}>{t("record.to_rig")}</a>
        </>
      )}
      {walk.list === "hook_up" && record.whole && <a class="button primary wide" href="#departure">{t("rules.to_departure")}</a>}
      <button type="button" class="wide quiet" onClick={reopen}>{t("record.reopen")}</button>
    </>
  );
}

/** Whose "not done" was answered, by whom, and when. */
function Settled({ walk, report, device }: Pick<Props, "walk" | "report" | "device">) {
  const steps = report.steps.filter(({ settled }) => settled);
  if (steps.length === 0) {
    return null;
  }
  return (
    <section aria-labelledby="settled-heading">
      <h2 id="settled-heading">{t("settled.title")}</h2>
      <ul class="plain">{steps.map((stand) => <li key={stand.step.id}><Say text={stand.step.do} /> <strong>{whoSays(walk, stand, device)}</strong></li>)}</ul>
    </section>
  );
}

/** Counts, readings, notes and photos. */
function Evidence({ record, step }: { record: RunRecord; step: (id: string) => Stand | undefined }) {
  const doing = (id: string) => {
    const stand = step(id);
    return stand ? <Say text={stand.step.do} /> : id;
  };
  const labelOf = (id: string) => {
    const stand = step(id);
    return t("photo.at_step", { step: stand ? sentenceOf(stand.step.do) : id });
  };
  if (record.counts.length + record.readings.length + record.notes.length === 0) {
    return null;
  }
  return (
    <section aria-labelledby="evidence-heading">
      <h2 id="evidence-heading">{t("record.evidence")}</h2>
      <ul class="plain">
        {record.counts.map(({ step: id, counting }) => (
          <li key={id}>{doing(id)} <strong>{countedWords(counting)}</strong></li>
        ))}
        {record.readings.map(({ step: id, judged }) => (
          <li key={`${id} ${judged.device}`}>
            {doing(id)}{" "}
            <strong>{judged.taken.volts !== undefined ? `${judged.taken.volts} V` : judged.taken.temperature && temperatureWords(judged.taken.temperature)}</strong>
          </li>
        ))}
        {record.notes.map(({ step: id, device, note, photo, test }) => (
          <li key={`${id} ${device}`}>
            {doing(id)} {note && <strong>{note}</strong>}{photo && <ShownPhoto id={photo} label={labelOf(id)} />}
            {test && <a class="button" href={`#lamps/${test}`}>{t("light.on_record")} <Icon name="chevron" size={18} /></a>}
          </li>
        ))}
      </ul>
    </section>
  );
}
