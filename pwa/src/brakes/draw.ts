/** Draws a curve with uPlot; loaded when the first curve comes into sight. */

import uPlot from "uplot";
import { figure, place, type Curve } from "./curve.ts";

/** What each look is drawn with: dashes in CSS pixels, and width. */
const LOOKS = { 1: [[], 2.5], 2: [[9, 5], 2.5], 3: [[], 4.5], 4: [[2, 5], 3] } as const;

/** Draws into the element, as wide as it is, in the colours that it has there. Returns how to take it away. */
export function draw(into: HTMLElement, curve: Curve): () => void {
  const style = getComputedStyle(into);
  const colour = (name: string) => style.getPropertyValue(`--${name}`).trim();
  const font = `13px ${style.fontFamily}`;
  const axis = (label: string, values: (value: number) => string, size: number): uPlot.Axis => ({
    label, size, labelSize: 22, labelGap: 0, font, labelFont: font, stroke: colour("curve-words"),
    grid: { stroke: colour("curve-grid"), width: 1 }, ticks: { stroke: colour("curve-grid"), width: 1 },
    values: (_, splits) => splits.map(values),
  });
  const plot = new uPlot({
    width: into.clientWidth, height: Math.round(Math.min(300, Math.max(210, into.clientWidth * 0.6))),
    cursor: { show: false }, legend: { show: false }, scales: { x: { time: false } },
    axes: [
      axis(`${curve.along}, ${curve.alongUnit}`, (value) => place(curve, value), 34),
      axis(curve.unit, (value) => figure(curve, value), 52),
    ],
    series: [{}, ...curve.lines.map(({ name, look }): uPlot.Series => {
      const [dash, width] = LOOKS[look];
      return { label: name, stroke: colour(`curve-${look}`), width, dash: [...dash], points: { show: false }, spanGaps: false };
    })],
  }, [curve.x, ...curve.lines.map(({ values }) => values)], into);
  return () => plot.destroy();
}
