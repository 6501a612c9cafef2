/**
 * The rear of the rig as somebody sees it who stands behind the car. Each light
 * source is a box with its function, its look in words and a gauge of its light:
 * no colour means anything that is not written beside it. Lamps, table and picture
 * are told apart by the same ids.
 */

import type { ExpectedPicture, Glow } from "../engine/types.ts";
import { wordFor } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { colourOf, GLOWS, type Colour, type Look } from "./look.ts";
import { layOut, type Placed } from "./rear-layout.ts";

/** The half of the flash that is drawn; both take turns where it is absent. */
export type Half = "lit" | "dark";

interface Props {
  picture: ExpectedPicture;
  /** How the car's rear lamps are made, as recorded. */
  rearLamps: string | undefined;
  half?: Half | undefined;
  label: string;
}

export function RearView({ picture, rearLamps, half, label }: Props) {
  const { width, height, placed, motorhome, roof, sill } = layOut(picture.lamps);
  return (
    <svg class="rear-view" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="img" aria-label={label}>
      {motorhome > 0 && (
        <g>
          <path class="body" d={`M1 1H359V${motorhome - 6}q0 6-6 6H7q-6 0-6-6z`} />
          <text class="zone" x={width / 2} y="16" text-anchor="middle">{textOf("wiring.zone.motorhome")}</text>
        </g>
      )}
      <path class="body" d={`M70 ${roof + 2}H290q12 0 18 12l24 ${Math.min(48, sill - roof - 40)}q8 14 8 26V${sill}H20V${Math.min(roof + 88, sill - 4)}q0-12 8-26L52 ${roof + 14}q6-12 18-12z`} />
      <path class="tyre" d={`M34 ${sill}v18q0 4 4 4h26q4 0 4-4v-18zM292 ${sill}v18q0 4 4 4h26q4 0 4-4v-18z`} />
      {placed.map((one) => <Lamp key={one.lamp.lamp} placed={one} colour={colourOf(one.lamp, rearLamps)} half={half} />)}
    </svg>
  );
}

function Lamp({ placed, colour, half }: { placed: Placed; colour: Colour; half: Half | undefined }) {
  const { lamp } = placed;
  const glow = half === "dark" ? (lamp.dark ?? lamp.lit).glow : lamp.lit.glow;
  const other = half === undefined && lamp.dark && lamp.dark.glow !== glow ? lamp.dark.glow : undefined;
  const look = half === undefined ? shortLook(lamp) : wordFor(`look.${glow}`);
  return (
    <g data-lamp={lamp.lamp} class={lamp.hidden ? "outshone" : undefined}>
      <g class={other === undefined ? undefined : "half-lit"}><Source placed={placed} glow={glow} colour={colour} look={look} /></g>
      {other !== undefined && <g class="half-dark"><Source placed={placed} glow={other} colour={colour} look={look} /></g>}
    </g>
  );
}

/** One light source with its light: function, look, and a gauge of four bars. */
function Source({ placed: { lamp, x, y, width, height }, glow, colour, look }: { placed: Placed; glow: Glow; colour: Colour; look: string }) {
  const middle = x + width / 2;
  const level = GLOWS.indexOf(glow);
  return (
    <g class={`source source-${colour} glow-${glow}`}>
      <rect class="lens" x={x} y={y} width={width} height={height} rx="9" />
      <text x={middle} y={y + 16} text-anchor="middle">{jobWords(lamp)}</text>
      <text class="look" x={middle} y={y + 32} text-anchor="middle">{look}</text>
      {[1, 2, 3, 4].map((bar) => <rect key={bar} class={bar <= level ? "bar on" : "bar"} x={middle - 30.5 + (bar - 1) * 16} y={y + height - 16} width="13" height="8" rx="2" />)}
    </g>
  );
}

/** The function, short enough for the box. */
function jobWords({ job, lens }: Placed["lamp"]): string {
  const words = textOf(`lamps.job.${job}`) ?? job;
  return lens === "car_left" || lens === "car_right" ? t("lamps.own", { job: words.toLowerCase() }) : words;
}

/** The look in one word: the pattern where it is not plainly on. */
function shortLook({ glow, pattern }: Look): string {
  return glow !== "dark" && pattern && pattern !== "steady" ? (textOf(`lamps.pattern.${pattern}`) ?? pattern) : wordFor(`look.${glow}`);
}
