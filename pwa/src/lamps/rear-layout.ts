/** Where the lenses of a rear view stand. Units of the picture; no lens covers another. */

import type { ExpectedLamp, Lens } from "../engine/types.ts";

/** One light source of a lens: a box of the picture. */
export interface Placed {
  lamp: ExpectedLamp;
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface RearLayout {
  width: number;
  height: number;
  placed: Placed[];
  /** The lower edge of the motorhome's rear; 0 where none of its lamps is drawn. */
  motorhome: number;
  /** The car's rear: its roof and its sills. */
  roof: number;
  sill: number;
  /** Lamps that are not seen from behind. */
  elsewhere: ExpectedLamp[];
}

const WIDTH = 360;
const EDGE = 4;
const BOX = { width: 84, height: 56 };
const GAP = 4;
const ROW = BOX.height + GAP;

const LEFT: Lens[] = ["left_turn", "left_rear"];
const RIGHT: Lens[] = ["right_turn", "right_rear"];
const TOWING: Lens[] = ["motorhome_left", "motorhome_tail", "motorhome_stop", "motorhome_right"];

/** In a lens of several light sources the weaker one stands below. */
const JOBS: ExpectedLamp["job"][] = ["turn", "stop_turn", "stop", "tail", "plate", "park"];

export function layOut(lamps: ExpectedLamp[]): RearLayout {
  const of = (lenses: Lens[]) => lenses.flatMap((lens) => lamps.filter((lamp) => lamp.lens === lens).sort((a, b) => JOBS.indexOf(a.job) - JOBS.indexOf(b.job)));
  const box = (lamp: ExpectedLamp, x: number, y: number): Placed => ({ lamp, x, y, ...BOX });
  const placed: Placed[] = [];

  const towing = of(TOWING);
  const step = towing.length > 1 ? (WIDTH - 2 * EDGE - BOX.width) / (towing.length - 1) : 0;
  placed.push(...towing.map((lamp, at) => box(lamp, EDGE + at * step, 22)));
  const motorhome = towing.length === 0 ? 0 : 22 + BOX.height + 8;

  const roof = motorhome === 0 ? 4 : motorhome + 14;
  const [left, right, own, farOwn] = [of(LEFT), of(RIGHT), of(["car_left"]), of(["car_right"])];
  const middle = (WIDTH - BOX.width) / 2;
  const high = of(["high_stop"]);
  placed.push(...high.map((lamp) => box(lamp, middle, roof + 8)));
  const belt = roof + 8 + ROW + 6;
  const column = (of: ExpectedLamp[], x: number) => placed.push(...of.map((lamp, row) => box(lamp, x, belt + row * ROW)));
  column(left, EDGE);
  column(right, WIDTH - EDGE - BOX.width);
  column(own, EDGE + BOX.width + GAP);
  column(farOwn, WIDTH - EDGE - 2 * BOX.width - GAP);
  const rows = Math.max(left.length, right.length, own.length, farOwn.length, 1);
  const plate = of(["plate"]);
  // Beside the car's own lamps there is no room for it between them.
  const plateY = belt + (own.length + farOwn.length > 0 ? Math.max(own.length, farOwn.length) : Math.max(0, rows - 1)) * ROW;
  placed.push(...plate.map((lamp) => box(lamp, middle, plateY)));
  const sill = Math.max(belt + rows * ROW, plate.length > 0 ? plateY + ROW : 0) + 4;
  const shown = new Set(placed.map(({ lamp }) => lamp));
  return { width: WIDTH, height: sill + 26, placed, motorhome, roof, sill, elsewhere: lamps.filter((lamp) => !shown.has(lamp)) };
}
