/** An operation's answer as state of a screen. */

import { useEffect, useState } from "preact/hooks";
import type { Engine, Outcome } from "../engine/client.ts";

/** Asks whenever the input changes; the last question asked is the one shown. Undefined until it is answered, and without a question. */
export function useReport<T>(engine: Engine, operation: string, input: object | undefined): Outcome<T> | undefined {
  const [outcome, setOutcome] = useState<Outcome<T>>();
  const question = input && JSON.stringify(input);
  useEffect(() => {
    let current = true;
    if (question === undefined) {
      setOutcome(undefined);
      return;
    }
    engine.run<T>(operation, question).then(
      (answer) => current && setOutcome(answer),
      () => {}, // the frame says that there is no engine
    );
    return () => {
      current = false;
    };
  }, [engine, operation, question]);
  return outcome;
}
