/** What this device keeps, and how it goes elsewhere as a file. */

import { useEffect, useRef, useState } from "preact/hooks";
import { dayOf } from "../departure/trip.ts";
import { StoreFault } from "../store/fault.ts";
import type { Store } from "../store/store.ts";
import { useDocuments, useStanding } from "../store/use-store.ts";
import { showNumber } from "../words/format.ts";
import { t } from "../words/text.ts";

export function KeptHere({ store }: { store: Store }) {
  const standing = useStanding(store);
  const [rigs, walks, tests] = [useDocuments(store, "rig"), useDocuments(store, "walk"), useDocuments(store, "test")];
  const used = useUsed();
  const [said, setSaid] = useState("");
  const [failed, setFailed] = useState("");
  const file = useRef<HTMLInputElement>(null);

  const save = async () => {
    const text = await store.exportAll();
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = `pintail-${dayOf(new Date())}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    setSaid(t("kept.saved"));
  };
  const bring = async () => {
    const chosen = file.current?.files?.[0];
    setFailed("");
    setSaid("");
    if (!chosen) return;
    try {
      const { edits, documents } = await store.importAll(await chosen.text());
      setSaid(edits === 0 ? t("kept.same") : t("kept.brought", { edits, documents }));
    } catch (reason) {
      setFailed(reason instanceof StoreFault ? reason.message : t("kept.unread"));
    } finally {
      if (file.current) file.current.value = "";
    }
  };
  return (
    <section aria-labelledby="kept-heading">
      <h2 id="kept-heading">{t("kept.title")}</h2>
      <dl class="versions">
        <div><dt>{t("kept.rigs")}</dt><dd>{rigs?.length ?? "…"}</dd></div>
        <div><dt>{t("kept.records")}</dt><dd>{walks && tests ? walks.length + tests.length : "…"}</dd></div>
        <div><dt>{t("kept.waiting")}</dt><dd>{standing.waiting}</dd></div>
        {used !== undefined && <div><dt>{t("kept.space")}</dt><dd>{showNumber(used / 1e6)} MB</dd></div>}
      </dl>
      {standing.aside.length > 0 && (
        <p class="note tone-mind"><span>{t("kept.aside", { n: standing.aside.length, why: standing.aside[0]?.detail ?? "" })}</span></p>
      )}
      <p class="quiet">
        {standing.persistent
          ? t("kept.persistent")
          : t("kept.may_clear")}
      </p>
      <div class="buttons">
        <button type="button" class="primary" onClick={() => void save().catch(() => setFailed(t("kept.unsaved")))}>{t("kept.save")}</button>
        <button type="button" onClick={() => file.current?.click()}>{t("kept.bring")}</button>
      </div>
      <input ref={file} type="file" accept=".json,application/json" hidden aria-label={t("kept.file")} onChange={() => void bring()} />
      <p class="hint">{t("kept.hint")}</p>
      <p role="status">{said}</p>
      {failed && <p class="problem" role="alert">{failed}</p>}
    </section>
  );
}

function useUsed(): number | undefined {
  const [used, setUsed] = useState<number>();
  useEffect(() => {
    navigator.storage?.estimate?.().then(({ usage }) => setUsed(usage), () => {});
  }, []);
  return used;
}
