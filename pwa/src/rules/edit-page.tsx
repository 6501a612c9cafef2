/** Adds a row, or changes one: every field as a sheet has it, checked by the core before it is kept. */

import { useEffect, useId, useState } from "preact/hooks";
import { dayOf } from "../departure/trip.ts";
import { Problem } from "../departure/problem.tsx";
import type { Engine } from "../engine/client.ts";
import type { ProblemDetails, RuleChange, RulesImported, SeenRuleChange } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import type { Store } from "../store/store.ts";
import { t, textOf } from "../words/text.ts";
import { apartIn, seenIn, useHistory } from "./apart.ts";
import { Author, useAuthor } from "./author.tsx";
import { nameOf, Ready, type ViewProps } from "./browse.tsx";
import { keeping, placeOf, type Changes } from "./changes.ts";
import { EXAMPLES, WEIGHTS } from "./condition-examples.ts";
import { conditionWords, weightName } from "./condition.ts";
import { Impact } from "./impact.tsx";
import { SUBJECTS, subjectName } from "./names.ts";
import { RowWords } from "./row-card.tsx";
import { readSheet, sheetOf } from "./sheet.ts";
import type { Law } from "./use-law.ts";

interface Props extends ViewProps {
  engine: Engine;
  store: Store;
  changes: Changes | undefined;
  /** The row to change, or the place to add one to. */
  id: string;
  adding: boolean;
}

type Cells = Record<string, string>;

/** The fields in the order in which a person reads a section. Those with choices hold one of them. */
const FIELDS: [name: string, choices?: string[]][] = [
  ["requirement"], ["covers", ["any_towed_vehicle", "towed_motor_vehicle", "trailer", "unclear", "other"]], ["when"], ["value"], ["unit", ["", "lamp", "reflector", "chain", "unit", "min", "ft", "m", "mph", "km_h"]],
  ["crossed", ["", "true"]], ["says", ["", "silent", "not_found"]], ["exempts_from", ["", ...SUBJECTS]], ["doubt"], ["from"], ["until"],
  ["citation"], ["url"], ["text_year"], ["source_kind", ["statute_text", "official_summary", "digest", "secondary", "memory"]], ["known", ["high", "medium", "low"]], ["verified_on"], ["note"],
];
const LONG = ["requirement", "when", "doubt", "note"];
const DAYS = ["from", "until", "verified_on"];

export function EditPage(props: Props) {
  const { law, heading, id, adding, engine, store, changes } = props;
  const cells = useCells(engine, changes, adding ? undefined : id);
  const past = useHistory(store, id);
  return (
    <Ready law={law}>
      {(known) => (
        <>
          <h1 ref={heading} tabIndex={-1}>{t(adding ? "rules.add" : "rules.change_row")}</h1>
          {!adding && <p class="quiet">{nameOf(known, placeOf(id))}: {subjectName(id.split(".")[1] ?? "")}</p>}
          {adding ? <Form {...props} known={known} given={{ jurisdiction: id, source_kind: "secondary", known: "low", covers: "unclear" }} />
            : cells === undefined || past === undefined ? <p class="hint empty">{t("rules.waiting")}</p>
            : cells === null ? <p class="hint empty">{t("rules.no_row")}</p>
            : <Form {...props} known={known} given={cells} seen={seenIn(apartIn(past))} />}
        </>
      )}
    </Ready>
  );
}

function Form({ engine, store, changes, adding, known, given, seen }: Props & { known: Law; given: Cells; seen?: SeenRuleChange[] }) {
  const [cells, setCells] = useState<Cells>(given);
  const [begunWith] = useState(seen); // what arrives while the form is open was not seen by who fills it in
  const [by, setBy] = useAuthor(store);
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState<Cells>({});
  const [problem, setProblem] = useState<ProblemDetails>();
  const [tried, setTried] = useState<RuleChange[]>();
  const set = (name: string, value: string) => {
    setCells({ ...cells, [name]: value });
    setTried(undefined);
  };
  const check = async () => {
    const row = adding ? { ...cells, id: freeID(known, cells) } : cells;
    setWrong({});
    setProblem(undefined);
    const outcome = await engine.run<RulesImported>("rules/import", JSON.stringify({
      format: "csv", text: sheetOf({ ...row, standing: "" }), by: by.trim(), reason: reason.trim(), at: Date.now(),
      rule_changes: (changes?.all ?? []).filter((change) => placeOf(change.row) === row.jurisdiction),
    }));
    if (!outcome.ok) {
      setProblem(outcome.problem);
    } else if (outcome.value.problems.length > 0) {
      setWrong(Object.fromEntries(outcome.value.problems.map((fault) => [fault.column ?? "", fault.reason])));
    } else if (outcome.value.changes.length === 0) {
      setWrong({ "": t("rules.same") });
    } else {
      setTried(outcome.value.changes.map((change) => ({ ...change, seen: begunWith ?? [] })));
    }
  };
  const keep = async () => {
    const change = tried?.[0];
    if (!change) return;
    await store.write(keeping(change).doc, keeping(change).writes);
    location.hash = `#rules/row/${change.row}`;
  };
  const shownWrong = FIELDS.some(([name]) => wrong[name] !== undefined);
  return (
    <>
      {adding && (
        <>
          <Cell name="jurisdiction" value={cells.jurisdiction ?? ""} wrong={wrong.jurisdiction} choices={["", ...known.places.map(({ jurisdiction }) => jurisdiction)]} words={(code) => (code === "" ? "…" : nameOf(known, code))} onChange={(value) => set("jurisdiction", value)} />
          <Cell name="subject" value={cells.subject ?? ""} wrong={wrong.subject} choices={["", ...SUBJECTS]} words={(subject) => (subject === "" ? "…" : subjectName(subject))} onChange={(value) => set("subject", value)} />
        </>
      )}
      {FIELDS.map(([name, choices]) => <Cell key={name} name={name} value={cells[name] ?? ""} wrong={wrong[name]} choices={choices} onChange={(value) => set(name, value)} />)}
      <button type="button" class="wide" onClick={() => set("verified_on", dayOf(new Date()))}>{t("rules.verified_today")}</button>
      <Author by={by} reason={reason} onBy={setBy} onReason={setReason} />
      {problem && <Problem problem={problem} />}
      <p class="wrong" role="alert">{shownWrong ? t("rules.fields_wrong") : Object.values(wrong).join(" ")}</p>
      {!tried && <button type="button" class="primary wide" onClick={() => void check()}>{t("rules.see")}</button>}
      {tried?.[0]?.yours && (
        <section aria-labelledby="becomes-heading">
          <h2 id="becomes-heading">{t("rules.becomes")}</h2>
          <article class="law-row"><RowWords row={tried[0].yours} /></article>
        </section>
      )}
      {tried && <Impact engine={engine} store={store} changes={changes?.all ?? []} tried={tried} onKeep={keep} />}
    </>
  );
}

