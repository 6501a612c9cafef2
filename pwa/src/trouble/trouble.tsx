/** "Something is wrong": by what is noticed, to what to do about it where it happens. */

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { useAddress, useHeading } from "../address.ts";
import { chosenRig, useRigs } from "../departure/rigs.ts";
import type { Engine } from "../engine/client.ts";
import type { Failure, SymptomGroup, TroubleReport } from "../engine/types.ts";
import { remembered } from "../keep/local.ts";
import { Icon } from "../marks/icon.tsx";
import type { Store } from "../store/store.ts";
import { Say, sentenceOf, wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { FailurePage } from "./failure.tsx";
import { findFailures, indexOf } from "./find.ts";
import { HaltMark } from "./halt-mark.tsx";

/** The rig chosen on Departure: its id, name and JSON text; undefined where none is. */
export type ChosenRig = { id: string; name: string; text: string } | undefined;

export function Trouble({ engine, store }: { engine: Engine; store: Store }) {
  const rig: ChosenRig = chosenRig(useRigs(store), remembered<{ rig?: string }>("trip")?.rig ?? "");
  const [, first, second] = useAddress();
  const answer = useReport(engine, rig);
  const [typed, setTyped] = useState("");
  const heading = useHeading(`${first}/${second}`);
  const list = useRef("#trouble");
  if (first === undefined || first === "sign") {
    list.current = first === undefined ? "#trouble" : `#trouble/sign/${second}`;
  }
  if (answer === undefined || answer === "failed") {
    return <Waiting failed={answer === "failed"} />;
  }
  const failure = answer.failures.find(({ id }) => id === first);
  if (failure) {
    return <FailurePage engine={engine} store={store} rig={rig} failure={failure} always={answer.always} back={list.current} heading={heading} />;
  }
  const symptom = first === "sign" ? answer.symptoms.find(({ symptom }) => symptom === second) : undefined;
  if (symptom) {
    return (
      <div class="room trouble">
        <a class="button back" href="#trouble"><Icon name="back" /> {t("signs.all")}</a>
        <h1 ref={heading} tabIndex={-1}><Say text={symptom.says} /></h1>
        <p class="hint">{ofRig(rig)} {t("signs.which")}</p>
        <Failures failures={answer.failures.filter(({ symptoms }) => symptoms.includes(symptom.symptom))} />
      </div>
    );
  }
  return (
    <div class="room trouble">
      <h1 ref={heading} tabIndex={-1}>{t("trouble")}</h1>
      <p class="note tone-no_go">
        <span><strong>{t("signs.wheel")}</strong> {t("signs.pull_in")}</span>
      </p>
      <p>{answer.always[0] && <Say text={answer.always[0]} />}</p>
      <Search report={answer} typed={typed} onType={setTyped} />
      {typed.trim() === "" && <Symptoms symptoms={answer.symptoms} />}
    </div>
  );
}

function Waiting({ failed }: { failed: boolean }) {
  return (
    <div class="room trouble">
      <h1>{t("trouble")}</h1>
      {/* These words are in the app itself: they stand without the engine too. */}
      <ul class="boxed">{["explain", "held", "test"].map((id) => <li key={id}>{wordFor(`trouble.always_${id}`)}</li>)}</ul>
      <p class="hint empty" role={failed ? "alert" : undefined}>
        {t(failed ? "signs.no_engine" : "signs.getting")}
      </p>
    </div>
  );
}

function Search({ report, typed, onType }: { report: TroubleReport; typed: string; onType: (typed: string) => void }) {
  const index = useMemo(() => indexOf(report.failures, sentenceOf), [report]);
  const found = findFailures(typed, report.failures, index);
  const looked = typed.trim() !== "";
  return (
    <section aria-labelledby="search-heading">
      <h2 id="search-heading"><label for="trouble-search">{t("signs.look")}</label></h2>
      <input
        id="trouble-search"
        type="search"
        autocomplete="off"
        enterkeyhint="search"
        placeholder={t("signs.example")}
        value={typed}
        onInput={(event) => onType(event.currentTarget.value)}
      />
      <p class="hint" role="status">
        {looked && (found.length === 0 ? t("signs.nothing", { typed: typed.trim() }) : t("signs.found", { n: found.length }))}
      </p>
      {looked && <Failures failures={found} />}
    </section>
  );
}

const SENSES: SymptomGroup["sense"][] = ["see", "hear", "smell", "feel", "lamp", "monitor", "at_rest"];

function Symptoms({ symptoms }: { symptoms: SymptomGroup[] }) {
  return (
    <section aria-labelledby="symptoms-heading">
      <h2 id="symptoms-heading">{t("signs.title")}</h2>
      {SENSES.map((sense) => (
        <div key={sense} class="sense">
          <h3 id={`sense-${sense}`}>{t(`sense.${sense}`)}</h3>
          <ul class="links" aria-labelledby={`sense-${sense}`}>
            {symptoms.filter((group) => group.sense === sense).map((group) => (
              <li key={group.symptom}>
                <a href={`#trouble/sign/${group.symptom}`}>
                  <span><Say text={group.says} /></span>
                  <span class="count"><span class="for-ears">{t("signs.causes")}</span>{group.failures}</span>
                  <Icon name="chevron" size={18} />
                </a>
              </li>
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
}

/** Failures in their order, under the words that say when to halt. */
function Failures({ failures }: { failures: Failure[] }) {
  const can = failures.filter(({ applies }) => applies !== "cannot_happen");
  const cannot = failures.filter(({ applies }) => applies === "cannot_happen");
  return (
    <>
      <ul class="links failures">{can.map((failure) => <FailureLink key={failure.id} failure={failure} />)}</ul>
      {cannot.length > 0 && (
        <details class="folded">
          <summary><Icon name="chevron" /> <span class="folded-words">{t("signs.cannot")}</span> <span class="count">{cannot.length}</span></summary>
          <ul class="links failures">{cannot.map((failure) => <FailureLink key={failure.id} failure={failure} />)}</ul>
        </details>
      )}
    </>
  );
}

function FailureLink({ failure }: { failure: Failure }) {
  return (
    <li class={`halt-${failure.halt}`}>
      <a href={`#trouble/${failure.id}`}>
        <HaltMark halt={failure.halt} />
        <span class="failure-words">
          <span class="kicker">{t(`halt.${failure.halt}`)}</span>
          <strong><Say text={failure.name} /></strong>
          <span class="quiet"><Say text={failure.signs} /></span>
        </span>
        <Icon name="chevron" size={18} />
      </a>
    </li>
  );
}

function ofRig(rig: ChosenRig): string {
  return rig ? t("signs.for_rig", { rig: rig.name }) : t("signs.for_any");
}

function useReport(engine: Engine, rig: ChosenRig): TroubleReport | "failed" | undefined {
  const [answer, setAnswer] = useState<TroubleReport | "failed">();
  const text = rig?.text;
  useEffect(() => {
    let current = true;
    const ask = async () => {
      let outcome = await engine.run<TroubleReport>("trouble/list", text === undefined ? "{}" : `{"rig":${text}}`);
      if (!outcome.ok) {
        outcome = await engine.run<TroubleReport>("trouble/list", "{}"); // a rig that cannot be read must not hide the list
      }
      return outcome.ok ? outcome.value : ("failed" as const);
    };
    ask().then(
      (next) => current && setAnswer(next),
      () => current && setAnswer("failed"),
    );
    return () => {
      current = false;
    };
  }, [engine, text]);
  return answer;
}
