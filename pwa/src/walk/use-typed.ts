/** A text field that holds what is being typed, whatever is drawn anew around it and through another start, until it is kept. */

import { useEffect, useState } from "preact/hooks";
import { setUnkept, unkeptAt } from "../keep/unkept.ts";
import { t } from "../words/text.ts";

/** Keeps what was typed, without the spaces around it; answers why not, in words. */
export type Keep = (typed: string) => Promise<string | undefined>;

/**
 * The text of a field whose kept value is `kept`. `place` names the field for good:
 * the document and the pointer of what is typed there. `input` goes into the input
 * element; `why` says why its text is not kept, empty where it is.
 */
export function useTyped(place: string, kept: string, keep: Keep) {
  const [text, setText] = useState(() => unkeptAt(place) ?? kept);
  const [why, setWhy] = useState(() => (unkeptAt(place) === undefined ? "" : t("field.not_left")));
  // What another phone or a button beside it changed replaces what stands here, unless it was typed and is not kept.
  useEffect(() => {
    const typed = unkeptAt(place);
    setText(typed ?? kept);
    if (typed === undefined) setWhy("");
  }, [place, kept]);

  const leave = async (typed: string) => {
    const refused = typed === kept ? undefined : await keep(typed);
    setWhy(refused ?? "");
    // What was typed meanwhile is not kept by this.
    if (refused === undefined && unkeptAt(place)?.trim() === typed) setUnkept(place, undefined);
  };
  return {
    input: {
      type: "text" as const,
      autocomplete: "off",
      value: text,
      onInput: (event: { currentTarget: HTMLInputElement }) => {
        const typed = event.currentTarget.value;
        setText(typed);
        setUnkept(place, typed.trim() === kept ? undefined : typed);
      },
      onBlur: (event: { currentTarget: HTMLInputElement }) => void leave(event.currentTarget.value.trim()),
      onKeyDown: (event: { key: string; currentTarget: HTMLInputElement }) => {
        if (event.key === "Enter") void leave(event.currentTarget.value.trim());
      },
    },
    why: why && t("field.not_kept", { why }),
  };
}
