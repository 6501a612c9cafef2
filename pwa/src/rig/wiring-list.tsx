/** The plan in words: the connection list, the lamps, what to buy, what would mend it, and what it rests on. */

import type { ComponentChildren } from "preact";
import type { PlanFix, PlanLink, PlanReport, PlanStanding, WiringValue } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { plainly, showAmount, showNumber } from "../words/format.ts";
import { pointerInWords } from "../words/pointer.ts";
import { Say, sentenceOf, wordFor } from "../words/say.tsx";
import { t, textOf } from "../words/text.ts";
import { figure, lightOf } from "./wiring-picture.tsx";

export function Connections({ plan }: { plan: PlanReport }) {
  const name = new Map(plan.points.map((point) => [point.id, sentenceOf(point.name)]));
  return (
    <Table title={t("wiring.connections")} columns={[t("wiring.function"), t("wiring.from"), t("wiring.to"), t("wiring.wire"), t("wiring.current")]}>
      {plan.links.map((link) => (
        <tr key={link.id} data-link={link.id}>
          <th scope="row">{wordFor(`plan.feed.${link.function}`)}{link.colour && <span class="quiet"> {colourWords(link.colour)}</span>}</th>
          <td data-column={t("wiring.from")}>{name.get(link.from)}</td>
          <td data-column={t("wiring.to")}>{name.get(link.to)}</td>
          <td data-column={t("wiring.wire")}>{wireWords(link)}</td>
          <td data-column={t("wiring.current")}>{link.limit_a === undefined ? figure(link.a, "A") : t("wiring.of_most", { a: figure(link.a, "A"), most: figure(link.limit_a, "A") })}</td>
        </tr>
      ))}
    </Table>
  );
}

/** The colours as the catalogue names them, or as the standard does. */
function colourWords(colour: string): string {
  return wordFor(`plan.colour.${colour}`).replace(/^colour\./, "");
}

function wireWords(link: PlanLink): string {
  const parts = [
    t(link.new ? "wiring.new" : "wiring.brought"),
    link.contact === undefined ? "" : t("wiring.contact", { n: link.contact }),
    link.awg === undefined ? "" : t("wiring.awg", { awg: link.awg, conductor: link.conductor === undefined ? "" : wordFor(`plan.conductor.${link.conductor}`) }).trim(),
    link.length_ft === undefined ? "" : `${length(link.length_ft)}${link.how === "template" ? ` (${t("wiring.typical")})` : ""}`,
  ];
  return parts.filter((part) => part !== "").join(", ");
}

function length(ft: number): string {
  return plainly(showAmount({ value: ft, unit: "ft" }));
}

/** What each lamp of the car gets in one step, and at the least in any. */
export function Lights({ plan, step }: { plan: PlanReport; step: string }) {
  const lamps = plan.lamps.filter(({ point }) => point !== undefined);
  return (
    <Table title={t("wiring.lights")} columns={[t("wiring.lamp"), t("wiring.gets"), t("wiring.least")]}>
      {lamps.map((lamp) => {
        const got = lightOf(plan, lamp.id, step);
        return (
          <tr key={lamp.id} data-lamp={lamp.id}>
            <th scope="row">{wordFor(`plan.lamp.${lamp.id}`)}</th>
            <td data-column={t("wiring.gets")}>{got?.on}{got?.off !== undefined && `; ${t("wiring.off_half", { gets: got.off })}`}</td>
            <td data-column={t("wiring.least")}>
              {lamp.lowest_v !== undefined && t("wiring.least_of", {
                v: figure(lamp.lowest_v, "V"), share: figure(Math.round(lamp.lowest_pct ?? 0), "pct"), design: figure(lamp.design_v, "V"), light: figure(Math.round(lamp.lowest_light_pct ?? 0), "pct"),
              })}
            </td>
          </tr>
        );
      })}
    </Table>
  );
}

function Table({ title, columns, children }: { title: string; columns: string[]; children: ComponentChildren }) {
  return (
    <table class="wiring-table">
      <caption>{title}</caption>
      <thead><tr>{columns.map((column) => <th key={column} scope="col">{column}</th>)}</tr></thead>
      <tbody>{children}</tbody>
    </table>
  );
}

