/** A long list of which only what is near the screen is in the page: 10,000 rows scroll like ten. */

import type { ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { Heights } from "./heights.ts";

interface Props<T> {
  items: T[];
  label: string;
  keyOf: (item: T) => string;
  children: (item: T) => ComponentChildren;
}

/** How much is drawn above and below the screen, in px. */
const BEYOND = 600;

export function Windowed<T>({ items, label, keyOf, children }: Props<T>) {
  const list = useRef<HTMLUListElement>(null);
  const heights = useRef(new Heights(180));
  const [, again] = useState(0);
  const [shown, setShown] = useState<[from: number, to: number]>([0, 12]);

  useEffect(() => {
    const look = () => {
      const box = list.current?.getBoundingClientRect();
      if (!box) return;
      const next = heights.current.within(-box.top - BEYOND, innerHeight - box.top + BEYOND);
      setShown((now) => (now[0] === next[0] && now[1] === next[1] ? now : next));
    };
    heights.current.lay(items.map(keyOf));
    look();
    again((n) => n + 1);
    let width = innerWidth;
    const resized = () => {
      if (innerWidth !== width) heights.current.forget(); // other line breaks, other heights
      width = innerWidth;
      look();
    };
    addEventListener("scroll", look, { passive: true });
    addEventListener("resize", resized);
    return () => {
      removeEventListener("scroll", look);
      removeEventListener("resize", resized);
    };
  }, [items]);

  // Each drawn item is measured before it is painted; what differs moves those below it.
  useLayoutEffect(() => {
    let changed = false;
    for (const element of list.current?.children ?? []) {
      const { key } = (element as HTMLElement).dataset;
      changed = (key !== undefined && heights.current.measure(key, element.getBoundingClientRect().height)) || changed;
    }
    if (changed) again((n) => n + 1);
  });

  const [from, to] = [Math.min(shown[0], items.length), Math.min(shown[1], items.length)];
  return (
    <ul
      ref={list} class="windowed" aria-label={label}
      style={{ paddingTop: `${heights.current.before(from)}px`, paddingBottom: `${heights.current.after(to, items.length)}px` }}
    >
      {items.slice(from, to).map((item, at) => (
        <li key={keyOf(item)} data-key={keyOf(item)} aria-setsize={items.length} aria-posinset={from + at + 1}>{children(item)}</li>
      ))}
    </ul>
  );
}
