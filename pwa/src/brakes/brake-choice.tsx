/** Each way to brake the car, judged for this rig: suits, suits if, ruled out, with every reason. */

import { useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { Engine } from "../engine/client.ts";
import type { BrakeOption, ChoiceReport, Text } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { valueAt, type JsonObject, type Write } from "../store/journal.ts";
import { Say, wordFor } from "../words/say.tsx";
import { t, type TextId } from "../words/text.ts";
import { choiceInput, type Use } from "./use.ts";
import { Report } from "./report.tsx";
import { SetUpTests } from "./set-up-tests.tsx";
import { TerrainChoice } from "./terrain-choice.tsx";
import { useReport } from "./use-report.ts";

interface Props {
  engine: Engine;
  rig: JsonObject;
  /** Keeps the writes; answers why not, in words. */
  onWrite: (writes: Write[]) => Promise<string | undefined>;
  /** Begins the list of the set-up tests and leads there. */
  onSetUp: () => Promise<void>;
}

export function BrakeChoice({ engine, rig, onWrite, onSetUp }: Props) {
  const [use, setUse] = useState<Use>({ terrain: "", rough: "", cars: "", motorhomes: "" });
  const outcome = useReport<ChoiceReport>(engine, "brakes/choice", { rig, ...choiceInput(use) });
  return (
    <div class="engineered">
      <Report outcome={outcome}>
        {(report) => (
          <>
            <details class="folded small brake-choice">
              <summary><Icon name="chevron" size={16} /> <span>{t("choice.title")}</span></summary>
              <p class="hint">{t("choice.hint")}</p>
              <UseForm use={use} onChange={(part) => setUse({ ...use, ...part })} />
              <ul class="options">{report.options.map((option) => <li key={option.actuation}><Option option={option} report={report} /></li>)}</ul>
              <h3>{t("choice.monitor")}</h3>
              <ul>{report.monitor.map(({ tap, fit, says }) => <li key={tap}><strong>{wordFor(`brakes.monitor_place.${tap}`)}</strong>: {t(`fit.${fit}`)}. <Say text={says} /></li>)}</ul>
              <p><Say text={report.breakaway} /></p>
            </details>
            {valueAt(rig, "/brake_unit/fitted") === true && <SetUpTests tests={report.tests} rig={rig} onWrite={onWrite} onBegin={onSetUp} />}
          </>
        )}
      </Report>
    </div>
  );
}

function UseForm({ use, onChange }: { use: Use; onChange: (part: Partial<Use>) => void }) {
  const asked = (name: "rough" | "cars" | "motorhomes", label: string) => (
    <div class="field">
      <span>{label}</span>
      <Switch label={label} value={use[name]} options={[["yes", t("yes")], ["no", t("no")], ["", t("not_known")]]} onChange={(value) => onChange({ [name]: value })} />
    </div>
  );
  return (
    <fieldset class="engineered-form">
      <legend>{t("choice.use")}</legend>
      <TerrainChoice value={use.terrain} onChange={(terrain) => onChange({ terrain })} />
      {asked("rough", t("choice.rough"))}
      {asked("cars", t("choice.cars"))}
      {asked("motorhomes", t("choice.motorhomes"))}
    </fieldset>
  );
}

function Option({ option, report }: { option: BrakeOption; report: ChoiceReport }) {
  const tests = report.tests.filter(({ id }) => option.tests.includes(id));
  return (
    <details class="entry option" data-fit={option.fit}>
      <summary>
        <Icon name="chevron" size={18} />
        <span><strong>{t(`fit.${option.fit}`)}</strong> <span class="option-name"><Say text={option.name} /></span></span>
      </summary>
      <div class="entry-body">
        <h3>{t("choice.reasons")}</h3>
        <ul>{option.reasons.map(({ fit, says }, at) => <li key={at}><strong>{t(`fit.${fit}`)}:</strong> <Say text={says} /></li>)}</ul>
        <Listed heading="choice.needs_towing" texts={option.needs_towing} />
        <Listed heading="choice.needs_towed" texts={option.needs_towed} />
        {option.controllers.length > 0 && (
          <>
            <h3>{t("choice.controllers")}</h3>
            <ul>{option.controllers.map((of) => <li key={of}>{wordFor(`brakes.controller.${of}`)}</li>)}</ul>
          </>
        )}
        <Listed heading="choice.tests" texts={tests.map((test) => test.do)} />
      </div>
    </details>
  );
}

function Listed({ heading, texts }: { heading: TextId; texts: Text[] }) {
  return texts.length === 0 ? null : (
    <>
      <h3>{t(heading)}</h3>
      <ul>{texts.map((text) => <li key={text.id}><Say text={text} /></li>)}</ul>
    </>
  );
}
