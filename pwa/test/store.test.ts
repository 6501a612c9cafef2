import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import * as fs from "node:fs";
import { after, test } from "node:test";
import { openDB } from "idb";
import { StoreFault } from "../src/store/fault.ts";
import type { Entry, JsonObject } from "../src/store/journal.ts";
import { Store } from "../src/store/store.ts";
import { uuid7 } from "../src/store/uuid7.ts";
import { startEngine } from "./engine-process.ts";

const engine = startEngine();
const stores: Store[] = [];
after(async () => {
  await Promise.all(stores.map((store) => store.close()));
  engine.end();
});

let opened = 0;
const fresh = () => `test-${++opened}`;
const open = (name = fresh(), now = 1_764_000_000_000) => {
  let time = now;
  const store = new Store(engine, { name, now: () => time++ });
  stores.push(store);
  return store;
};
const RIG = "rig/a";

test("the vectors of the journal, asked as the app asks", async () => {
  const vectors = JSON.parse(fs.readFileSync(new URL("../../../api/testdata/edits.json", import.meta.url), "utf8")) as {
    name: string; call: string; input: unknown; want?: unknown; refused?: string;
  }[];
  for (const { name, call, input, want, refused } of vectors) {
    const got = await engine.edit(call, JSON.stringify(input));
    if (got.ok) assert.deepEqual(got.value, want, name);
    else assert.equal(got.problem.errors[0]?.pointer, refused, name);
  }
});

test("ids are of version 7 and in the order of their making", () => {
  const ids = Array.from({ length: 9000 }, () => uuid7(1_764_000_000_000));
  assert.ok(ids.every((id) => /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(id)));
  assert.deepEqual([...ids].sort(), ids);
  assert.equal(new Set(ids).size, ids.length);
});

test("what is written is there after another start", async () => {
  const name = fresh();
  await open(name).write(RIG, [{ path: "/name", value: "A" }, { path: "/towed/curb", value: { lb: 4300 } }]);
  const again = open(name);
  assert.deepEqual(await again.read(RIG), { name: "A", towed: { curb: { lb: 4300 } } });
  assert.deepEqual((await again.documents("rig")).map(({ doc }) => doc), [RIG]);
  assert.equal((await again.history(RIG, "/name")).length, 1);
  assert.equal(again.standing().lasting, true);
});

test("many documents are written at once, or none of them", async () => {
  const name = fresh();
  const store = open(name);
  await store.write("rule/US-VA.brakes.1", [{ path: "/change", value: [1] }]);
  const many = Array.from({ length: 500 }, (_, i) => ({ doc: `rule/US-VA.brakes.${i}`, writes: [{ path: "/change", value: [i + 10] }] }));
  await store.writeAll(many);
  const again = open(name);
  assert.equal((await again.documents("rule")).length, 500);
  assert.deepEqual(await again.read("rule/US-VA.brakes.1"), { change: [11] });
  assert.equal((await again.history("rule/US-VA.brakes.1", "/change")).length, 2);
  await assert.rejects(again.writeAll([{ doc: "rule/x", writes: [{ path: "/change", value: [1] }] }, { doc: "rule/y", writes: [{ path: "/change/0", value: 1 }] }]), StoreFault);
  assert.equal(await again.read("rule/x"), undefined);
});

test("a clock set back loses no edit", async () => {
  const name = fresh();
  await open(name, 2_000_000_000_000).write(RIG, [{ path: "/name", value: "A" }]);
  const back = open(name, 1_000_000_000_000);
  await back.write(RIG, [{ path: "/name", value: "B" }]);
  assert.deepEqual(await back.read(RIG), { name: "B" });
});

