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

/** The heading of what is shown takes the focus when something else is shown. */
export function useHeading(shown: string) {
  const heading = useRef<HTMLHeadingElement>(null);
  const before = useRef(shown);
  useLayoutEffect(() => {
    if (before.current !== shown) {
      before.current = shown;
      scrollTo(0, 0);
      heading.current?.focus({ preventScroll: true });
    }
  }, [shown]);
  return heading;
}

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
