/** The room Lamps: what the rear of a rig should show, and the light tests that prove it. */

import { useState } from "preact/hooks";
import { useAddress, useHeading } from "../address.ts";
import { Problem } from "../departure/problem.tsx";
import { chosenRig, useAllRigs, useRigs, type Rig } from "../departure/rigs.ts";
import type { Engine } from "../engine/client.ts";
import type { LightTestBy, LightTestReport } from "../engine/types.ts";
import { remembered } from "../keep/local.ts";
import { HIDDEN, OffThisPhone, Removal, type Named } from "../keep/removal.tsx";
import { Icon } from "../marks/icon.tsx";
import { Store } from "../store/store.ts";
import { useDevice, useDocuments, useSetting } from "../store/use-store.ts";
import { idOf } from "../walk/walk.ts";
import { when } from "../walk/when.ts";
import { t } from "../words/text.ts";
import { Expected, RestsOn, StepPicker, WhichWins } from "./expected.tsx";
import { beginning, isRunning, keptTests, momentOf, type Kept, type LightTest } from "./record.ts";
import { SurveyPage } from "./survey-page.tsx";
import { Surveys } from "./surveys.tsx";
import { TestPage } from "./test-page.tsx";
import { useAnswer, useLast } from "./use-answer.ts";
import "../rig/wiring.css";
import "./lamps.css";

export function LampsRoom({ engine, store }: { engine: Engine; store: Store }) {
  const [, id, within] = useAddress();
  const all = useAllRigs(store); // a test goes on though its rig was taken off this phone
  const device = useDevice(store);
  if (id === undefined || id === "") {
    return <Choose engine={engine} store={store} of={undefined} />;
  }
  if (id === "of") {
    return <Choose key={within} engine={engine} store={store} of={within} />;
  }
  if (!all || device === undefined) {
    return null;
  }
  if (id === "survey") {
    return <SurveyPage key={within} engine={engine} store={store} id={within ?? ""} rigs={all} />;
  }
  return <TestPage key={id} engine={engine} store={store} device={device} id={id} rigNow={(rig) => all.find((kept) => idOf(kept.id) === rig)?.text} />;
}

/** `of` is the id of the rig that the room is opened for, without what says where it is kept; the trip's if undefined. */
function Choose({ engine, store, of }: { engine: Engine; store: Store; of: string | undefined }) {
  const rigs = useRigs(store);
  const documents = useDocuments(store, "test");
  const tests = keptTests(documents);
  const heading = useHeading("lamps");
  const [chosen, setChosen] = useState(() => (of === undefined ? remembered<{ rig?: string }>("trip")?.rig : undefined) ?? "");
  const rig = rigs?.find(({ id }) => id === chosen) ?? rigs?.find(({ id }) => idOf(id) === of) ?? chosenRig(rigs, chosen) ?? rigs?.[0];
  const [hidden] = useSetting<string[]>(store, HIDDEN, NONE);
  const [going, setGoing] = useState<Named>();
  const shown = tests?.filter(({ doc }) => !hidden.includes(doc)) ?? [];
  const open = shown.filter(({ value }) => isRunning(value));
  const past = shown.filter(({ value }) => !isRunning(value));
  return (
    <div class="room lamps">
      <h1 ref={heading} tabIndex={-1}>{t("room.lamps")}</h1>
      {open.length > 0 && (
        <section aria-labelledby="open-heading">
          <h2 id="open-heading">{t("lists.open")}</h2>
          <TestLinks tests={open} onRemove={setGoing} />
        </section>
      )}
      {rigs?.length === 0 && <p class="hint">{t("lists.none")}</p>}
      {rigs && rig && (
        <div class="rig-field">
          <label for="lamps-rig">{t("rig_choice.rig")}</label>
          <select id="lamps-rig" value={rig.id} onChange={({ currentTarget }) => setChosen(currentTarget.value)}>
            {rigs.map(({ id, name }) => <option key={id} value={id}>{name}</option>)}
          </select>
        </div>
      )}
      {rig && <Rear key={idOf(rig.id)} engine={engine} rig={rig} />}
      {rig && <Begin store={store} rig={rig} />}
      <Surveys store={store} documents={documents} rig={rig} />
      {past.length > 0 && (
        <section aria-labelledby="past-heading">
          <h2 id="past-heading">{t("lists.records")}</h2>
          <TestLinks tests={past} onRemove={setGoing} />
        </section>
      )}
      <Removal store={store} one={going} onSettled={() => setGoing(undefined)} />
      <OffThisPhone store={store} all={tests?.map(named)} />
    </div>
  );
}