test("undo walks back edit by edit, and a removed document comes back whole", async () => {
  const store = open();
  const document: JsonObject = { name: "A", coupling: { parts: { p1: { kind: "receiver", rating: { lb: 5000 } } } } };
  await store.replace(RIG, document);
  await store.write(RIG, [{ path: "/name", value: "B" }]);
  await store.write(RIG, [{ path: "/coupling/parts/p1", removed: true }]);
  await store.remove(RIG);
  assert.equal(await store.read(RIG), undefined);
  assert.deepEqual(await store.documents("rig"), []);
  await store.undo(RIG);
  assert.deepEqual(await store.read(RIG), { name: "B" });
  await store.undo(RIG);
  assert.deepEqual(await store.read(RIG), { ...document, name: "B" });
  await store.undo(RIG);
  assert.deepEqual(await store.read(RIG), document);
  assert.equal(await store.undoable(RIG), true);
  await store.undo(RIG);
  assert.equal(await store.read(RIG), undefined);
  assert.equal(await store.undo(RIG), false);
});

test("undo leaves alone what somebody else changed since", async () => {
  const mine = open(), theirs = open(undefined, 1_765_000_000_000);
  await mine.replace(RIG, { name: "A", towed: { description: "C" } });
  await mine.write(RIG, [{ path: "/name", value: "B" }, { path: "/towed/description", value: "D" }]);
  await theirs.importAll(await mine.exportAll());
  await theirs.write(RIG, [{ path: "/name", value: "Theirs" }]);
  await mine.importAll(await theirs.exportAll());
  assert.equal(await mine.undo(RIG), true);
  assert.deepEqual(await mine.read(RIG), { name: "Theirs", towed: { description: "C" } });
});

test("export on one device and import on another are equal, in both directions and twice", async () => {
  const one = open(), two = open(undefined, 1_764_500_000_000);
  await one.replace(RIG, { name: "One", towed: { curb: { kg: 1450 } } });
  await two.replace("rig/b", { name: "Two" });
  await two.replace(RIG, { towed: { description: "C" } });
  const got = await two.importAll(await one.exportAll());
  assert.deepEqual(got, { edits: 2, documents: 1 });
  assert.deepEqual(await two.read(RIG), { name: "One", towed: { curb: { kg: 1450 }, description: "C" } });
  await one.importAll(await two.exportAll());
  assert.equal(await one.exportAll(), await two.exportAll());
  assert.deepEqual(await one.documents("rig"), await two.documents("rig"));
  assert.deepEqual(await one.importAll(await two.exportAll()), { edits: 0, documents: 0 });
});

test("a file that is no export, or holds what no journal takes, changes nothing", async () => {
  const store = open();
  await store.write(RIG, [{ path: "/name", value: "A" }]);
  const before = await store.exportAll();
  const good = JSON.parse(before).entries[0] as Entry;
  const bad = [
    "", "{}", "[]", "null", '{"entries":[]}', '{"pintail_export":2,"entries":[]}',
    JSON.stringify({ pintail_export: 1, entries: [{ ...good, id: uuid7(), doc: "rig/b" }, { ...good, id: uuid7(), path: "/a/0" }] }),
    JSON.stringify({ pintail_export: 1, entries: [null] }),
  ];
  for (const text of bad) {
    await assert.rejects(store.importAll(text), StoreFault, text);
  }
  assert.equal(await store.exportAll(), before);
});

test("a write that cannot be is refused with its place, and nothing is written", async () => {
  const store = open();
  await store.write(RIG, [{ path: "/name", value: "A" }]);
  const fault = await store.write(RIG, [{ path: "/towed/description", value: "C" }, { path: "/name/first", value: "B" }]).catch((reason: unknown) => reason);
  assert.ok(fault instanceof StoreFault);
  assert.equal(fault.kind, "refused");
  assert.equal(fault.problem?.errors[0]?.pointer, "/writes/1/path");
  assert.deepEqual(await store.read(RIG), { name: "A" });
});

