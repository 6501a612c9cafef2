/** Why the store did not do what it was asked; nothing was changed and nothing lost. */

import type { ProblemDetails } from "../engine/types.ts";
import { t } from "../words/text.ts";

/**
 * full: no room on the device. engine: the engine has not loaded. refused: the
 * journal does not take this, `problem` says where. storage: the browser failed.
 */
export type FaultKind = "full" | "engine" | "refused" | "storage";

export class StoreFault extends Error {
  readonly kind: FaultKind;
  readonly problem: ProblemDetails | undefined;

  constructor(kind: FaultKind, problem?: ProblemDetails, cause?: unknown) {
    super(problem ? `${t(`fault.${kind}`)} ${problem.errors.map(({ detail }) => detail).join(" ") || problem.title}` : t(`fault.${kind}`), { cause });
    this.name = "StoreFault";
    this.kind = kind;
    this.problem = problem;
  }
}

/** What a failed transaction means. */
export function faultOf(reason: unknown): StoreFault {
  if (reason instanceof StoreFault) {
    return reason;
  }
  const full = reason instanceof DOMException && reason.name === "QuotaExceededError";
  return new StoreFault(full ? "full" : "storage", undefined, reason);
}
