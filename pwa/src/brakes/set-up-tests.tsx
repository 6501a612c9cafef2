/** The set-up tests of the unit on the rig: what each asks, what passes, and whether it was passed. */

import { useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import { dayOf } from "../departure/trip.ts";
import type { SetUpStep } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { StoreFault } from "../store/fault.ts";
import { valueAt, type JsonObject, type Write } from "../store/journal.ts";
import { testWrites } from "../walk/set-up-record.ts";
import { showDay } from "../words/format.ts";
import { Say, sentenceOf } from "../words/say.tsx";
import { t } from "../words/text.ts";

interface Props {
  tests: SetUpStep[];
  rig: JsonObject;
  /** Keeps the writes; answers why not, in words. */
  onWrite: (writes: Write[]) => Promise<string | undefined>;
  /** Begins the list of these tests and leads there. */
  onBegin: () => Promise<void>;
}

type Answer = "yes" | "no" | "";

export function SetUpTests({ tests, rig, onWrite, onBegin }: Props) {
  const [refused, setRefused] = useState("");
  const passed = tests.filter(({ id }) => valueAt(rig, `/brake_unit/set_up/${id}/passed`) === true).length;
  const begin = () => onBegin().catch((reason: unknown) => setRefused(reason instanceof StoreFault ? reason.message : String(reason)));
  const keep = async (id: string, answer: Answer) => setRefused((await onWrite(testWrites(id, answer === "" ? undefined : answer === "yes", dayOf(new Date())))) ?? "");
  return (
    <details class="folded small set-up-tests">
      <summary><Icon name="chevron" size={16} /> <span>{t("set_up.title", { passed, tests: tests.length })}</span></summary>
      <p class="hint">{t("set_up.hint")}</p>
      <button type="button" class="wide" onClick={() => void begin()}>{t("set_up.begin")}</button>
      <p class="wrong" role="alert">{refused && t("field.not_kept", { why: refused })}</p>
      <ol class="stop-steps">{tests.map((test) => <li key={test.id}><Test test={test} rig={rig} onAnswer={(answer) => keep(test.id, answer)} /></li>)}</ol>
    </details>
  );
}

function Test({ test, rig, onAnswer }: { test: SetUpStep; rig: JsonObject; onAnswer: (answer: Answer) => void }) {
  const passed = valueAt(rig, `/brake_unit/set_up/${test.id}/passed`);
  const on = valueAt(rig, `/brake_unit/set_up/${test.id}/on`);
  return (
    <>
      <p><Say text={test.do} /></p>
      <p class="quiet">{t("set_up.passes", { when: sentenceOf(test.pass) })}</p>
      <Switch
        label={sentenceOf(test.do)} value={passed === true ? "yes" : passed === false ? "no" : ""} onChange={onAnswer}
        options={[["yes", t("set_up.passed")], ["no", t("set_up.not_passed")], ["", t("set_up.not_done")]]}
      />
      {typeof on === "string" && passed !== undefined && <p class="hint">{showDay(on)}</p>}
    </>
  );
}
