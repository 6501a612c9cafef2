/**
 * Lays out the wiring map: one row for each point, from the motorhome down to the
 * car's lamps, and every wire a vertical line in a lane of its own. Two wires in
 * one lane never share a row in which only one of them ends, so that no wire lies
 * on another and none runs through a point that it does not join.
 */

import type { PlanLink, PlanPoint } from "../engine/types.ts";

/** How a point is drawn: on its wire, as a bar where all wires are joined, as a box where they are not. */
export type Shape = "diode" | "fuse" | "bar" | "box";

export interface Placed {
  point: PlanPoint;
  shape: Shape;
  y: number;
  /** Its reach across the lanes. */
  left: number;
  right: number;
  /** Where wires end at it, across. */
  ports: number[];
  /** How a diode lets current through: 1 down the map, −1 up it; 0 where nothing is drawn so. */
  flow: number;
}

export interface Wire {
  link: PlanLink;
  x: number;
  /** Down the map: where it begins and ends. */
  from: number;
  to: number;
  /** A clear place beside it for its function. */
  label: number;
}

export interface Band {
  zone: PlanPoint["zone"];
  y: number;
  height: number;
}

export interface Layout {
  width: number;
  height: number;
  /** Where the words beside the rows begin, across. */
  words: number;
  bands: Band[];
  points: Placed[];
  wires: Wire[];
}

/** Measures, in the units of the drawing: pixels where it is shown at its own size. */
const [LANE, MARGIN, ROW, LINE, BAND, WORDS] = [19, 20, 56, 15, 26, 140];
/** Half the height of what stands at a point. */
export const HALF = 8;

const ZONES: PlanPoint["zone"][] = ["motorhome", "umbilical", "car_front", "car_body", "car_rear"];
const JOINED: PlanPoint["kind"][] = ["supply", "splice", "ground"];

/** Lays out points and links; `lines` is how many lines of words stand beside a point. */
export function layOut(points: PlanPoint[], links: PlanLink[], lines: (point: PlanPoint) => number): Layout {
  const rows = inRows(points, links);
  const row = new Map(rows.map((point, at) => [point.id, at]));
  const drawn = links.filter(({ from, to }) => row.has(from) && row.has(to) && from !== to);
  const lanes = inLanes(rows, row, drawn);
  const { ys, bands, height } = heights(rows, lines, drawn.some(({ zone }) => zone === "umbilical"));
  const y = (id: string) => ys[row.get(id) ?? 0] ?? 0;
  const x = (lane: number) => MARGIN + lane * LANE;
  const laneOf = (link: PlanLink) => lanes.get(link.id) ?? 0;
  const wires = drawn.map((link): Wire => ({ link, x: x(laneOf(link)), from: y(link.from), to: y(link.to), label: clear(ys, row.get(link.from) ?? 0, row.get(link.to) ?? 0) }));
  const placed = rows.map((point, at): Placed => {
    const ends = drawn.filter(({ from, to }) => from === point.id || to === point.id);
    const ports = [...new Set(ends.length > 0 ? ends.map((link) => x(laneOf(link))) : [x(free(at, at, drawn, row, lanes))])].sort((a, b) => a - b);
    const on = ends[0];
    const shape = shapeOf(point, ports);
    return {
      point, shape, ports, y: ys[at] ?? 0, left: ports[0] ?? 0, right: ports.at(-1) ?? 0,
      flow: point.kind === "diode" && on ? Math.sign(y(on.to) - y(on.from)) : 0,
    };
  });
  const words = x(Math.max(0, ...lanes.values())) + MARGIN + HALF;
  return { width: words + WORDS, height, words, bands, points: placed, wires };
}

/** The points from the front backwards, each after all that feed it, left before right. */
function inRows(points: PlanPoint[], links: PlanLink[]): PlanPoint[] {
  const byId = new Map(points.map((point) => [point.id, point]));
  const seen = new Set<PlanPoint>();
  const rows: PlanPoint[] = [];
  const visit = (point: PlanPoint | undefined) => {
    if (!point || seen.has(point)) {
      return;
    }
    seen.add(point);
    links.filter((link) => link.to === point.id && link.function !== "ground").forEach((link) => visit(byId.get(link.from)));
    rows.push(point);
  };
  points.filter(({ kind }) => kind === "lamp").forEach(visit);
  points.forEach(visit);
  return rows.sort((a, b) => ZONES.indexOf(a.zone) - ZONES.indexOf(b.zone)); // stable: the order within a zone stays
}

