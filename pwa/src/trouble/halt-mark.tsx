/** When to halt, as a mark: a wheel, and what holds it. Its words always stand beside it. */

import type { Failure } from "../engine/types.ts";

const STROKES: Record<Failure["halt"], string> = {
  // A wheel chocked on both sides.
  now: "M2 20.5 6.5 14l2 6.5zM22 20.5 17.5 14l-2 6.5zM1 21h22",
  // A wheel that still rolls, and the chock ahead of it.
  next_safe_place: "M22.5 20.5 18.5 15l-2 5.5zM1 21h22M1.5 8.5h3.5M1.5 12.5h2",
  // A wheel at rest under a roof.
  before_next_hook_up: "M1 21h22M2.5 20.5V7L12 2l9.5 5v13.5",
};

export function HaltMark({ halt, size = 32 }: { halt: Failure["halt"]; size?: number }) {
  const wheel = halt === "next_safe_place" ? { cx: 10.5, cy: 14.5, r: 6 } : { cx: 12, cy: 15, r: 5.5 };
  return (
    <svg class="mark" viewBox="0 0 24 24" width={size} height={size} aria-hidden="true" focusable="false">
      <circle {...wheel} />
      <path d={STROKES[halt]} />
    </svg>
  );
}