interface CellProps {
  name: string;
  value: string;
  wrong: string | undefined;
  choices: string[] | undefined;
  words?: (choice: string) => string;
  onChange: (value: string) => void;
}

function Cell({ name, value, wrong, choices, words = (choice) => choiceWords(name, choice), onChange }: CellProps) {
  const id = useId();
  const shared = { id, "aria-invalid": wrong !== undefined, "aria-describedby": `${id}-hint ${id}-wrong` };
  // A condition is one line, however it is broken on a narrow screen.
  const type = (event: { currentTarget: { value: string } }) => onChange(name === "when" ? event.currentTarget.value.replace(/\s*\n\s*/g, " ") : event.currentTarget.value);
  return (
    <div class="rig-field">
      <label class="rig-label" for={id}>{textOf(`rules.field.${name}`) ?? name}</label>
      {choices ? (
        <select {...shared} value={value} onChange={type}>{choices.map((choice) => <option key={choice} value={choice}>{words(choice)}</option>)}</select>
      ) : LONG.includes(name) ? (
        <textarea {...shared} rows={3} value={value} onInput={type} />
      ) : DAYS.includes(name) ? (
        <input {...shared} type="date" value={value} onInput={type} />
      ) : (
        <input {...shared} type="text" autocomplete="off" value={value} onInput={type} />
      )}
      <p class="hint" id={`${id}-hint`}>{textOf(`rules.hint.${name}`)}</p>
      <p class="wrong" id={`${id}-wrong`}>{wrong}</p>
      {name === "when" && <ConditionHelp />}
    </div>
  );
}

/** How a condition is written, test by test. */
function ConditionHelp() {
  return (
    <details class="condition-help">
      <summary><Icon name="chevron" size={16} /> <span>{t("rules.when_help")}</span></summary>
      <p>{t("rules.when_joined")}</p>
      <dl>{EXAMPLES.map(([line, test]) => <div key={line}><dt><code>{line}</code></dt><dd>{conditionWords(test)}</dd></div>)}
        <div><dt><code>{t("rules.when_stated")}</code></dt><dd>{t("rules.when_stated_words")}</dd></div>
      </dl>
      <p>{t("rules.when_weights")}</p>
      <dl>{WEIGHTS.map((weight) => <div key={weight}><dt><code>{weight}</code></dt><dd>{weightName(weight)}</dd></div>)}</dl>
    </details>
  );
}

function choiceWords(name: string, choice: string): string {
  const subject = name === "exempts_from" && choice !== "" ? subjectName(choice) : undefined;
  return subject ?? textOf(`rules.choice.${name}.${choice}`) ?? textOf(`${name}.${choice}`) ?? (choice || t("rules.none"));
}

/** An id of the workspace's own that no row has. */
function freeID(known: Law, { jurisdiction = "", subject = "" }: Cells): string {
  const taken = new Set(known.rows.map(({ row }) => row.id));
  for (let n = 1; ; n++) {
    const id = `${jurisdiction}.${subject}.ours${n === 1 ? "" : n}`;
    if (!taken.has(id)) return id;
  }
}

/** The row as a sheet has it; null where there is none. */
function useCells(engine: Engine, changes: Changes | undefined, id: string | undefined): Cells | null | undefined {
  const [cells, setCells] = useState<Cells | null>();
  useEffect(() => {
    let open = true;
    if (changes && id !== undefined) {
      const [jurisdiction, subject] = id.split(".");
      const rule_changes = changes.all.filter(({ row }) => placeOf(row) === jurisdiction);
      engine.run<{ text: string }>("rules/export", JSON.stringify({ format: "csv", jurisdiction, subject, rule_changes })).then(
        (outcome) => open && setCells((outcome.ok && readSheet(outcome.value.text).find((row) => row.id === id)) || null),
        () => open && setCells(null),
      );
    }
    return () => {
      open = false;
    };
  }, [engine, changes, id]);
  return cells;
}