test("without an engine a write rejects in words and what was there can be read", async () => {
  const name = fresh();
  await open(name).write(RIG, [{ path: "/name", value: "A" }]);
  const store = new Store({ edit: () => Promise.reject(new Error("no engine")) }, { name });
  stores.push(store);
  const fault = await store.write(RIG, [{ path: "/name", value: "B" }]).catch((reason: unknown) => reason);
  assert.ok(fault instanceof StoreFault);
  assert.equal(fault.kind, "engine");
  assert.deepEqual(await store.read(RIG), { name: "A" });
});

test("rigs of version 1 of the database become documents, once", async () => {
  const name = fresh();
  const old = await openDB(name, 1, { upgrade: (db) => void db.createObjectStore("rigs", { keyPath: "id" }) });
  const text = '{"name":"Mine","towed":{"curb":{"lb":3000}}}';
  await old.put("rigs", { id: "phone:5f0c2ab0-0000-4000-8000-000000000000", name: "Mine", about: "", text, from: "phone" });
  await old.put("rigs", { id: "server:ready", name: "Demo", about: "", text: "{}", from: "server", revision: 1 });
  old.close();
  const store = open(name);
  await store.begin();
  await store.begin();
  assert.deepEqual(await store.documents("rig"), [{ doc: "rig/5f0c2ab0-0000-4000-8000-000000000000", document: JSON.parse(text) }]);
  assert.deepEqual((await store.copies()).map(({ id }) => id), ["server:ready"]);
});

test("a database of a newer app is left alone, and that is said", async () => {
  const name = fresh();
  (await openDB(name, 99)).close();
  const store = open(name);
  await store.write(RIG, [{ path: "/name", value: "A" }]);
  assert.equal(store.standing().trouble, "newer");
  assert.equal(await store.lasting, false);
  const db = await openDB(name);
  assert.equal(db.version, 99);
  db.close();
});

test("two tabs see each other's edits", async () => {
  const name = fresh();
  const one = open(name), two = open(name);
  const heard = new Promise<string>((resolve) => void two.subscribe("rig", resolve));
  await one.write(RIG, [{ path: "/name", value: "A" }]);
  assert.equal(await heard, RIG);
  await Promise.all([one.write(RIG, [{ path: "/towed/description", value: "C" }]), one.write(RIG, [{ path: "/towing/description", value: "M" }])]);
  assert.deepEqual(await two.read(RIG), { name: "A", towed: { description: "C" }, towing: { description: "M" } });
});

/** A server that takes entries as ours does, with a clock of its own; the core's own tests hold the real one. */
class Workspace {
  changes: { cursor: number; entry: Entry }[] = [];
  era = "first";
  now = 1_764_000_000_000;
  refuse: ((entry: Entry) => string | undefined) | undefined;
  status = 200;
  /** Whether its disk is full: it shows, and takes nothing. */
  full = false;
  /** The roles of the keys; undefined where none is asked for. */
  keys: Record<string, "editor" | "reader"> | undefined;

  install(): () => void {
    const before = globalThis.fetch;
    globalThis.fetch = async (input, init) => this.answer(String(input), init);
    return () => void (globalThis.fetch = before);
  }

  answer(path: string, init?: RequestInit): Response {
    if (this.status !== 200) return new Response("{}", { status: this.status });
    const role = this.keys?.[new Headers(init?.headers).get("Authorization")?.slice("Bearer ".length) ?? ""];
    if (this.keys && !role) return new Response("{}", { status: 401 });
    if (role === "reader" && init?.method === "POST") return new Response("{}", { status: 403 });
    const newest = this.changes.length;
    if (init?.method !== "POST") {
      const query = new URL(path, "http://x").searchParams;
      const after = Number(query.get("after"));
      const changes = this.changes.slice(after, after + Math.min(3, Number(query.get("limit"))));
      return Response.json({ changes, cursor: after + changes.length, newest, era: this.era, now_ms: this.now });
    }
    if (this.full) return new Response("{}", { status: 507 });
    const { entries } = JSON.parse(String(init.body)) as { entries: Entry[] };
    const outcomes = entries.map((entry) => {
      const here = this.changes.find((change) => change.entry.id === entry.id);
      const reason = here ? (JSON.stringify(here.entry) === JSON.stringify(entry) ? undefined : "other_body") : this.refuse?.(entry);
      if (reason) return { outcome: "refused", reason, pointer: "", detail: reason };
      if (here) return { outcome: "already" };
      this.changes.push({ cursor: this.changes.length + 1, entry });
      return { outcome: "taken" };
    });
    return Response.json({ outcomes, cursor: this.changes.length, era: this.era, now_ms: this.now, clock: { wall: this.now, counter: 0 } });
  }
}