export function Fixes({ plan }: { plan: PlanReport }) {
  if (plan.fixes.length === 0) {
    return null;
  }
  return (
    <Fold title={t("wiring.fixes")} count={plan.fixes.length} open>
      <ol class="wiring-fixes">
        {plan.fixes.map((fix, at) => (
          <li key={`${fix.id} ${at}`}>
            <p><strong><Say text={fix.says} /></strong> <span class="quiet">{textOf(`wiring.effort.${fix.effort}`)}</span></p>
            <p>{t("wiring.before_after", { before: standing(fix.before), after: standing(fix.after) })}</p>
            <p class="quiet">{counts(fix)}</p>
          </li>
        ))}
      </ol>
    </Fold>
  );
}

function standing(is: PlanStanding): string {
  const lamp = is.worst_lamp === "" ? "" : t("wiring.standing", { lamp: wordFor(`plan.lamp.${is.worst_lamp}`), v: figure(is.worst_v, "V"), light: figure(Math.round(is.light_pct), "pct") });
  const diode = is.junction_c === undefined ? "" : t("wiring.junction", { at: plainly(showAmount({ value: Math.round(is.junction_c), unit: "c" })) });
  return [textOf(`verdict.${is.verdict}`), lamp, diode].filter((part) => part !== "").join(", ");
}

function counts({ clears, raises }: PlanFix): string {
  return [clears.length > 0 ? t("wiring.clears", { n: clears.length }) : "", raises.length > 0 ? t("wiring.raises", { n: raises.length }) : ""].filter((part) => part !== "").join(" ");
}

export function Materials({ plan }: { plan: PlanReport }) {
  return (
    <Fold title={t("wiring.materials")} count={plan.materials.length}>
      <ul class="wiring-lines">
        {plan.materials.map((material, at) => (
          <li key={at}>
            <strong>{material.length_ft === undefined ? t("wiring.pieces", { n: material.count ?? 0 }) : length(material.length_ft)}</strong> <Say text={material.name} />
            {material.how === "template" && <span class="quiet"> {t("wiring.typical")}</span>}
          </li>
        ))}
      </ul>
    </Fold>
  );
}

export function Work({ plan }: { plan: PlanReport }) {
  return (
    <Fold title={t("wiring.work")} count={plan.work.length}>
      <ol class="wiring-lines">
        {plan.work.map((point) => <li key={point.id}>{point.hold && <strong>{t("wiring.hold")} </strong>}<Say text={point.says} /></li>)}
      </ol>
    </Fold>
  );
}

/** What the plan rests on: what nobody entered stands first, and is named so. */
export function Values({ plan }: { plan: PlanReport }) {
  const typical = plan.values.filter(({ how }) => how === "template");
  const known = plan.values.filter(({ how }) => how !== "template");
  return (
    <>
      <Fold title={t("wiring.typical_values")} count={typical.length}><ValueLines values={typical} /></Fold>
      <Fold title={t("wiring.known_values")} count={known.length}><ValueLines values={known} /></Fold>
    </>
  );
}

function ValueLines({ values }: { values: WiringValue[] }) {
  return (
    <ul class="wiring-lines">
      {values.map((value) => (
        <li key={value.field} data-how={value.how}>{pointerInWords(value.field)}: <strong>{valueWords(value)}</strong> <span class="quiet">{textOf(`wiring.how.${value.how}`)}{usual(value)}</span></li>
      ))}
    </ul>
  );
}

function valueWords({ field, word, number, unit = "" }: WiringValue): string {
  if (number !== undefined) {
    return plainly(showAmount({ value: number, unit }));
  }
  const set = textOf(`choice${field}=${word}`) ?? textOf(`choice/${field.split("/").at(-1)}=${word}`);
  return set ?? (word === "yes" || word === "no" ? t(word) : (word ?? "").replaceAll("_", " "));
}

function usual({ low, high }: WiringValue): string {
  return low === undefined || high === undefined ? "" : `, ${t("wiring.usual", { low: showNumber(low), high: showNumber(high) })}`;
}

function Fold({ title, count, open = false, children }: { title: string; count: number; open?: boolean; children: ComponentChildren }) {
  return (
    <details class="folded" open={open}>
      <summary><Icon name="chevron" /> <span class="folded-words">{title}</span> <span class="count">{count}</span></summary>
      {children}
    </details>
  );
}
