/** Small things this device remembers: the theme and the last trip. */

/** Reads a remembered value; undefined where there is none or storage is refused. */
export function remembered<T>(name: string): T | undefined {
  try {
    const text = localStorage.getItem(name);
    return text === null ? undefined : (JSON.parse(text) as T);
  } catch {
    return undefined;
  }
}

/** Remembers a value, undefined to forget it. Reports whether the browser kept it. */
export function remember(name: string, value: unknown): boolean {
  try {
    if (value === undefined) {
      localStorage.removeItem(name);
    } else {
      localStorage.setItem(name, JSON.stringify(value));
    }
    return true;
  } catch {
    return false;
  }
}
