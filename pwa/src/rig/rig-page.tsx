/** One rig: permission first, then what pulls, what is pulled, and everything between. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { useAddress, useHeading } from "../address.ts";
import { BrakeSections } from "../brakes/brake-sections.tsx";
import type { Engine } from "../engine/client.ts";
import type { Finding } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { StoreFault } from "../store/fault.ts";
import { valueAt, type JsonObject, type Write } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { useDocument } from "../store/use-store.ts";
import { t, textOf } from "../words/text.ts";
import { useReader } from "../words/use-reader.ts";
import { Say } from "../words/say.tsx";
import type { Units } from "../words/units.ts";
import { CouplingPicture } from "./coupling-picture.tsx";
import { refusal } from "./edit.ts";
import { Entries } from "./entries.tsx";
import { Field } from "./field.tsx";
import { groupOf } from "./field-words.ts";
import { NAME, SECTIONS, type Field as FieldSpec, type Section } from "./fields.ts";
import { inSection, useMissing } from "./missing.ts";
import { PagePhotos } from "./page-photos.tsx";
import { WiringMap } from "./wiring-map.tsx";

export function RigPage({ engine, store, doc }: { engine: Engine; store: Store; doc: string }) {
  const rig = useDocument(store, doc);
  const { units } = useReader();
  const read = rig !== undefined;
  const heading = useHeading(doc, read);
  const [, id = "", named] = useAddress();
  useLayoutEffect(() => reveal(named), [named, read]);
  const missing = useMissing(engine, JSON.stringify(rig ?? {}));
  // Undo waits for the field that was just left.
  const writing = useRef<Promise<unknown>>(Promise.resolve());
  if (rig === undefined) {
    return null;
  }
  const write = (writes: Write[]) => {
    const done = judgeAndWrite(writes);
    writing.current = done;
    return done;
  };
  const judgeAndWrite = async (writes: Write[]): Promise<string | undefined> => {
    try {
      const refused = await refusal(engine, rig ?? {}, writes);
      if (refused === undefined) await store.write(doc, writes);
      return refused;
    } catch (reason) {
      return reason instanceof StoreFault ? reason.message : new StoreFault("engine").message;
    }
  };
  const fieldsOf = (fields: FieldSpec[]) => <Fields doc={doc} fields={fields} rig={rig ?? {}} units={units} onWrite={write} />;
  return (
    <div class="rig-page">
      <div class="rig-overview">
        <p class="back-line"><a class="button" href="#rig"><Icon name="back" /> {t("rigs.all")}</a> <Undo store={store} doc={doc} rig={rig} writing={() => writing.current} /></p>
        <h1 ref={heading} tabIndex={-1}>{String(rig?.name ?? t("rigs.new"))}</h1>
        {rig === null && <p class="hint">{t("rig.hint")}</p>}
        {fieldsOf([NAME])}
        <Overview id={id} missing={missing} />
      </div>
      <div>
        {SECTIONS.map((section) => (
          <OneSection key={section.id} section={section} open={section.id === "permission"} missing={missing && inSection(missing, section, SECTIONS)}>
            {section.id === "coupling" && <CouplingPicture rig={rig ?? {}} />}
            <BrakeSections section={section.id} engine={engine} store={store} doc={doc} rig={rig ?? {}} onWrite={write} />
            {section.id === "wiring" && <WiringMap engine={engine} rig={rig ?? {}} />}
            {fieldsOf(section.fields)}
            {section.id === "permission" && <PagePhotos rig={rig ?? {}} onWrite={write} />}
            {section.entries?.map((entries) => <Entries key={entries.at} doc={doc} spec={entries} rig={rig ?? {}} units={units} onWrite={write} />)}
            {section.after && fieldsOf(section.after)}
          </OneSection>
        ))}
      </div>
    </div>
  );
}

/** The sections with how far each is, on a desk beside them. */
function Overview({ id, missing }: { id: string; missing: Finding[] | undefined }) {
  return (
    <nav class="rig-nav" aria-label={t("rig.sections")}>
      <ul>
        {SECTIONS.map((section) => (
          <li key={section.id}>
            <a href={`#rig/${id}/${section.id}`} onClick={() => reveal(section.id)}>
              <strong>{textOf(`section.${section.id}`)}</strong> <HowComplete missing={missing && inSection(missing, section, SECTIONS)} />
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}

/** Opens a section and leads there; nothing where there is none of this name. */
function reveal(section: string | undefined): void {
  const details = document.getElementById(`section-${section}`);
  if (details instanceof HTMLDetailsElement) {
    details.open = true;
    details.scrollIntoView({ block: "start" });
    details.querySelector("summary")?.focus({ preventScroll: true });
  }
}

function OneSection({ section, open, missing, children }: { section: Section; open: boolean; missing: Finding[] | undefined; children: preact.ComponentChildren }) {
  const intro = textOf(`section.${section.id}?`);
  return (
    <details class="rig-section" id={`section-${section.id}`} open={open}>
      <summary>
        <Icon name="chevron" size={20} />
        <h2>{textOf(`section.${section.id}`)}</h2>
        <HowComplete missing={missing} />
      </summary>
      <div class="rig-section-body">
        {intro && <p class="hint">{intro}</p>}
        {missing && missing.length > 0 && (
          <details class="folded small">
            <summary><Icon name="chevron" size={16} /> <span>{t("rig.what_missing")}</span></summary>
            <ul class="missing">
              {missing.map((finding) => (
                <li key={finding.id}><Say text={finding.says} />{finding.remedy && <span class="quiet"> <Say text={finding.remedy} /></span>}</li>
              ))}
            </ul>
          </details>
        )}
        {children}
      </div>
    </details>
  );
}

function HowComplete({ missing }: { missing: Finding[] | undefined }) {
  if (!missing) {
    return null;
  }
  const decide = missing.filter(({ decides }) => decides).length;
  const words = missing.length === 0 ? t("rig.complete") : decide > 0 ? t("rig.missing_decide", { n: missing.length, decide }) : t("rig.missing", { n: missing.length });
  return <span class="quiet">{words}</span>;
}

function Fields({ doc, fields, rig, units, onWrite }: { doc: string; fields: FieldSpec[]; rig: JsonObject; units: Units; onWrite: (writes: Write[]) => Promise<string | undefined> }) {
  return (
    <>
      {fields.map((field) => (
        <div key={field.at}>
          {groupOf(field) && <h3 class="rig-group">{groupOf(field)}</h3>}
          <Field
            place={doc + field.at} spec={field} value={valueAt(rig, field.at)} units={units}
            onKeep={(value) => onWrite([{ path: field.at, ...(value === undefined ? { removed: true as const } : { value }) }])}
          />
        </div>
      ))}
    </>
  );
}

function Undo({ store, doc, rig, writing }: { store: Store; doc: string; rig: JsonObject | null; writing: () => Promise<unknown> }) {
  const [can, setCan] = useState(false);
  const [said, setSaid] = useState("");
  useEffect(() => void store.undoable(doc).then(setCan, () => setCan(false)), [store, doc, rig]);
  const undo = () => writing().then(() => store.undo(doc)).then(
    (done) => setSaid(t(done ? "rig.undone" : "rig.nothing_to_undo")),
    (reason: unknown) => setSaid(reason instanceof StoreFault ? reason.message : String(reason)),
  );
  return (
    <>
      <button type="button" disabled={!can} onClick={() => void undo()}>{t("undo")}</button>
      <span class="for-ears" role="status">{said}</span>
    </>
  );
}
