/** The fragment of the address: a room, and what is shown in it, so that Back works. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";

/** The parts of the fragment: #trouble/sign/smoke is ["trouble", "sign", "smoke"]. */
export function useAddress(): string[] {
  const [parts, setParts] = useState(address);
  useEffect(() => {
    const follow = () => setParts(address());
    addEventListener("hashchange", follow);
    return () => removeEventListener("hashchange", follow);
  }, []);
  return parts;
}

/**
 * The heading of what is shown takes the focus when something else is shown, once
 * that is `ready`. A heading that is new takes it only where what had it is gone.
 */
export function useHeading(shown: string, ready = true) {
  const heading = useRef<HTMLHeadingElement>(null);
  const before = useRef<string | undefined>(undefined);
  useLayoutEffect(() => {
    if (!ready) {
      return;
    }
    const takes = before.current === undefined ? moved && document.activeElement === document.body : before.current !== shown;
    before.current = shown;
    if (takes) {
      scrollTo(0, 0);
      heading.current?.focus({ preventScroll: true });
    }
  }, [shown, ready]);
  return heading;
}

/** Whether a person has gone anywhere since the app was opened. */
let moved = false;
addEventListener("hashchange", () => (moved = true));

function address(): string[] {
  return location.hash.slice(1).split("/").map(decoded);
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part; // a mistyped address is an unknown one, not a broken app
  }
}
