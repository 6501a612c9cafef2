/** Parts, cables and steps: added, changed, put in order and removed. */

import { useState } from "preact/hooks";
import { unkeptAt } from "../keep/unkept.ts";
import { Icon } from "../marks/icon.tsx";
import { valueAt, type Json, type JsonObject, type Write } from "../store/journal.ts";
import { uuid7 } from "../store/uuid7.ts";
import { t, textOf } from "../words/text.ts";
import type { Units } from "../words/units.ts";
import { converse, ordered, shownIn } from "./edit.ts";
import { Field } from "./field.tsx";
import { choiceOf } from "./field-words.ts";
import type { Entries as Spec } from "./fields.ts";

interface Props {
  /** The document the entries are in. */
  doc: string;
  spec: Spec;
  rig: JsonObject;
  units: Units;
  /** Keeps the writes; answers why not, in words. */
  onWrite: (writes: Write[]) => Promise<string | undefined>;
}

export function Entries({ doc, spec, rig, units, onWrite }: Props) {
  const fresh = `${doc}${spec.at}/-`;
  const [drafting, setDrafting] = useState(unkeptAt(fresh) !== undefined);
  const [why, setWhy] = useState("");
  const all = (valueAt(rig, spec.at) ?? {}) as JsonObject;
  const ids = ordered(all, spec.ranked, spec.fields.find(({ at }) => at === `/${spec.ranked}`)?.choices ?? []);
  const first = spec.fields.find(({ at }) => at === spec.first);

  const add = (more: Write[] = []) => {
    const at = `${spec.at}/${uuid7()}`;
    const order = Math.max(0, ...ids.map((id) => Number(valueAt(all[id], "/order") ?? 0))) + 1;
    return onWrite([
      ...Object.entries(spec.begin).map(([member, value]) => ({ path: `${at}/${member}`, value })),
      { path: `${at}/order`, value: order },
      ...more.map((write) => ({ ...write, path: at + write.path })),
    ]);
  };
  /** The neighbour that an entry may change places with: one of the same rank. */
  const neighbour = (at: number, step: number): string | undefined => {
    const [id, other] = [ids[at], ids[at + step]];
    const rank = (one: string) => (spec.ranked ? valueAt(all[one], `/${spec.ranked}`) : "");
    return id !== undefined && other !== undefined && rank(id) === rank(other) ? other : undefined;
  };
  const move = (at: number, step: number) => {
    const [from, to] = [ids[at] ?? "", neighbour(at, step) ?? ""];
    const next = ids.map((id) => (id === from ? to : id === to ? from : id));
    return onWrite(next.map((id, place) => ({ path: `${spec.at}/${id}/order`, value: place + 1 })));
  };
  const say = (done: Promise<string | undefined>) => void done.then((refused) => setWhy(refused ?? ""));

  return (
    <div class="entries">
      {ids.map((id, at) => (
        <details class="entry" key={id} data-entry={id}>
          <summary>
            <Icon name="chevron" size={18} />
            <span><strong>{titleOf(spec, all[id], at)}</strong> <span class="quiet">{aboutOf(spec, all[id])}</span></span>
          </summary>
          <div class="entry-body">
            {spec.fields.map((field) => (
              <Field
                key={field.at} place={`${doc}${spec.at}/${id}${field.at}`} spec={field} value={valueAt(all[id], field.at)} units={units}
                onKeep={(value: Json | undefined) => onWrite([{ path: `${spec.at}/${id}${field.at}`, ...(value === undefined ? { removed: true as const } : { value }) }])}
              />
            ))}
            <div class="buttons">
              {neighbour(at, -1) && <button type="button" onClick={() => say(move(at, -1))}><Icon name="up" /> {t("entry.earlier")}</button>}
              {neighbour(at, 1) && <button type="button" onClick={() => say(move(at, 1))}><Icon name="down" /> {t("entry.later")}</button>}
              <button type="button" onClick={() => say(onWrite([{ path: `${spec.at}/${id}`, removed: true }]))}><Icon name="remove" /> {t("remove")}</button>
            </div>
          </div>
        </details>
      ))}
      {drafting && first && (
        <div class="entry entry-body">
          <Field
            place={fresh} spec={first} value={undefined} units={units}
            onKeep={async (value) => {
              if (value === undefined) return undefined;
              const refused = await add([{ path: first.at, value }]);
              if (refused === undefined) setDrafting(false);
              return refused;
            }}
          />
        </div>
      )}
      <p class="wrong" role="status">{why}</p>
      <button type="button" class="wide" onClick={() => (first ? setDrafting(true) : say(add()))}><Icon name="add" /> {textOf(`entry${spec.at}+`)}</button>
    </div>
  );
}

function titleOf(spec: Spec, entry: Json | undefined, at: number): string {
  const ranked = spec.fields.find((field) => field.at === `/${spec.ranked}`);
  const value = ranked && valueAt(entry, ranked.at);
  return ranked?.choices?.includes(String(value)) ? choiceOf(ranked, String(value)) : `${textOf(`entry${spec.at}`)} ${at + 1}`;
}

/** The first thing known of an entry, beside its title. */
function aboutOf(spec: Spec, entry: Json | undefined): string {
  const field = spec.fields.find(({ at }) => at !== `/${spec.ranked}` && valueAt(entry, at) !== undefined);
  const value = field && valueAt(entry, field.at);
  const other = field && converse(field, value);
  return field ? shownIn(field, value) + (other && ` = ${other}`) : t("entry.empty");
}
