/** What this device keeps, and how it goes elsewhere as a file. */

import { useEffect, useRef, useState } from "preact/hooks";
import { dayOf } from "../departure/trip.ts";
import { StoreFault } from "../store/fault.ts";
import type { Store } from "../store/store.ts";
import { useDocuments, useStanding } from "../store/use-store.ts";
import { showNumber } from "../words/format.ts";

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
    setSaid("The file is on its way to your downloads.");
  };
  const bring = async () => {
    const chosen = file.current?.files?.[0];
    setFailed("");
    setSaid("");
    if (!chosen) return;
    try {
      const { edits, documents } = await store.importAll(await chosen.text());
      setSaid(edits === 0 ? "Everything in this file was here already." : `Brought in: ${edits} edits in ${documents} documents.`);
    } catch (reason) {
      setFailed(reason instanceof StoreFault ? reason.message : "The file could not be read.");
    } finally {
      if (file.current) file.current.value = "";
    }
  };
  return (
    <section aria-labelledby="kept-heading">
      <h2 id="kept-heading">What this device keeps</h2>
      <dl class="versions">
        <div><dt>Rigs</dt><dd>{rigs?.length ?? "…"}</dd></div>
        <div><dt>Walk-rounds and test records</dt><dd>{walks && tests ? walks.length + tests.length : "…"}</dd></div>
        <div><dt>Edits no server has yet</dt><dd>{standing.waiting}</dd></div>
        {used !== undefined && <div><dt>Space used by the app</dt><dd>{showNumber(used / 1e6)} MB</dd></div>}
      </dl>
      {standing.aside.length > 0 && (
        <p class="note tone-mind"><span>The server will not take {standing.aside.length} of your edits ({standing.aside[0]?.detail}). They stay on this device.</span></p>
      )}
      <p class="quiet">
        {standing.persistent
          ? "The browser has promised not to clear this by itself."
          : "The browser may clear this when space is short. Save a copy now and then."}
      </p>
      <div class="buttons">
        <button type="button" class="primary" onClick={() => void save().catch(() => setFailed("The copy could not be made."))}>Save a copy of everything</button>
        <button type="button" onClick={() => file.current?.click()}>Bring in a copy</button>
      </div>
      <input ref={file} type="file" accept=".json,application/json" hidden aria-label="A saved copy" onChange={() => void bring()} />
      <p class="hint">Bringing in a copy adds to what is here and never overwrites it. Photos are not in it.</p>
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
