/** How prompts are given, and one prompt said again. */

import type { Store } from "../store/store.ts";
import { t } from "../words/text.ts";
import { canSpeak, canVibrate, speak, usePrompts } from "./prompt.ts";

export function PromptChoices({ store }: { store: Store }) {
  const { spoken, setSpoken, felt, setFelt } = usePrompts(store);
  return (
    <>
      {canSpeak() && <Tick words={t("lamps.spoken")} on={spoken} onChange={setSpoken} />}
      {canVibrate() && <Tick words={t("lamps.felt")} on={felt} onChange={setFelt} />}
    </>
  );
}

export function Tick({ words, on, onChange }: { words: string; on: boolean; onChange: (on: boolean) => void }) {
  return (
    <div class="choice">
      <label><input type="checkbox" checked={on} onChange={({ currentTarget }) => onChange(currentTarget.checked)} /> <span>{words}</span></label>
    </div>
  );
}

/** Says a prompt once more, for those who have spoken prompts. */
export function PromptButton({ store, words }: { store: Store; words: string }) {
  const { spoken } = usePrompts(store);
  return spoken && canSpeak() ? <button type="button" onClick={() => speak(words)}>{t("lamps.say_again")}</button> : null;
}
