/** Shows what the engine will not take, and where it stands. */

import type { ProblemDetails } from "../engine/types.ts";
import { pointerInWords } from "../words/pointer.ts";

/** `under` is the pointer of the thing shown, which the person need not see. */
export function Problem({ problem, under = "" }: { problem: ProblemDetails; under?: string }) {
  return (
    <div class="problem" role="alert">
      <p class="problem-title">{problem.title}</p>
      <ul>
        {problem.errors.map((error) => {
          const pointer = error.pointer.startsWith(under) ? error.pointer.slice(under.length) : error.pointer;
          return (
            <li>
              {pointer !== "" && (
                <span class="place">
                  {pointerInWords(pointer)} <code>{pointer}</code>
                </span>
              )}
              <span>{error.detail}</span>
            </li>
          );
        })}
      </ul>
    </div>
  );
}
