/** An answer of the engine as state of a screen, asked anew when the question changes. */

import { useEffect, useState } from "preact/hooks";
import type { Engine, Outcome } from "../engine/client.ts";

/** The answer to an input, JSON text; undefined until it is there, and while nothing is asked. */
export function useAnswer<T>(engine: Engine, operation: string, input: string | undefined): Outcome<T> | undefined {
  const [answer, setAnswer] = useState<{ to: string; outcome: Outcome<T> }>();
  const question = input === undefined ? undefined : `${operation} ${input}`;
  useEffect(() => {
    if (input === undefined || question === undefined) {
      return;
    }
    let current = true;
    engine.run<T>(operation, input).then(
      (outcome) => current && setAnswer({ to: question, outcome }),
      () => {}, // the frame says that there is no engine
    );
    return () => {
      current = false;
    };
  }, [engine, question]);
  return answer?.to === question ? answer?.outcome : undefined;
}

/** The last value that was there. */
export function useLast<T>(value: T | undefined): T | undefined {
  const [last, setLast] = useState(value);
  if (value !== undefined && value !== last) setLast(value);
  return value ?? last;
}