const NONE: string[] = [];

function nameOf({ name, run }: LightTest): string {
  return name ?? run?.rig_name ?? t("lamps.a_test");
}

/** What a test is called where it may be removed. */
function named({ doc, value }: Kept): Named {
  return { id: doc, name: t("lamps.one", { name: nameOf(value), when: when(momentOf(value)) }) };
}

function TestLinks({ tests, onRemove }: { tests: Kept[]; onRemove: (one: Named) => void }) {
  return (
    <ul class="links">
      {tests.map(({ doc, value }) => (
        <li key={doc} class="with-button">
          <a href={`#lamps/${idOf(doc)}`}>
            <span>
              <strong>{nameOf(value)}</strong>
              <br />
              <span class="quiet">{when(momentOf(value))}{isRunning(value) ? t("lists.begun") : `. ${t(`lamps.result.${value.result ?? "open"}`)}`}</span>
            </span>
            <Icon name="chevron" size={18} />
          </a>
          <button type="button" class="only-icon quiet" aria-label={t("remove_one", { name: named({ doc, value }).name })} onClick={() => onRemove(named({ doc, value }))}>
            <Icon name="remove" />
          </button>
        </li>
      ))}
    </ul>
  );
}

const WAYS = ["two_people", "one_person", "bench"] as const;

/** Begins a light test, as many people as there are. */
function Begin({ store, rig }: { store: Store; rig: Rig }) {
  const [refused, setRefused] = useState("");
  const begin = async (by: LightTestBy) => {
    const doc = Store.newDoc("test");
    try {
      await store.write(doc, beginning({ name: t(by === "bench" ? "bench.test_of" : "lamps.test_of", { rig: rig.name }).slice(0, 120), rig: idOf(rig.id), by, run: { rig_name: rig.name, rig_text: rig.text } }, Date.now()));
      location.hash = doc.replace("test/", "lamps/");
    } catch (reason) {
      setRefused(t("lamps.not_begun", { why: reason instanceof Error ? reason.message : String(reason) }));
    }
  };
  return (
    <section aria-labelledby="begin-heading">
      <h2 id="begin-heading">{t("lamps.run")}</h2>
      <p class="wrong" role="alert">{refused}</p>
      <div class="lists">
        {WAYS.map((by) => (
          <button key={by} type="button" class="wide" onClick={() => void begin(by)}>
            <span><strong>{t(`lamps.by.${by}`)}</strong><br /><span class="quiet-words">{t(`lamps.about.${by}`)}</span></span>
            <Icon name="chevron" size={18} />
          </button>
        ))}
      </div>
    </section>
  );
}

function Rear({ engine, rig }: { engine: Engine; rig: Rig }) {
  // A rig that changes under the eyes, as one that comes from the server once more does, leaves the picture until the next is there.
  const answer = useLast(useAnswer<LightTestReport>(engine, "lamps/test", `{"rig":${rig.text}}`));
  const [chosen, setChosen] = useState("tail_brake");
  const [won, setWon] = useState(0);
  if (!answer) {
    return <p class="hint" role="status">{t("departure.working")}</p>;
  }
  if (!answer.ok) {
    return <Problem problem={answer.problem} under="/rig" />;
  }
  const test = answer.value;
  const step = test.steps.find((one) => one.step === chosen) ?? test.steps[0];
  const picture = step?.expect[won] ?? step?.expect[0];
  return (
    <section aria-labelledby="expected-heading">
      <h2 id="expected-heading">{t("lamps.expected")}</h2>
      <RestsOn test={test} rig={rig.id} />
      {step && picture && (
        <>
          <StepPicker test={test} step={step} onStep={(next) => setChosen(next.step)} />
          <WhichWins step={step} won={won} onWon={setWon} />
          <Expected key={step.step} test={test} step={step} picture={picture} />
        </>
      )}
    </section>
  );
}
