import assert from "node:assert/strict";
import { test } from "node:test";
import { converse, meant, ordered, shownIn, withWrites } from "../src/rig/edit.ts";
import { SECTIONS } from "../src/rig/fields.ts";
import { readQuantity, showQuantity, type Dimension, type Quantity } from "../src/rig/quantity.ts";

test("quantities as people write them, kept in the unit typed", () => {
  const cases: [string, Dimension, Quantity][] = [
    ["4,300 lbs", "mass", { lb: 4300 }], ["4300", "mass", { lb: 4300 }], ["1 950 kg", "mass", { kg: 1950 }], ["1950kg", "mass", { kg: 1950 }],
    ["1\u00a0950 kg", "mass", { kg: 1950 }], ["4,300.5 pounds", "mass", { lb: 4300.5 }], ["12,5 kg", "mass", { kg: 12.5 }],
    ["15 ft 6 in", "length", { in: 186 }], ["15'6\"", "length", { in: 186 }], ["15′ 6½″", "length", { in: 186.5 }], ["15 feet and 6 inches", "length", { in: 186 }],
    ["18 1/2 in", "length", { in: 18.5 }], ["18½\"", "length", { in: 18.5 }], ["1/2 in", "length", { in: 0.5 }], ["½ in", "length", { in: 0.5 }],
    ["18-1/2 in", "length", { in: 18.5 }], ["47 cm", "length", { cm: 47 }], ["-4 in", "length", { in: -4 }], ["−4 in", "length", { in: -4 }], ["3.2 m", "length", { m: 3.2 }],
    ["65 mph", "speed", { mph: 65 }], ["105 km/h", "speed", { km_h: 105 }], ["200 miles", "distance", { mi: 200 }],
  ];
  for (const [typed, dimension, want] of cases) {
    const got = readQuantity(typed, dimension, "lb");
    assert.deepEqual(got, { ok: true, value: want }, typed);
  }
});

test("what is no quantity of this field is refused in words, never guessed", () => {
  const cases: [string, Dimension][] = [
    ["heavy", "mass"], ["4300 ft", "mass"], ["15 ft 13 in", "length"], ["5 5 5 lb", "mass"], ["1,2,3 kg", "mass"], ["1/0 in", "length"], ["12,3456 lb", "mass"],
    ["4.3.0 lb", "mass"], ["65 lb", "speed"], ["3.5 1/2 in", "length"], ["4300 lb or so", "mass"], ["--4 in", "length"],
  ];
  for (const [typed, dimension] of cases) {
    const got = readQuantity(typed, dimension, "lb");
    assert.ok(!got.ok, `${typed}: ${JSON.stringify(got)}`);
    assert.match(got.why, /Write it like/);
  }
});

test("what is shown reads back as it was", () => {
  const cases: [Quantity, Dimension, string][] = [
    [{ lb: 4300 }, "mass", "4,300 lb"], [{ kg: 1950.5 }, "mass", "1,950.5 kg"], [{ in: 186 }, "length", "15 ft 6 in"], [{ in: 18.5 }, "length", "18.5 in"],
    [{ in: 144 }, "length", "12 ft"], [{ km_h: 105 }, "speed", "105 km/h"], [{ in: -4 }, "length", "-4 in"],
  ];
  for (const [value, dimension, shown] of cases) {
    assert.equal(showQuantity(value), shown);
    const [unit = "", number = 0] = Object.entries(value)[0] ?? [];
    assert.deepEqual(readQuantity(shown, dimension, unit), { ok: true, value: shown === "12 ft" ? { ft: 12 } : { [unit]: number } });
  }
});

test("a number without a unit is in the person's own", () => {
  const small = { at: "/x", name: "/x", kind: "length", small: true } as const;
  assert.deepEqual(meant(small, "18", "us"), { ok: true, value: { in: 18 } });
  assert.deepEqual(meant(small, "47", "metric"), { ok: true, value: { cm: 47 } });
  assert.deepEqual(meant({ at: "/x", name: "/x", kind: "mass" }, "1950", "metric"), { ok: true, value: { kg: 1950 } });
  assert.deepEqual(meant({ at: "/x", name: "/x", kind: "mass" }, " ", "us"), { ok: true, value: undefined });
});

test("what was entered stands as entered, with the reader's units beside it", () => {
  const weight = { at: "/x", name: "/x", kind: "mass" } as const;
  assert.deepEqual([shownIn(weight, { kg: 1950 }), converse(weight, { kg: 1950 })], ["1,950 kg", "4,299 lb"]);
  assert.deepEqual([shownIn(weight, { lb: 4300 }), converse(weight, { lb: 4300 })], ["4,300 lb", ""]);
  assert.equal(converse({ at: "/x", name: "/x", kind: "number", unit: "V" }, 12.6), "");
  assert.equal(converse(weight, undefined), "");
});

test("no field stands twice, and every entry can be ordered", () => {
  const all = SECTIONS.flatMap(({ fields, after = [] }) => [...fields, ...after].map(({ at }) => at));
  assert.equal(new Set(all).size, all.length);
  assert.deepEqual(ordered({ b: { kind: "z", order: 1 }, a: { kind: "y", order: 9 }, c: { kind: "y", order: 2 } }, "kind", ["y", "z"]), ["c", "a", "b"]);
  assert.deepEqual(withWrites({ a: { b: 1 } }, [{ path: "/a/c/d", value: 2 }, { path: "/a/b", removed: true }]), { a: { c: { d: 2 } } });
});
