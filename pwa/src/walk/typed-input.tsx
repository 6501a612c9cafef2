/** A text field that holds what is being typed, whatever is drawn anew around it, and hands it on when it is left. */

import { useEffect, useState } from "preact/hooks";

interface Props {
  id: string;
  maxLength?: number;
  placeholder?: string;
  inputmode?: "decimal" | "numeric" | "text";
  "data-proof"?: boolean;
  "aria-invalid"?: boolean;
  "aria-describedby"?: string;
  /** What is kept. */
  value: string;
  /** Takes what was typed, without the spaces around it; false puts back what is kept. */
  onTyped: (typed: string) => unknown;
}

export function TypedInput({ value, onTyped, ...rest }: Props) {
  const [text, setText] = useState(value);
  useEffect(() => setText(value), [value]);
  return (
    <input
      {...rest}
      type="text"
      autocomplete="off"
      value={text}
      onInput={(event) => setText(event.currentTarget.value)}
      onChange={(event) => {
        if (onTyped(event.currentTarget.value.trim()) === false) setText(value);
      }}
    />
  );
}
