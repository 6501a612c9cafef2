/** A curve: drawn, said in words, and as a table. The table and the words stand without the drawing. */

import { useEffect, useRef } from "preact/hooks";
import { Icon } from "../marks/icon.tsx";
import { t } from "../words/text.ts";
import { figure, inWords, place, type Curve } from "./curve.ts";
import "uplot/dist/uPlot.min.css";
import "./brakes.css";

export function CurveFigure({ curve }: { curve: Curve }) {
  const words = inWords(curve);
  return (
    <figure class="curve">
      <figcaption>{curve.title}</figcaption>
      <Drawing curve={curve} words={words} />
      <ul class="curve-key" aria-hidden="true">
        {curve.lines.map(({ name, look }) => (
          <li key={look}><svg viewBox="0 0 44 8" width="44" height="8" class={`curve-look-${look}`}><path d="M0 4H44" /></svg> {name}</li>
        ))}
      </ul>
      <p class="quiet">{words}</p>
      <details class="folded small curve-table">
        <summary><Icon name="chevron" size={16} /> <span>{t("curve.table")}</span><span class="for-ears"> {curve.title}</span></summary>
        <div class="curve-scroll" role="region" aria-label={curve.title} tabIndex={0}><Table curve={curve} /></div>
      </details>
    </figure>
  );
}

function Table({ curve }: { curve: Curve }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{curve.along}, {curve.alongUnit}</th>
          {curve.lines.map(({ name, look }) => <th key={look} scope="col">{name}, {curve.unit}</th>)}
        </tr>
      </thead>
      <tbody>
        {curve.x.map((x, at) => (
          <tr key={at}>
            <th scope="row">{place(curve, x)}</th>
            {curve.lines.map(({ look, values }) => <td key={look}>{figure(curve, values[at])}</td>)}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Drawing({ curve, words }: { curve: Curve; words: string }) {
  const into = useRef<HTMLDivElement>(null);
  useEffect(() => (into.current ? keepDrawn(into.current, curve) : undefined), [JSON.stringify(curve)]);
  return <div class="curve-drawing" ref={into} role="img" aria-label={words} />;
}

/** Draws whenever width or colours change, once there is any width: a folded section has none. Returns how to end it. */
function keepDrawn(into: HTMLElement, curve: Curve): () => void {
  let clear = () => {};
  let ended = false;
  let width = 0;
  const redraw = () => {
    width = into.clientWidth;
    if (width === 0) return;
    void import("./draw.ts").then(({ draw }) => {
      if (ended || into.clientWidth === 0) return;
      clear();
      clear = draw(into, curve);
      into.dataset.drawn = "";
    }, () => {}); // the words and the table say the same
  };
  const sizes = new ResizeObserver(() => into.clientWidth !== width && redraw());
  sizes.observe(into);
  const themes = new MutationObserver(redraw);
  themes.observe(document.documentElement, { attributeFilter: ["data-theme"] });
  const media = ["(prefers-color-scheme: dark)", "(forced-colors: active)", "print"].map((query) => matchMedia(query));
  media.forEach((one) => one.addEventListener("change", redraw));
  return () => {
    ended = true;
    sizes.disconnect();
    themes.disconnect();
    media.forEach((one) => one.removeEventListener("change", redraw));
    clear();
  };
}
