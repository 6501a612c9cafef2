/** A rig pasted or opened as JSON, judged by the engine before it is kept. */

import { useRef, useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { ProblemDetails } from "../engine/types.ts";
import { setUnkept, unkeptAt } from "../keep/unkept.ts";
import { StoreFault } from "../store/fault.ts";
import { t } from "../words/text.ts";
import { judgeRig } from "./judge.ts";
import { Problem } from "./problem.tsx";

/** Where a pasted rig that is not kept yet is remembered. */
const PASTED = "pasted-rig";

/** Whether a rig was pasted that is not kept yet. */
export function isPasted(): boolean {
  return unkeptAt(PASTED) !== undefined;
}

interface Props {
  engine: Engine;
  /** Keeps the rig of this JSON text; rejects with a StoreFault. */
  onKeep: (rig: string) => Promise<void>;
  onClose: () => void;
}

export function AddRig({ engine, onKeep, onClose }: Props) {
  const [text, setText] = useState(unkeptAt(PASTED) ?? "");
  const [problem, setProblem] = useState<ProblemDetails>();
  const [failed, setFailed] = useState("");
  const file = useRef<HTMLInputElement>(null);
  const area = useRef<HTMLTextAreaElement>(null);

  const judge = async (rig: Uint8Array) => {
    setFailed("");
    try {
      const judged = await judgeRig(engine, rig);
      if (judged.ok) {
        await onKeep(judged.rig);
        setUnkept(PASTED, undefined);
      } else {
        setProblem(judged.problem);
        area.current?.focus();
      }
    } catch (reason) {
      setFailed(
        reason instanceof StoreFault ? reason.message : t("add.fault"),
      );
    }
  };

  const cancel = () => {
    setUnkept(PASTED, undefined);
    onClose();
  };
  const open = async () => {
    const chosen = file.current?.files?.[0];
    if (!chosen) {
      return;
    }
    const bytes = new Uint8Array(await chosen.arrayBuffer());
    setText(new TextDecoder().decode(bytes));
    await judge(bytes); // the bytes, not the text: a broken file must not be mended in silence
    if (file.current) {
      file.current.value = "";
    }
  };

  return (
    <form
      class="add-rig"
      onSubmit={(event) => {
        event.preventDefault();
        void judge(new TextEncoder().encode(text));
      }}
    >
      <label for="rig-text">{t("add.label")}</label>
      <textarea
        id="rig-text"
        ref={area}
        rows={6}
        spellcheck={false}
        autocapitalize="off"
        autocomplete="off"
        placeholder='{"name": "…", "towing": {…}, "towed": {…}}'
        value={text}
        aria-invalid={problem !== undefined}
        aria-describedby={problem ? "rig-problem" : undefined}
        onInput={(event) => {
          setText(event.currentTarget.value);
          setUnkept(PASTED, event.currentTarget.value || undefined);
          setProblem(undefined);
        }}
      />
      <div id="rig-problem">
        {problem && <Problem problem={problem} under="/rig" />}
        {failed && <p class="problem" role="alert">{failed}</p>}
      </div>
      <div class="buttons">
        <button type="submit" class="primary" disabled={text.trim() === ""}>{t("add.check")}</button>
        <button type="button" onClick={() => file.current?.click()}>{t("add.open")}</button>
        <button type="button" class="quiet" onClick={cancel}>{t("add.cancel")}</button>
      </div>
      <input ref={file} type="file" accept=".json,application/json" hidden onChange={() => void open()} />
    </form>
  );
}
