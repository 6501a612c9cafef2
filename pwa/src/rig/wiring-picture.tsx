/** The wiring map as a picture. What it shows stands in words in the connection list. */

import type { PlanLink, PlanPoint, PlanReport } from "../engine/types.ts";
import { plainly, showParam } from "../words/format.ts";
import { sentenceOf } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { broken, HALF, layOut, type Placed, type Wire } from "./wiring-layout.ts";

/** Letters in a line of the words beside a point. */
const LETTERS = 20;

export function WiringPicture({ plan, step }: { plan: PlanReport; step: string }) {
  const words = new Map(plan.points.map((point) => [point.id, wordsAt(plan, point, step)]));
  const { width, height, words: column, bands, points, wires } = layOut(plan.points, plan.links, ({ id }) => words.get(id)?.length ?? 1);
  return (
    <svg class="wiring-picture" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="img" aria-label={t("wiring.picture", { points: points.length, wires: wires.length })}>
      {bands.map((band) => (
        <g key={band.zone}>
          <rect class="band" x="1" y={band.y + 1} width={width - 2} height={band.height - 2} rx="8" />
          <text class="zone" x={column} y={band.y + 19}>{textOf(`wiring.zone.${band.zone}`)}</text>
        </g>
      ))}
      {points.map(({ point, right, y }) => <path key={point.id} class="leader" d={`M${right + HALF} ${y}H${column - 4}`} />)}
      {points.filter(({ shape }) => shape === "bar" || shape === "box").map((placed) => <Across key={placed.point.id} placed={placed} />)}
      {wires.map((wire) => <OneWire key={wire.link.id} wire={wire} />)}
      {points.map((placed) => <At key={placed.point.id} placed={placed} shines={shines(plan, placed.point, step)} />)}
      {wires.map((wire) => <Function key={wire.link.id} wire={wire} />)}
      {points.map(({ point, y }) => (
        <text key={point.id} class="words" x={column} y={y - ((words.get(point.id)?.length ?? 1) - 1) * 7.5 + 4.5}>
          {words.get(point.id)?.map((line, at) => <tspan key={at} class={line.light ? "light" : ""} x={column} dy={at === 0 ? 0 : 15}>{line.words}</tspan>)}
        </text>
      ))}
    </svg>
  );
}

/** What stands beside a point: its name, and at a lamp what each light source gets. */
function wordsAt(plan: PlanReport, point: PlanPoint, step: string): { words: string; light: boolean }[] {
  const name = broken(sentenceOf(point.name), LETTERS).map((words) => ({ words, light: false }));
  const lights = plan.lamps.filter((lamp) => lamp.point === point.id).flatMap((lamp) => {
    const got = lightOf(plan, lamp.id, step);
    return got === undefined ? [] : [...together(`${textOf(`wiring.job.${lamp.job}`)}:`, got.on), ...(got.off === undefined ? [] : [t("wiring.off_half", { gets: got.off })])];
  });
  return [...name, ...lights.flatMap((words) => broken(words, LETTERS)).map((words) => ({ words, light: true }))];
}

/** A name and a figure in one line, or in two where they are too long for it. */
function together(name: string, figures: string): string[] {
  const line = `${name} ${figures}`;
  return line.length > LETTERS ? [name, figures] : [line];
}

/** What a lamp gets in a step, in words; its dark half only where that differs. */
export function lightOf(plan: PlanReport, lamp: string, step: string): { on: string; off?: string } | undefined {
  const reading = plan.lighting.find((one) => one.step === step)?.readings.find((one) => one.lamp === lamp);
  if (!reading) {
    return undefined;
  }
  const [on, off] = [gets(reading), reading.off && gets(reading.off)];
  return off === undefined || off === on ? { on } : { on, off };
}

/** From how much of its design light a lamp is drawn lit, per cent: less glows at most. */
const LIT = 20;

/** The colour in which a lamp is drawn lit in a step; empty where it is not. */
function shines(plan: PlanReport, { id }: PlanPoint, step: string): string {
  const own = plan.lamps.filter(({ point }) => point === id);
  const readings = plan.lighting.find((one) => one.step === step)?.readings ?? [];
  const lit = readings.some(({ lamp, light_pct }) => light_pct >= LIT && own.some((one) => one.id === lamp));
  const amber = own.every(({ job }) => job === "turn") && plan.values.some(({ field, word }) => field === "/towed/rear_lamps" && word === "separate_amber");
  return !lit || own.some(({ job }) => job === "plate") ? "" : amber ? "shines-amber" : "shines-red";
}

function gets({ v, light_pct }: { v: number; light_pct: number }): string {
  return `${figure(Math.round(v * 10) / 10, "V")}, ${figure(Math.round(light_pct), "pct")}`;
}

/** A figure with its unit, as the reader writes it. */
export function figure(number: number, unit: string): string {
  const shown = showParam({ number, unit });
  return shown ? plainly(shown) : "";
}

/** A bar joins its wires; a box keeps them apart. */
function Across({ placed: { shape, left, right, y } }: { placed: Placed }) {
  return shape === "bar"
    ? <path class="bar" d={`M${left} ${y}H${right}`} />
    : <rect class="box" x={left - HALF} y={y - HALF} width={right - left + 2 * HALF} height={2 * HALF} rx="4" />;
}

/** A wire crosses over what it does not join. */
function OneWire({ wire: { link, x, from, to } }: { wire: Wire }) {
  const line = `M${x} ${from}V${to}`;
  const inner = (HALF + 3) * Math.sign(to - from);
  return (
    <g data-wire={link.id} class={link.new ? "wire" : "wire brought"}>
      <path class="over" d={`M${x} ${from + inner}V${to - inner}`} />
      <path class="casing" d={line} />
      <path class={`core ${colourOf(link)}`} d={line} />
    </g>
  );
}

/** The colour of the function, only where a standard names it. */
function colourOf({ colour = "" }: PlanLink): string {
  return colour && `colour-${colour.replace(/\W.*/, "")}`;
}

function At({ placed: { point, shape, ports, y, left, right, flow }, shines }: { placed: Placed; shines: string }) {
  if (shape === "diode") {
    // The bar of the symbol is where the current comes out.
    return <path class="symbol diode" data-flow={flow} d={`M${left - 7} ${y - 7 * flow}h14L${left} ${y + 5 * flow}zM${left - 7} ${y + 6 * flow}h14`} />;
  }
  if (shape === "fuse") {
    return <path class="symbol fuse" d={`M${left - 5} ${y - 10}h10v20h-10zM${left} ${y - 10}v20`} />;
  }
  return (
    <g>
      {ports.map((x) => <circle key={x} class="port" cx={x} cy={y} r="3.4" />)}
      {point.kind === "ground" && <path class="symbol" d={`M${right} ${y}h8v5m-6 0h12m-10 3.5h8m-6 3.5h4`} />}
      {point.kind === "lamp" && <path class={`symbol lamp ${shines}`} d={`M${right + 13} ${y - 7}a7 7 0 1 0 .01 0zM${right + 8} ${y - 5}l10 10m0-10l-10 10`} />}
    </g>
  );
}

/** The function written along the wire, and which way its current is meant to run. */
function Function({ wire: { link, x, from, to, label } }: { wire: Wire }) {
  const way = Math.sign(to - from);
  return (
    <g>
      <path class="way" d={`M${x - 4} ${label - 3 * way}l4 ${5 * way} 4 ${-5 * way}`} />
      <text class="function" transform={`translate(${x - 5} ${label}) rotate(-90)`}>{textOf(`wiring.on.${link.function}`)}</text>
    </g>
  );
}