/** Gives every link its lane. Links on both sides of a diode or fuse have the same one. */
function inLanes(rows: PlanPoint[], row: Map<string, number>, links: PlanLink[]): Map<string, number> {
  const lanes = new Map<string, number>();
  for (const link of links) {
    if (lanes.has(link.id)) {
      continue;
    }
    const chain = through(link, links, rows[row.get(link.from) ?? 0], rows[row.get(link.to) ?? 0], (id) => rows[row.get(id) ?? 0]);
    const ends = chain.flatMap(({ from, to }) => [row.get(from) ?? 0, row.get(to) ?? 0]);
    const wanted = links.filter((other) => other.function === link.function && lanes.has(other.id) && (other.to === chain[0]?.from || other.from === chain.at(-1)?.to));
    const lane = free(Math.min(...ends), Math.max(...ends), links, row, lanes, wanted.map(({ id }) => lanes.get(id) ?? 0));
    chain.forEach(({ id }) => lanes.set(id, lane));
  }
  return lanes;
}

/** The links that run on through diodes and fuses before and behind one. */
function through(link: PlanLink, links: PlanLink[], from: PlanPoint | undefined, to: PlanPoint | undefined, at: (id: string) => PlanPoint | undefined): PlanLink[] {
  const chain = [link];
  for (let end = to; end && onWire(end); ) {
    const next = links.find((other) => other.from === end?.id && !chain.includes(other));
    if (!next) break;
    chain.push(next);
    end = at(next.to);
  }
  for (let start = from; start && onWire(start); ) {
    const before = links.find((other) => other.to === start?.id && !chain.includes(other));
    if (!before) break;
    chain.unshift(before);
    start = at(before.from);
  }
  return chain;
}

const onWire = ({ kind }: PlanPoint) => kind === "diode" || kind === "fuse";

/** The first lane, of those wanted before the others, in which nothing lies between two rows. */
function free(top: number, bottom: number, links: PlanLink[], row: Map<string, number>, lanes: Map<string, number>, wanted: number[] = []): number {
  const taken = (lane: number) =>
    links.some(({ id, from, to }) => {
      const [a, b] = [row.get(from) ?? 0, row.get(to) ?? 0];
      return lanes.get(id) === lane && Math.min(a, b) < Math.max(bottom, top + 0.5) && Math.max(a, b) > Math.min(top, bottom - 0.5);
    });
  for (const lane of wanted) {
    if (!taken(lane)) return lane;
  }
  let lane = 0;
  while (taken(lane)) lane++;
  return lane;
}

/** Where the rows and the bands of the zones lie. The umbilical has a band of its own, with no point in it. */
function heights(rows: PlanPoint[], lines: (point: PlanPoint) => number, umbilical: boolean): { ys: number[]; bands: Band[]; height: number } {
  const ys: number[] = [];
  const bands: Band[] = [];
  let top = 0;
  for (const point of rows) {
    if (bands.at(-1)?.zone !== point.zone) {
      if (umbilical && bands.at(-1)?.zone === "motorhome") {
        bands.push({ zone: "umbilical", y: top, height: ROW });
        top += ROW;
      }
      bands.push({ zone: point.zone, y: top, height: BAND });
      top += BAND;
    }
    const height = Math.max(ROW, lines(point) * LINE + 14);
    ys.push(top + height / 2);
    top += height;
    const band = bands.at(-1);
    if (band) band.height = top - band.y;
  }
  return { ys, bands, height: top };
}

/** The middle of the widest gap between rows that a wire crosses: nothing stands there. */
function clear(ys: number[], from: number, to: number): number {
  const [first, last] = [Math.min(from, to), Math.max(from, to)];
  let best = first;
  for (let at = first; at < last; at++) {
    if ((ys[at + 1] ?? 0) - (ys[at] ?? 0) > (ys[best + 1] ?? 0) - (ys[best] ?? 0)) best = at;
  }
  return ((ys[best] ?? 0) + (ys[best + 1] ?? 0)) / 2;
}

function shapeOf(point: PlanPoint, ports: number[]): Shape {
  if ((point.kind === "diode" || point.kind === "fuse") && ports.length === 1) {
    return point.kind;
  }
  return JOINED.includes(point.kind) ? "bar" : "box";
}

/** Breaks words into lines of at most so many letters; a longer word stands alone. */
export function broken(words: string, most: number): string[] {
  const lines: string[] = [];
  for (const word of words.split(" ")) {
    const line = lines.at(-1);
    if (line !== undefined && line.length + 1 + word.length <= most) lines[lines.length - 1] = `${line} ${word}`;
    else lines.push(word);
  }
  return lines;
}
