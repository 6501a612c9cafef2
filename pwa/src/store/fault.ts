/** Why the store did not do what it was asked; nothing was changed and nothing lost. */

import type { ProblemDetails } from "../engine/types.ts";

/**
 * full: no room on the device. engine: the engine has not loaded. refused: the
 * journal does not take this, `problem` says where. storage: the browser failed.
 */
export type FaultKind = "full" | "engine" | "refused" | "storage";

const WORDS: Record<FaultKind, string> = {
  full: "There is no room left on this device, so this was not kept. Free some space, or save a copy of everything under More, then try again.",
  engine: "The engine has not loaded, so this was not kept. It is still in the field. Load the page again once there is signal.",
  refused: "This cannot be kept.",
  storage: "The browser could not keep this. It is still in the field; try again, or load the page again.",
};

export class StoreFault extends Error {
  readonly kind: FaultKind;
  readonly problem: ProblemDetails | undefined;

  constructor(kind: FaultKind, problem?: ProblemDetails, cause?: unknown) {
    super(problem ? `${WORDS[kind]} ${problem.errors.map(({ detail }) => detail).join(" ") || problem.title}` : WORDS[kind], { cause });
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
