/** The route: a strip of jurisdictions in order, typed or taken from next door. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { Icon } from "../marks/icon.tsx";
import { t } from "../words/text.ts";
import { findPlaces, shortCode, type Place } from "./places.ts";

interface Props {
  places: Place[];
  route: string[];
  onChange: (route: string[]) => void;
}

export function Route({ places, route, onChange }: Props) {
  const [said, setSaid] = useState("");
  const name = (code: string) => places.find((place) => place.code === code)?.name ?? code;
  const last = route.at(-1);
  const nextDoor = places.find((place) => place.code === last)?.neighbours ?? [];

  const add = (code: string) => {
    onChange([...route, code]);
    setSaid(t("route.added", { place: name(code), n: route.length + 1 }));
  };
  const remove = (at: number) => {
    onChange(route.filter((_, i) => i !== at));
    setSaid(t("route.removed", { place: name(route[at] ?? "") }));
  };
  const move = (at: number, by: number) => {
    const next = [...route];
    const [code] = next.splice(at, 1);
    if (code !== undefined) {
      next.splice(at + by, 0, code);
      onChange(next);
      setSaid(t("route.moved", { place: name(code), n: at + by + 1 }));
    }
  };

  return (
    <section aria-labelledby="route-heading">
      <h2 id="route-heading">{t("route.title")}</h2>
      {route.length > 0 && (
        <ol class="route" aria-label={t("route.in_order")}>
          {route.map((code, at) => (
            <li key={`${code}-${at}`}>
              <abbr title={name(code)}>{shortCode(code)}</abbr>
              <span class="route-name">{name(code)}</span>
              <button type="button" class="only-icon quiet" disabled={at === 0} aria-label={t("route.earlier", { place: name(code) })} onClick={() => move(at, -1)}>
                <Icon name="up" />
              </button>
              <button type="button" class="only-icon quiet" disabled={at === route.length - 1} aria-label={t("route.later", { place: name(code) })} onClick={() => move(at, 1)}>
                <Icon name="down" />
              </button>
              <button type="button" class="only-icon quiet" aria-label={t("remove_one", { name: name(code) })} onClick={() => remove(at)}>
                <Icon name="remove" />
              </button>
            </li>
          ))}
        </ol>
      )}
      <AddPlace places={places} after={last} first={route.length === 0} onAdd={add} />
      {nextDoor.length > 0 && (
        <div class="next-door">
          <span id="next-door">{t("route.next_door", { place: name(last ?? "") })}</span>
          <ul aria-labelledby="next-door">
            {nextDoor.map((code) => (
              <li key={code}>
                <button type="button" class="chip" onClick={() => add(code)}>{name(code)}</button>
              </li>
            ))}
          </ul>
        </div>
      )}
      <p class="for-ears" role="status">{said}</p>
    </section>
  );
}

/** A combobox as WAI-ARIA describes it: typing filters, arrows choose, Enter adds. */
function AddPlace({ places, after, first, onAdd }: { places: Place[]; after: string | undefined; first: boolean; onAdd: (code: string) => void }) {
  const [typed, setTyped] = useState("");
  const [at, setAt] = useState(0);
  const [miss, setMiss] = useState("");
  const id = useId();
  const list = useRef<HTMLUListElement>(null);
  const found = findPlaces(typed, places, after).slice(0, 6);
  const open = found.length > 0;

  useEffect(() => list.current?.children[at]?.scrollIntoView({ block: "nearest" }), [at]);

  const take = (place: Place | undefined) => {
    if (place) {
      onAdd(place.code);
      setTyped("");
      setAt(0);
    } else if (typed.trim() !== "") {
      setMiss(t("route.miss", { typed: typed.trim() }));
    }
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === "ArrowDown" && open) {
      setAt((at + 1) % found.length);
    } else if (event.key === "ArrowUp" && open) {
      setAt((at + found.length - 1) % found.length);
    } else if (event.key === "Enter") {
      take(found[at]);
    } else if (event.key === "Escape") {
      setTyped("");
    } else {
      return;
    }
    event.preventDefault();
  };

  return (
    <div class="add-place">
      <label for={`${id}-input`}>{t(first ? "route.first" : "route.then")}</label>
      <input
        id={`${id}-input`}
        role="combobox"
        type="text"
        autocomplete="off"
        autocapitalize="words"
        spellcheck={false}
        enterkeyhint="next"
        placeholder={t(first ? "route.first_example" : "route.then_example")}
        aria-expanded={open}
        aria-controls={`${id}-list`}
        aria-autocomplete="list"
        aria-activedescendant={open ? `${id}-${at}` : undefined}
        aria-invalid={miss !== ""}
        aria-describedby={`${id}-miss`}
        value={typed}
        onInput={(event) => {
          setTyped(event.currentTarget.value);
          setAt(0);
          setMiss("");
        }}
        onKeyDown={onKeyDown}
      />
      <ul id={`${id}-list`} ref={list} role="listbox" aria-label={t("route.matching")} class="suggestions" hidden={!open}>
        {found.map((place, i) => (
          <li
            id={`${id}-${i}`}
            role="option"
            aria-selected={i === at}
            onPointerDown={(event) => event.preventDefault()}
            onClick={() => take(place)}
          >
            <span>{place.name}</span>
            <abbr>{shortCode(place.code)}</abbr>
          </li>
        ))}
      </ul>
      <p id={`${id}-miss`} class="wrong" role="status">{miss}</p>
    </div>
  );
}
