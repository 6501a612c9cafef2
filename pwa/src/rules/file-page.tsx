/** Rows out to a file and in from one: all of it or nothing, after a look at what it would do. */

import { useRef, useState } from "preact/hooks";
import { dayOf } from "../departure/trip.ts";
import { Problem } from "../departure/problem.tsx";
import type { Engine } from "../engine/client.ts";
import type { ProblemDetails, RulesExported, RulesImported } from "../engine/types.ts";
import type { Store } from "../store/store.ts";
import { t } from "../words/text.ts";
import { Author, useAuthor } from "./author.tsx";
import type { ViewProps } from "./browse.tsx";
import { keeping, type Changes } from "./changes.ts";
import { Impact } from "./impact.tsx";

interface Props extends ViewProps {
  engine: Engine;
  store: Store;
  changes: Changes | undefined;
}

const FORMATS = ["csv", "json"] as const;
const STANDINGS = ["", "added", "changed", "withdrawn"] as const;

export function FilePage({ engine, store, changes, heading }: Props) {
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.file")}</h1>
      <Out engine={engine} changes={changes} />
      <In engine={engine} store={store} changes={changes} />
    </>
  );
}

function Out({ engine, changes }: { engine: Engine; changes: Changes | undefined }) {
  const [standing, setStanding] = useState("");
  const [failed, setFailed] = useState("");
  const save = async (format: (typeof FORMATS)[number]) => {
    const outcome = await engine.run<RulesExported>("rules/export", JSON.stringify({ format, rule_changes: changes?.all ?? [], ...(standing && { standing }) }));
    if (!outcome.ok) {
      setFailed(outcome.problem.title);
      return;
    }
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([outcome.value.text], { type: format === "csv" ? "text/csv" : "application/json" }));
    link.download = `rules-${dayOf(new Date())}.${format}`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  };
  return (
    <section aria-labelledby="out-heading">
      <h2 id="out-heading">{t("rules.out")}</h2>
      <label class="rig-field">
        <span class="rig-label">{t("rules.out_which")}</span>
        <select value={standing} onChange={(event) => setStanding(event.currentTarget.value)}>
          {STANDINGS.map((one) => <option key={one} value={one}>{one === "" ? t("rules.every") : t(`rules.standing.${one}`)}</option>)}
        </select>
      </label>
      <div class="buttons">
        {FORMATS.map((format) => <button key={format} type="button" onClick={() => void save(format).catch((reason: Error) => setFailed(reason.message))}>{t(`rules.out_${format}`)}</button>)}
      </div>
      {failed && <p class="problem" role="alert">{failed}</p>}
    </section>
  );
}

function In({ engine, store, changes }: { engine: Engine; store: Store; changes: Changes | undefined }) {
  const [by, setBy] = useAuthor(store);
  const [reason, setReason] = useState("");
  const [problem, setProblem] = useState<ProblemDetails>();
  const [report, setReport] = useState<RulesImported>();
  const [said, setSaid] = useState("");
  const file = useRef<HTMLInputElement>(null);
  const look = async () => {
    const chosen = file.current?.files?.[0];
    setProblem(undefined);
    setReport(undefined);
    setSaid("");
    if (!chosen) return;
    try {
      // Bytes that are no UTF-8 are refused, not mended.
      const text = new TextDecoder("utf-8", { fatal: true }).decode(await chosen.arrayBuffer());
      const outcome = await engine.run<RulesImported>("rules/import", JSON.stringify({
        format: /^\s*\[/.test(text) ? "json" : "csv", text, by: by.trim(), reason: reason.trim(), at: Date.now(), rule_changes: changes?.all ?? [],
      }));
      if (outcome.ok) setReport(outcome.value);
      else setProblem(outcome.problem);
    } catch {
      setSaid(t("rules.not_text"));
    } finally {
      if (file.current) file.current.value = "";
    }
  };
  const keep = async () => {
    if (!report) return;
    await store.writeAll(report.changes.map(keeping));
    setReport(undefined);
    setSaid(t("rules.taken", { n: report.changes.length }));
  };
  const ready = by.trim() !== "" && reason.trim() !== "";
  return (
    <section aria-labelledby="in-heading">
      <h2 id="in-heading">{t("rules.in")}</h2>
      <p class="hint">{t("rules.in_hint")}</p>
      <Author by={by} reason={reason} onBy={setBy} onReason={setReason} />
      <button type="button" class="wide" disabled={!ready} onClick={() => file.current?.click()}>{t("rules.in_choose")}</button>
      <input ref={file} type="file" accept=".csv,.json,text/csv,application/json" hidden aria-label={t("rules.in_file")} onChange={() => void look()} />
      {problem && <Problem problem={problem} />}
      <p role="status">{said}</p>
      {report && report.problems.length > 0 && (
        <div class="problem" role="alert">
          <p class="problem-title">{t("rules.in_refused")}</p>
          <ul>{report.problems.map((fault, at) => <li key={at}><strong>{t("rules.line", { n: fault.line })}{fault.column && `, ${fault.column}`}</strong>: {fault.reason}</li>)}</ul>
          {report.more > 0 && <p>{t("rules.in_more", { n: report.more })}</p>}
        </div>
      )}
      {report && report.problems.length === 0 && (
        <>
          <dl class="versions">
            {(["rows", "same", "added", "changed", "withdrawn", "restored"] as const).map((name) => <div key={name}><dt>{t(`rules.count.${name}`)}</dt><dd>{report.counts[name]}</dd></div>)}
          </dl>
          {report.changes.length > 0 && <Impact engine={engine} store={store} changes={changes?.all ?? []} tried={report.changes} onKeep={keep} />}
        </>
      )}
    </section>
  );
}
