/** The wiring of the car's rear lamps: drawn, listed and judged from the plan that the engine makes of the rig. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { FindingsOf } from "../departure/findings.tsx";
import { Problem } from "../departure/problem.tsx";
import type { Engine } from "../engine/client.ts";
import type { PlanReport } from "../engine/types.ts";
import { VerdictMark } from "../marks/verdict-mark.tsx";
import type { JsonObject } from "../store/journal.ts";
import { wordFor } from "../words/say.tsx";
import { t } from "../words/text.ts";
import { usePlan } from "./use-plan.ts";
import { Connections, Fixes, Lights, Materials, Values, Work } from "./wiring-list.tsx";
import { WiringPicture } from "./wiring-picture.tsx";
import "./wiring.css";

export function WiringMap({ engine, rig }: { engine: Engine; rig: JsonObject }) {
  const place = useRef<HTMLDivElement>(null);
  const near = useNear(place);
  const { outcome, stale } = usePlan(engine, JSON.stringify(rig), near);
  return (
    <div class="wiring" ref={place} data-stale={stale} aria-busy={stale || outcome === undefined}>
      <h3>{t("wiring.title")}</h3>
      {outcome === undefined && <p class="hint">{t("departure.working")}</p>}
      {outcome?.ok === false && <Problem problem={outcome.problem} under="/rig" />}
      {outcome?.ok && <Plan plan={outcome.value} place={place} />}
    </div>
  );
}

function Plan({ plan, place }: { plan: PlanReport; place: { current: HTMLElement | null } }) {
  const id = useId();
  const steps = plan.lighting.map(({ step }) => step as string);
  const [chosen, setChosen] = useState("tail_brake");
  const step = steps.includes(chosen) ? chosen : (steps[0] ?? "");
  const typical = plan.values.filter(({ how }) => how === "template").length;
  return (
    <>
      <p class={`wiring-verdict tone-${plan.verdict}`} role="status"><VerdictMark verdict={plan.verdict} /> <strong>{t(`verdict.${plan.verdict}`)}</strong> <span>{worst(plan)}</span></p>
      {plan.values.length > 0 && <p class="hint">{t(typical === 0 ? "wiring.all_known" : "wiring.some_typical", { n: typical, of: plan.values.length })}</p>}
      {steps.length > 0 && (
        <div class="wiring-step">
          <label for={id}>{t("wiring.step")}</label>
          <select id={id} value={step} onChange={(event) => setChosen(event.currentTarget.value)}>
            {steps.map((one) => <option key={one} value={one}>{capital(wordFor(`plan.step.${one}`))}</option>)}
          </select>
        </div>
      )}
      {plan.points.length > 0 && (
        <figure>
          <WiringPicture plan={plan} step={step} />
          <figcaption class="quiet">{t("wiring.legend")}</figcaption>
        </figure>
      )}
      <Lights plan={plan} step={step} />
      <Connections plan={plan} />
      <div class="buttons no-print"><button type="button" onClick={() => printOnly(place.current)}>{t("wiring.print")}</button></div>
      {(["no_go", "find_out", "mind", "ok"] as const).map((verdict) => <FindingsOf key={verdict} verdict={verdict} findings={plan.findings} />)}
      <Fixes plan={plan} />
      <Materials plan={plan} />
      <Work plan={plan} />
      <Values plan={plan} />
    </>
  );
}

/** The lamp that gets the least, so that a change of the form is heard as well as seen. */
function worst({ lamps }: PlanReport): string {
  const [least] = lamps.filter(({ point, lowest_pct }) => point !== undefined && lowest_pct !== undefined).sort((a, b) => (a.lowest_pct ?? 0) - (b.lowest_pct ?? 0));
  return least ? t("wiring.worst", { lamp: wordFor(`plan.lamp.${least.id}`), share: Math.round((least.lowest_pct ?? 0) * 10) / 10 }) : t("wiring.no_lamp");
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Whether a place has come near what is seen; once it has, it stays so. */
function useNear(place: { current: Element | null }): boolean {
  const [near, setNear] = useState(false);
  useEffect(() => {
    if (!place.current || near) {
      return;
    }
    const watch = new IntersectionObserver((seen) => seen.some(({ isIntersecting }) => isIntersecting) && setNear(true), { rootMargin: "600px" });
    watch.observe(place.current);
    return () => watch.disconnect();
  }, [near]);
  return near;
}

/** Prints the wiring alone, with all of it unfolded. */
function printOnly(place: HTMLElement | null): void {
  place?.querySelectorAll("details").forEach((details) => (details.open = true));
  document.documentElement.dataset.print = "wiring";
  addEventListener("afterprint", () => delete document.documentElement.dataset.print, { once: true });
  print();
}