test("two phones meet through a server", async () => {
  const server = new Workspace();
  const restore = server.install();
  const one = open(), two = open();
  await one.replace(RIG, { name: "A", towed: { description: "C", curb: { lb: 3000 } } });
  assert.equal(await one.sync(), "done");
  assert.equal(one.standing().waiting, 0);
  assert.equal(await two.sync(), "done");
  await two.write(RIG, [{ path: "/name", value: "B" }]);
  await one.write(RIG, [{ path: "/towed/description", value: "D" }]);
  await two.sync();
  await one.sync();
  await two.sync();
  assert.deepEqual(await one.read(RIG), { name: "B", towed: { description: "D", curb: { lb: 3000 } } });
  assert.deepEqual(await two.read(RIG), await one.read(RIG));
  restore();
});

test("a clock far ahead is put right and every edit arrives in its order", async () => {
  const server = new Workspace();
  server.refuse = (entry) => (entry.at.wall > server.now + 600_000 ? "clock_ahead" : undefined);
  const restore = server.install();
  const store = open(undefined, server.now + 365 * 86_400_000);
  await store.write(RIG, [{ path: "/name", value: "A" }]);
  await store.write(RIG, [{ path: "/name", value: "B" }]);
  await store.write("rig/b", [{ path: "/name", value: "Other" }]);
  assert.equal(await store.sync(), "done");
  assert.equal(store.standing().waiting, 0);
  assert.equal(server.changes.length, 3);
  assert.deepEqual(await store.read(RIG), { name: "B" });
  assert.equal((await store.history(RIG)).length, 2, "the refused entries are gone, written again");
  restore();
});

test("an id that is taken, a server restored, an edit nobody takes: nothing is stuck", async () => {
  const server = new Workspace();
  const restore = server.install();
  const store = open();
  await store.write(RIG, [{ path: "/name", value: "A" }]);
  const [entry] = (JSON.parse(await store.exportAll()) as { entries: Entry[] }).entries;
  assert.ok(entry);
  server.changes.push({ cursor: 1, entry: { ...entry, doc: "rig/elsewhere", value: "X" } });
  // The forged twin is offered before it is pulled.
  server.refuse = (e) => (e.path === "/odd" ? "below_scalar" : undefined);
  await store.write(RIG, [{ path: "/odd", value: 1 }]);
  await store.sync();
  await store.sync();
  assert.equal(store.standing().waiting, 0);
  assert.deepEqual(store.standing().aside.map(({ reason }) => reason), ["below_scalar"]);
  assert.deepEqual(await store.read(RIG), { name: "A", odd: 1 });

  server.era = "second";
  server.changes = [];
  server.refuse = undefined;
  assert.equal(await store.sync(), "done");
  assert.ok(server.changes.some((change) => change.entry.path === "/name" && change.entry.doc === RIG), "offered again");
  restore();
});

