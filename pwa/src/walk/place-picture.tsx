/** Where to stand, seen from above: the motorhome, the bar, the towed car, and a spot. The words stand beside it. */

import type { Place } from "./walk.ts";

const SPOTS: Record<Exclude<Place, "around">, [x: number, y: number]> = {
  cab: [12, 15], hitch: [71, 22], car_seat: [91, 19], car_side: [91, 37], car_rear: [122, 33],
};

export function PlacePicture({ place }: { place: Place }) {
  const spot = place === "around" ? undefined : SPOTS[place];
  return (
    <svg class="place-picture" viewBox="0 0 130 44" width="182" height="62" aria-hidden="true" focusable="false">
      <path class="vehicle" d="M10 10h52v24H10q-6-2-6-12t6-12zM18 10v24M62 18l16 3M62 26l16-3" />
      <path class="vehicle" d="M82 13h30q4 2 4 9t-4 9H82q-4-2-4-9t4-9zM88 13v18M106 13v18" />
      {spot ? <circle class="spot" cx={spot[0]} cy={spot[1]} r="5" /> : <rect class="path" x="1.5" y="3" width="121" height="38" rx="14" />}
    </svg>
  );
}
