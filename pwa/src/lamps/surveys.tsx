/** Where surveys are begun, and those on record. */

import { useState } from "preact/hooks";
import type { Rig } from "../departure/rigs.ts";
import { Icon } from "../marks/icon.tsx";
import { Store, type Document } from "../store/store.ts";
import { idOf } from "../walk/walk.ts";
import { when } from "../walk/when.ts";
import { t } from "../words/text.ts";
import { began, beginning, keptSurveys, KINDS, type SurveyKind } from "./survey.ts";

export function Surveys({ store, documents, rig }: { store: Store; documents: Document[] | undefined; rig: Rig | undefined }) {
  const [refused, setRefused] = useState("");
  const kept = keptSurveys(documents);
  const begin = async (kind: SurveyKind, of: Rig) => {
    const doc = Store.newDoc("test");
    try {
      await store.write(doc, beginning({ name: t(`survey.of.${kind}`, { rig: of.name }).slice(0, 120), kind, rig: idOf(of.id), rigName: of.name }, Date.now()));
      location.hash = doc.replace("test/", "lamps/survey/");
    } catch (reason) {
      setRefused(reason instanceof Error ? reason.message : String(reason));
    }
  };
  if (!rig && kept.length === 0) {
    return null;
  }
  return (
    <section aria-labelledby="survey-heading">
      <h2 id="survey-heading">{t("survey.section")}</h2>
      <p class="wrong" role="alert">{refused}</p>
      {rig && (
        <div class="lists">
          {KINDS.map((kind) => (
            <button key={kind} type="button" class="wide" onClick={() => void begin(kind, rig)}>
              <span><strong>{t(`survey.begin.${kind}`)}</strong><br /><span class="quiet-words">{t(`survey.about.${kind}`)}</span></span>
              <Icon name="chevron" size={18} />
            </button>
          ))}
        </div>
      )}
      {kept.length > 0 && (
        <>
          <h3>{t("survey.records")}</h3>
          <ul class="links">
            {kept.map(({ doc, value }) => (
              <li key={doc}>
                <a href={`#lamps/survey/${idOf(doc)}`}>
                  <span><strong>{value.name}</strong><br /><span class="quiet">{when(began(value))}{value.at === undefined ? t("lists.begun") : `. ${t(`survey.result.${value.result ?? "open"}`)}`}</span></span>
                  <Icon name="chevron" size={18} />
                </a>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
