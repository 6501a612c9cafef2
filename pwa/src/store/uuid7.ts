/** Makes UUIDs of version 7 (RFC 9562): in the order of their making, by the device's clock. */

let last = 0;
let counter = 0;

/** 48 bits of milliseconds, 12 bits that count within one, 62 bits of chance. */
export function uuid7(now = Date.now()): string {
  if (now > last) {
    last = now;
    counter = 0;
  } else if (++counter > 0xfff) {
    last++;
    counter = 0;
  }
  const random = crypto.getRandomValues(new Uint8Array(8));
  random[0] = ((random[0] ?? 0) & 0x3f) | 0x80;
  const tail = [...random].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const time = last.toString(16).padStart(12, "0");
  return `${time.slice(0, 8)}-${time.slice(8)}-7${counter.toString(16).padStart(3, "0")}-${tail.slice(0, 4)}-${tail.slice(4)}`;
}
