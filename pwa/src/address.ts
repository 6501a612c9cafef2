/** The fragment of the address: a room, and what is shown in it, so that Back works. */

import { useEffect, useState } from "preact/hooks";

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
