/** The verdict marks: a hitch pin, its eye and its clip, in strokes. */

import type { Verdict } from "../engine/types.ts";

const PIN_HOME = "M2.5 8v8M2.5 12h3.2M9.2 12";
const EYE_AROUND_PIN = { cx: 9.2, cy: 12, rx: 3.6, ry: 8.5 };

const DRAWINGS: Record<Verdict, { eye: { cx: number; cy: number; rx: number; ry: number }; strokes: string }> = {
  // A pin home with its clip.
  ok: { eye: EYE_AROUND_PIN, strokes: `${PIN_HOME}H17M17 6.5v11a4.8 5.5 0 0 0 0-11z` },
  // A pin home, clip open.
  mind: { eye: EYE_AROUND_PIN, strokes: `${PIN_HOME}H20.5M17 17.5V8c0-3.2 2-4.8 5-4.8` },
  // An empty eye.
  find_out: { eye: { cx: 12, cy: 12, rx: 4.6, ry: 9.5 }, strokes: "" },
  // A pin beside the eye.
  no_go: { eye: { cx: 18.2, cy: 12, rx: 3.6, ry: 8.5 }, strokes: "M2.5 8v8M2.5 12h8.7" },
};

/** A mark never stands alone: its word is always beside it, so it is hidden from screen readers. */
export function VerdictMark({ verdict, size = 24 }: { verdict: Verdict; size?: number }) {
  const { eye, strokes } = DRAWINGS[verdict];
  return (
    <svg class="mark" viewBox="0 0 24 24" width={size} height={size} aria-hidden="true" focusable="false">
      <ellipse {...eye} />
      {strokes && <path d={strokes} />}
    </svg>
  );
}

