/** The steps of one place at a time, and the way to the next place. */

import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { Icon } from "../marks/icon.tsx";
import { sentenceOf } from "../words/say.tsx";
import { PlacePicture } from "./place-picture.tsx";
import type { Working } from "./run-page.tsx";
import { StepCard } from "./step-card.tsx";
import { stationsOf, type Station } from "./walk.ts";
import { t } from "../words/text.ts";

export function Stations({ onSay, ...working }: Working & { onSay: (words: string) => void }) {
  const { report } = working;
  const stations = stationsOf(report.steps);
  const current = holding(stations, report.next);
  // A place stays before the eyes until the person walks on: nothing moves under the thumb.
  const [shown, setShown] = useState(() => stations[current]?.steps[0]?.step.id);
  const at = Math.max(0, holding(stations, shown));
  const heading = useRef<HTMLHeadingElement>(null);
  const root = useRef<HTMLElement>(null);
  const focus = useRef<string | undefined>(undefined); // a step's id, or "" for the heading of the place

  useLayoutEffect(() => {
    if (focus.current === undefined) {
      return;
    }
    const step = root.current?.querySelector<HTMLElement>(`[data-step="${CSS.escape(focus.current)}"] h3`);
    const target = focus.current === "" ? heading.current : (step ?? root.current?.querySelector<HTMLElement>(".go-on-here"));
    focus.current = undefined;
    target?.focus({ preventScroll: target === heading.current });
    if (target === heading.current) root.current?.scrollIntoView({ block: "start" });
  });

  const station = stations[at];
  if (!station) {
    return null;
  }
  const goTo = (to: number) => {
    focus.current = "";
    setShown(stations[to]?.steps[0]?.step.id);
  };
  const jump = (id: string) => {
    focus.current = id;
    setShown(id);
  };
  const ticked = (id: string) => {
    const next = station.steps.slice(station.steps.findIndex(({ step }) => step.id === id) + 1).find(({ state }) => state !== "done");
    focus.current = next?.step.id ?? "none";
    onSay(next ? t("station.next", { step: sentenceOf(next.step.do) }) : t("station.last"));
  };
  const left = station.steps.filter(({ state }) => state !== "done").length;
  const onward = left === 0 && current >= 0 && current !== at ? current : undefined;
  return (
    <section ref={root} aria-labelledby="place-heading" class="station">
      <div class="station-head">
        <PlacePicture place={station.place} />
        <div>
          <p class="kicker">{t("station.place", { n: at + 1, of: stations.length })}</p>
          <h2 id="place-heading" ref={heading} tabIndex={-1}>{t(`place.${station.place}`)}</h2>
          <p class="quiet">{left === 0 ? t("station.all_done") : t("station.left", { n: left })}</p>
        </div>
      </div>
      <ol class="stands">
        {station.steps.map((stand) => (
          <StepCard key={stand.step.id} {...working} stand={stand} onTicked={() => ticked(stand.step.id)} onJump={jump} />
        ))}
      </ol>
      {onward !== undefined && stations[onward] && (
        <button type="button" class="primary wide go-on-here" onClick={() => goTo(onward)}>
          {t("station.go_on", { place: t(`place.${stations[onward].place}`) })}
        </button>
      )}
      <div class="between">
        <button type="button" disabled={at === 0} onClick={() => goTo(at - 1)}><Icon name="back" /> {t("station.before")}</button>
        <button type="button" disabled={at === stations.length - 1} onClick={() => goTo(at + 1)}>{t("station.after")} <Icon name="chevron" /></button>
      </div>
    </section>
  );
}

/** The station that has the step, -1 where none has. */
function holding(stations: Station[], id: string | undefined): number {
  return stations.findIndex(({ steps }) => steps.some(({ step }) => step.id === id));
}