test("a key goes with every question and nowhere else, says whether it may write, and is gone once removed", async () => {
  const key = `k1.${"s".repeat(43)}`;
  const server = new Workspace();
  server.keys = { [key]: "editor" };
  const restore = server.install();
  const name = fresh();
  const store = open(name);
  await store.write(RIG, [{ path: "/name", value: "A" }]);
  assert.equal(await store.sync(), "refused");
  assert.equal(await store.setKey(key), "done");
  assert.equal(server.changes.length, 1);
  assert.equal(store.standing().key, "k1");
  assert.ok(store.standing().synced);
  assert.ok(!JSON.stringify([store.standing(), await store.exportAll()]).includes("sss"), "the secret is shown nowhere");
  assert.equal((await store.ask("/v1/entries?after=0&limit=1")).status, 200);

  // After another start it goes on by itself, an edit made meanwhile included.
  const again = open(name);
  await again.write(RIG, [{ path: "/name", value: "B" }]);
  await again.begin();
  assert.equal(again.standing().sync, "done");
  assert.equal(server.changes.length, 2);

  // A reader is told so before it has anything to offer, and offers nothing that is lost.
  server.keys = { [key]: "reader" };
  assert.equal(await again.sync(), "reading");
  await again.write(RIG, [{ path: "/name", value: "C" }]);
  assert.equal(await again.sync(), "reading");
  assert.equal(again.standing().waiting, 1);
  server.keys = {};
  assert.equal(await again.sync(), "refused");
  assert.equal(await again.setKey(undefined), "refused");
  assert.equal(again.standing().key, undefined);
  assert.equal((await again.ask("/v1/entries?after=0&limit=1")).status, 401);
  assert.deepEqual(await again.read(RIG), { name: "C" });
  restore();
});

test("another workspace's key offers it everything and misses nothing of it", async () => {
  const [ours, theirs] = [`k1.${"s".repeat(43)}`, `k2.${"s".repeat(43)}`];
  const one = new Workspace(), two = new Workspace();
  [one.keys, two.keys, two.era] = [{ [ours]: "editor" }, { [theirs]: "editor" }, "another"];
  let restore = one.install();
  const store = open();
  await store.write(RIG, [{ path: "/name", value: "A" }]);
  await store.setKey(ours);
  restore();
  restore = two.install();
  two.changes.push({ cursor: 1, entry: { ...one.changes[0]!.entry, id: uuid7(), doc: "rig/b" } });
  assert.equal(await store.setKey(theirs), "done");
  assert.equal(two.changes.length, 2);
  assert.deepEqual((await store.documents("rig")).map(({ doc }) => doc), [RIG, "rig/b"]);
  restore();
});

test("a server with a full disk takes nothing and loses nothing: it is said, and what waits goes once there is room", async () => {
  const server = new Workspace();
  const restore = server.install();
  const [store, other] = [open(), open()];
  await other.write("rig/b", [{ path: "/name", value: "From elsewhere" }]);
  await other.sync();
  server.full = true;
  await store.write(RIG, [{ path: "/name", value: "Kept here" }]);
  assert.equal(await store.sync(), "no_room");
  assert.equal(store.standing().waiting, 1);
  assert.equal(store.standing().synced, undefined, "not everything is shared");
  assert.deepEqual(await store.read(RIG), { name: "Kept here" });
  assert.deepEqual(await store.read("rig/b"), { name: "From elsewhere" }, "it still shows what others wrote");
  server.full = false;
  assert.equal(await store.sync(), "done");
  assert.equal(store.standing().waiting, 0);
  await other.sync();
  assert.deepEqual(await other.read(RIG), { name: "Kept here" });
  restore();
});

test("no server, or one without a key, changes nothing here", async () => {
  const server = new Workspace();
  const restore = server.install();
  const store = open();
  for (const [status, state] of [[404, "off"], [401, "refused"], [503, "away"]] as const) {
    server.status = status;
    await store.write(RIG, [{ path: "/name", value: String(status) }]);
    assert.equal(await store.sync(), state);
    assert.deepEqual(await store.read(RIG), { name: String(status) });
  }
  assert.equal(store.standing().waiting, 3);
  server.status = 200;
  assert.equal(await store.sync(), "done");
  assert.equal(store.standing().waiting, 0);
  restore();
});
