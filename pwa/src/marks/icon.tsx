/** The small pictures on buttons, in the same strokes as the verdict marks. */

const STROKES = {
  // A road with a border across it.
  departure: "M7 21 9.5 3M17 21 14.5 3M3.5 12h17M12 5v2.5M12 16.5v2.5",
  // A rig from above, and a path round it.
  walk: "M9 6h6v12H9zM12 2.5c5 0 9 4 9 9.5M12 21.5c-5 0-9-4-9-9.5M18.5 10l2.5 2.5L23 10",
  // The rear of a car, its two lamps lit.
  lamps: "M5 11l2-5h10l2 5v8H5zM5 14h3M16 14h3M2 9.5 1 9M22 9.5 23 9M10 17h4",
  // A wheel that smokes.
  trouble: "M12 21a5.5 5.5 0 1 0 0-11 5.5 5.5 0 0 0 0 11zM9 6.5c-1.5-1.5 1-2.5 0-4M14 6.5c-1.5-1.5 1-2.5 0-4",
  // A motorhome, a bar, a car.
  rig: "M2 16.5V7h9v9.5H2zM11 14h4M15 16.5V13l2-3.5h5v7h-7",
  // A page with the line that a rule draws.
  rules: "M6 3h12v18H6zM9 8h6M9 12h6M3 16.5h18",
  more: "M4 7h16M4 12h16M4 17h10",
  // A pin home with its clip.
  done: "M2.5 8v8M2.5 12H17M17 6.5v11a4.8 5.5 0 0 0 0-11z",
  photo: "M3 7.5h4l2-3h6l2 3h4v12H3zM12 16.5a3.5 3.5 0 1 0 0-7 3.5 3.5 0 0 0 0 7z",
  up: "M12 19V5M6 11l6-6 6 6",
  down: "M12 5v14M6 13l6 6 6-6",
  remove: "M6 6l12 12M18 6 6 18",
  add: "M12 5v14M5 12h14",
  back: "M19 12H5M11 6l-6 6 6 6",
  away: "M9 5H5v14h14v-4M13 5h6v6M19 5l-9 9",
  chevron: "M9 5l7 7-7 7",
};

export function Icon({ name, size = 22 }: { name: keyof typeof STROKES; size?: number }) {
  return (
    <svg class={`icon icon-${name}`} viewBox="0 0 24 24" width={size} height={size} aria-hidden="true" focusable="false">
      <path d={STROKES[name]} />
    </svg>
  );
}
