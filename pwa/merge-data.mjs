// Go's linker leaves every run of zeros out of a WebAssembly file's data, which
// cuts it into some 80,000 segments, each with an address of its own. Memory
// begins as zeros, so segments with the zeros between them written out mean the
// same; and the file, larger as it is, is 90 kB smaller at brotli 11: addresses
// do not compress, zeros do.

/** Segments no further apart than this become one. */
const GAP = 4096;

const DATA_SECTION = 11;
const I32_CONST = 0x41;
const END = 0x0b;

/** Returns the module with its data in few segments; what it does stays the same. */
export function mergeData(module) {
  const parts = [module.subarray(0, 8)]; // magic and version
  for (let at = 8; at < module.length; ) {
    const [size, start] = unsigned(module, at + 1);
    const end = start + size;
    parts.push(module[at] === DATA_SECTION ? section(merged(segments(module.subarray(start, end)))) : module.subarray(at, end));
    at = end;
  }
  return Buffer.concat(parts);
}

function segments(body) {
  const [count, first] = unsigned(body, 0);
  const list = [];
  for (let at = first; list.length < count; ) {
    if (body[at] !== 0 || body[at + 1] !== I32_CONST) {
      throw new Error("merge-data: a data segment that is not at a constant address of memory 0");
    }
    const [address, afterAddress] = signed(body, at + 2);
    const [size, start] = unsigned(body, afterAddress + 1);
    if (body[afterAddress] !== END || address < 0) {
      throw new Error("merge-data: a data segment whose address is not understood");
    }
    list.push({ address, bytes: body.subarray(start, start + size) });
    at = start + size;
  }
  return list;
}

function merged(list) {
  const out = [];
  for (const { address, bytes } of list.sort((a, b) => a.address - b.address)) {
    const last = out.at(-1);
    const gap = last ? address - last.end : Infinity;
    if (gap < 0) {
      throw new Error("merge-data: two data segments overlap, and their order matters");
    }
    if (gap > GAP) {
      out.push({ address, end: address + bytes.length, parts: [bytes] });
    } else {
      last.parts.push(Buffer.alloc(gap), bytes);
      last.end = address + bytes.length;
    }
  }
  return out;
}

function section(list) {
  const parts = [leb(list.length)];
  for (const { address, end, parts: bytes } of list) {
    parts.push(Buffer.from([0, I32_CONST]), sleb(address), Buffer.from([END]), leb(end - address), Buffer.concat(bytes));
  }
  const body = Buffer.concat(parts);
  return Buffer.concat([Buffer.from([DATA_SECTION]), leb(body.length), body]);
}

/** Reads an unsigned LEB128 number; returns it and where the next byte is. */
function unsigned(bytes, at) {
  let value = 0;
  for (let scale = 1; ; scale *= 128) {
    const byte = bytes[at++];
    value += (byte & 127) * scale;
    if (byte < 128) {
      return [value, at];
    }
  }
}

function signed(bytes, at) {
  const [value, next] = unsigned(bytes, at);
  const bits = 7 * (next - at);
  return [bytes[next - 1] & 64 ? value - 2 ** bits : value, next];
}

function leb(value) {
  const out = [];
  for (; value >= 128; value = Math.floor(value / 128)) {
    out.push((value % 128) | 128);
  }
  return Buffer.from([...out, value]);
}

/** A number that is not negative, as signed LEB128. */
function sleb(value) {
  const out = [...leb(value)];
  if (out.at(-1) & 64) {
    out[out.length - 1] |= 128;
    out.push(0);
  }
  return Buffer.from(out);
}
