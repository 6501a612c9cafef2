/** The parts of what stands behind a trip's findings on brakes and battery. */

import type { Finding } from "../engine/types.ts";

export type Part = "stopping" | "descent" | "hold" | "day";

/** The part that shows what stands behind a finding, if one does. */
export function partOf({ id }: Finding): Part | undefined {
  return id.startsWith("brakes.grade") ? "descent"
    : /^brakes\.(stopping|stops-differ|limit|tightened|no-stop|lock|axles|stretched)/.test(id) ? "stopping"
    : /^breakaway\.(hold|reckoned|not-rested|old|ratings)/.test(id) ? "hold"
    : id.startsWith("battery.day") ? "day" : undefined;
}

/** Opens a part and leads there. */
export function reveal(part: Part): void {
  const details = document.getElementById(idOf(part));
  if (details instanceof HTMLDetailsElement) {
    details.open = true;
    details.scrollIntoView({ block: "start" });
    details.querySelector("summary")?.focus({ preventScroll: true });
  }
}

/** The id of a part's element. */
export function idOf(part: Part): string {
  return `on-trip-${part}`;
}
