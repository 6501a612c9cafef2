/** The end of a test: where and by whom it was made, and the record. */

import { useState } from "preact/hooks";
import type { RecordReport } from "../engine/types.ts";
import { useTyped } from "../walk/use-typed.ts";
import { t } from "../words/text.ts";
import { finishing, recordSoFar, stamp } from "./record.ts";
import type { Working } from "./use-test.ts";

/** Keeps the record, dated, as the core judges it, with the rig as it was. */
export function Finish({ engine, id, test, report, rig, write, open }: Working & { open: number }) {
  const [refused, setRefused] = useState("");
  const place = useSaid(id, "place", test.place, write);
  const watcher = useSaid(id, "watcher", test.watcher, write);
  const finish = async () => {
    const now = new Date();
    // What is typed counts, whether or not its field has been left.
    const said = { ...test, place: place.input.value.trim(), watcher: watcher.input.value.trim() };
    const outcome = await engine.run<RecordReport>("lamps/record", `{"rig":${rig},"record":${JSON.stringify(recordSoFar(said, report, stamp(now)))}}`);
    if (outcome.ok) await write(finishing(outcome.value.record, rig, now.getTime()));
    else setRefused(outcome.problem.detail);
  };
  return (
    <>
      {open > 0 && <p class="hint">{t("lamps.finish_open", { n: open })}</p>}
      <Said name="place" label={t("run.where")} most={200} typed={place} />
      <Said name="watcher" label={t("lamps.watcher")} most={80} typed={watcher} />
      <p class="wrong" role="alert">{refused}</p>
      <button type="button" class={`wide${open === 0 ? " primary" : ""}`} onClick={() => void finish()}>{t("run.finish")}</button>
    </>
  );
}

/** A word of the record as it is typed. */
function useSaid(id: string, name: "place" | "watcher", kept: string | undefined, write: Working["write"]) {
  return useTyped(`test/${id}/${name}`, kept ?? "", async (typed) =>
    (await write([typed === "" ? { path: `/${name}`, removed: true } : { path: `/${name}`, value: typed }])) ? undefined : t("trace.not_taken"));
}

function Said({ name, label, most, typed: { input, why } }: { name: string; label: string; most: number; typed: ReturnType<typeof useTyped> }) {
  return (
    <div class="rig-field">
      <label for={`lamps-${name}`}>{label}</label>
      <input {...input} id={`lamps-${name}`} maxLength={most} aria-invalid={why !== ""} aria-describedby={`lamps-${name}-why`} />
      <p class="wrong" id={`lamps-${name}-why`} role="status">{why}</p>
    </div>
  );
}
