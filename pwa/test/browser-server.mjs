// The exchange with a server that has keys: scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import * as fs from "node:fs";
import * as os from "node:os";
import * as path from "node:path";
import { sent } from "./browser-shared.mjs";

export function serverScenarios({ program, serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  /** Two phones meet through a keyed server; a reader reads; a revoked key is said; no secret is left anywhere. */
  async function keyed() {
    const folder = fs.mkdtempSync(path.join(os.tmpdir(), "pintail-keyed-"));
    const data = path.join(folder, "kept.db");
    const key = (...args) => execFileSync(program, ["key", ...args, "--data", data], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] }).trim();
    const [editor, reader] = [key("add", "--role", "editor"), key("add", "--role", "reader")];
    const server = await serve(["--data", data]);
    const phone = () => open(server, { size: { ...PHONE, viewport: { width: 320, height: 740 } }, expected: /Failed to load resource: the server responded with a status of (40[13]|507)/ });

    const one = await phone();
    await more(one.page);
    await said(one.page, "refused", /wants a key/);
    await assertAccess(one.page, "key wanted");
    await assertNarrow(one.page);
    await enter(one.page, "not a key");
    await one.page.getByText("This is not a whole key").waitFor();
    await one.page.getByLabel("Address of the server").fill("shop.example.com");
    await enter(one.page, editor);
    await one.page.getByText("This app exchanges only with").waitFor();
    assert.equal(await one.page.getByRole("link", { name: "Open shop.example.com" }).getAttribute("href"), "https://shop.example.com/#more");
    await one.page.getByLabel("Address of the server").fill(server.address);
    await enter(one.page, `${editor.slice(0, -1)}${editor.endsWith("A") ? "B" : "A"}`);
    await said(one.page, "refused", /refused this key/);
    await one.page.getByRole("button", { name: "Remove the key" }).click();
    await enter(one.page, editor);
    await said(one.page, "done", /everything is shared/);
    await assertAccess(one.page, "key kept");
    await assertNarrow(one.page);
    await one.page.screenshot({ path: path.join(screenshots, "server-320.png"), fullPage: true });

    // What is typed on one phone comes to the other, both ways, by itself; after another start too.
    await nameRig(one.page, "Shared pair");
    const two = await phone();
    await more(two.page);
    await enter(two.page, editor);
    await said(two.page, "done", /everything is shared/);
    await openRig(two.page, "Shared pair");
    await two.page.reload();
    await two.page.getByLabel("What you call this rig").fill("Renamed by two");
    await two.page.getByLabel("What you call this rig").blur();
    await two.page.getByRole("heading", { name: "Renamed by two", level: 1 }).waitFor();
    await sent(two.page);
    await one.page.reload(); // as after being put aside
    await one.page.getByRole("heading", { name: "Renamed by two", level: 1 }).waitFor();

    // With no signal the edit waits, and goes when the signal is back.
    await one.context.setOffline(true);
    await one.page.getByLabel("What you call this rig").fill("Named in the woods");
    await one.page.getByLabel("What you call this rig").blur();
    await more(one.page);
    await waiting(one.page, "1");
    await said(one.page, "away", /waits here and goes by itself/);
    // A server whose disk is full is not one that is away: it is said, and nothing is lost.
    await one.context.route("**/v1/entries", (route) => (route.request().method() === "POST" ? route.fulfill({ status: 507, json: {} }) : route.continue()));
    await one.context.setOffline(false);
    await said(one.page, "no_room", /disk is full.*Nothing is lost/);
    await waiting(one.page, "1");
    await assertAccess(one.page, "server full");
    await one.context.unroute("**/v1/entries");
    await one.page.getByRole("button", { name: "Ask now" }).click();
    await said(one.page, "done", /everything is shared/);
    await waiting(one.page, "0");

    const three = await phone();
    await more(three.page);
    await enter(three.page, reader);
    await said(three.page, "reading", /may only read/);
    await openRig(three.page, "Named in the woods");
    await three.page.getByLabel("What you call this rig").fill("A reader's own idea");
    await three.page.getByLabel("What you call this rig").blur();
    await more(three.page);
    await waiting(three.page, "1");

    await assertNoSecret(one.page, editor);
    key("revoke", editor.split(".")[0]);
    await one.page.getByRole("button", { name: "Ask now" }).click();
    await said(one.page, "refused", /refused this key/);
    await one.page.getByRole("button", { name: "Remove the key" }).click();
    await said(one.page, "refused", /wants a key/);
    await assertNoSecret(one.page, editor, { kept: false });
    await openRig(one.page, "Named in the woods");
    for (const { done } of [one, two, three]) done();
    server.process.kill();
    await server.ended;
    fs.rmSync(folder, { recursive: true });
  }

  return { keyed };
}

async function more(page) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
  await page.getByRole("navigation", { name: "Rooms" }).getByRole("link", { name: "More" }).click();
  await page.getByRole("heading", { name: "Server" }).waitFor();
}

async function enter(page, key) {
  await page.getByLabel("Key", { exact: true }).fill(key);
  await page.getByRole("button", { name: "Keep the key and exchange" }).click();
}

async function said(page, state, words) {
  await page.locator(`[data-sync="${state}"]`, { hasText: words }).waitFor();
}

async function waiting(page, count) {
  await page.locator(".versions div", { hasText: "Edits no server has yet" }).locator("dd", { hasText: new RegExp(`^${count}$`) }).waitFor();
}

async function rigs(page) {
  await page.getByRole("navigation", { name: "Rooms" }).getByRole("link", { name: "Rig", exact: true }).click();
  await page.getByRole("heading", { name: "Rigs", level: 1 }).waitFor();
}

async function nameRig(page, name) {
  await rigs(page);
  await page.getByRole("button", { name: "New rig" }).click();
  await page.getByLabel("What you call this rig").fill(name);
  await page.getByLabel("What you call this rig").blur();
  await page.getByRole("heading", { name, level: 1 }).waitFor();
  await sent(page);
}

async function openRig(page, name) {
  await rigs(page);
  await page.getByRole("link", { name }).click();
  await page.getByRole("heading", { name, level: 1 }).waitFor();
}

/** The secret stands nowhere but in the store's settings: not on the page, in an export, in an address, in other storage or caches. */
async function assertNoSecret(page, key, { kept = true } = {}) {
  const secret = key.split(".")[1];
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save a copy of everything" }).click()]);
  assert.ok(!fs.readFileSync(await download.path(), "utf8").includes(secret), "not in an export");
  const found = await page.evaluate(async (secret) => {
    const places = { page: document.documentElement.outerHTML, address: location.href, local: JSON.stringify(localStorage), session: JSON.stringify(sessionStorage) };
    for (const name of await caches.keys()) {
      const cache = await caches.open(name);
      for (const request of await cache.keys()) places.caches += request.url + JSON.stringify([...request.headers]);
    }
    const db = await new Promise((resolve, reject) => {
      const opening = indexedDB.open("pintail");
      opening.onsuccess = () => resolve(opening.result);
      opening.onerror = () => reject(opening.error);
    });
    for (const store of db.objectStoreNames) {
      places[`store ${store}`] = JSON.stringify(await new Promise((resolve) => {
        const asking = db.transaction(store).objectStore(store).getAll();
        asking.onsuccess = () => resolve(asking.result);
      }));
    }
    db.close();
    return Object.entries(places).filter(([, text]) => text.includes(secret)).map(([place]) => place);
  }, secret);
  assert.deepEqual(found, kept ? ["store settings"] : []);
}
