// What a browser does to what it keeps: no room, cleared, a screen that goes dark. Scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import * as fs from "node:fs";
import * as os from "node:os";
import * as path from "node:path";
import { chromium } from "playwright-core";
import { begin, doneSteps, RIG, workStation } from "./browser-walk.mjs";
import { eventually, exchanged, inRoom } from "./browser-shared.mjs";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

export function storageScenarios({ serve, open, screenshots }) {
  const picture = (page, name) => page.screenshot({ path: path.join(screenshots, `${name}.png`) });

  /** The device is full: what is not kept is said and stays in its field, what was kept stays kept and can be saved, and it goes on once there is room. */
  async function noRoom() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await exchanged(page);
    await context.setOffline(true);
    await inRoom(page, "Rig");
    await page.getByRole("button", { name: "New rig" }).click();
    const name = page.getByLabel("What you call this rig");
    await name.fill("Kept before");
    await name.blur();
    await page.getByRole("heading", { name: "Kept before", level: 1 }).waitFor();

    const devtools = await context.newCDPSession(page);
    const room = (quotaSize) => devtools.send("Storage.overrideQuotaForOrigin", { origin: server.address, ...(quotaSize !== undefined && { quotaSize }) });
    await room(1);
    const full = page.getByText("There is no room left on this device, so this was not kept.").first();
    // The browser remembers for a while that there was room: edits go on until it asks again.
    let [kept, typed] = ["Kept before", ""];
    for (let edit = 0; typed === "" || (await full.count()) === 0; edit++) {
      assert.ok(edit < 120, "it never filled up");
      if (typed !== "") kept = typed;
      typed = `No room ${edit}`;
      await name.fill(typed);
      await name.blur();
      await full.or(page.getByRole("heading", { name: typed, level: 1, exact: true })).first().waitFor();
      await page.waitForTimeout(500);
    }
    assert.equal(await name.inputValue(), typed, "what was typed stays in its field");
    await picture(page, "no-room-360");
    const file = await saved(page);
    assert.ok(file.includes(`"${kept}"`) && !file.includes(`"${typed}"`), "what was kept can be saved as a file, and nothing else is in it");

    // Room again: the same field is kept, and everything is there after a new start.
    await room();
    await inRoom(page, "Rig");
    await page.getByRole("link", { name: kept }).click();
    await name.fill("Kept after");
    await name.blur();
    await page.getByRole("heading", { name: "Kept after", level: 1 }).waitFor();
    await page.reload();
    await page.getByRole("heading", { name: "Kept after", level: 1 }).waitFor();
    done();
  }

  /** The browser cleared everything between two visits: it is said, what the server has comes back by itself, and the rest from a saved copy. */
  async function evicted() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await exchanged(page);
    await context.setOffline(true);
    await inRoom(page, "Rig");
    await page.getByRole("button", { name: "New rig" }).click();
    await page.getByLabel("What you call this rig").fill("On this phone alone");
    await page.getByLabel("What you call this rig").blur();
    await page.getByRole("heading", { name: "On this phone alone", level: 1 }).waitFor();
    const copy = await saved(page);

    // As the browser does it: the database goes, and the app is not asked.
    await page.goto("about:blank");
    const devtools = await context.newCDPSession(page);
    await devtools.send("Storage.clearDataForOrigin", { origin: server.address, storageTypes: "indexeddb" });
    await context.setOffline(false); // only now: the page that was left would send its edits at once
    await page.goto(server.address);
    await page.getByText("This browser has cleared what was kept here").waitFor();
    await picture(page, "evicted-360");
    await page.getByRole("radio", { name: RIG }).waitFor(); // what the server has
    assert.equal(await page.getByRole("radio", { name: "On this phone alone" }).count(), 0);
    await inRoom(page, "More");
    await page.getByLabel("A saved copy").setInputFiles({ name: "copy.json", mimeType: "application/json", buffer: Buffer.from(copy) });
    await page.getByText(/Brought in: \d+ edits/).waitFor();
    await inRoom(page, "Departure");
    await page.getByRole("radio", { name: "On this phone alone" }).waitFor();
    done();
  }

  /** The screen stays on while a list is worked through, is asked for again on return, and let go when it is left or finished. */
  async function wakeLock() {
    const server = await serve();
    // The browser's own lock where it grants one; what is asked of it is watched either way.
    const { page, done } = await open(server, {
      before: () => {
        globalThis.locks = { asked: 0, held: new Set() };
        const own = navigator.wakeLock.request.bind(navigator.wakeLock);
        navigator.wakeLock.request = async (kind) => {
          globalThis.locks.asked++;
          const lock = await own(kind);
          globalThis.locks.held.add(lock);
          lock.addEventListener("release", () => globalThis.locks.held.delete(lock));
          return lock;
        };
      },
    });
    const locks = () => page.evaluate(() => ({ asked: globalThis.locks.asked, held: globalThis.locks.held.size }));
    await exchanged(page);
    await page.getByRole("radio", { name: RIG }).check();
    assert.deepEqual(await locks(), { asked: 0, held: 0 }, "no list, no lock");
    await begin(page, "Hook-up");
    await eventually(async () => (await locks()).asked === 1, "the screen is kept on");
    const granted = (await locks()).held;
    await workStation(page);
    assert.equal(await doneSteps(page), 1);
    assert.deepEqual(await locks(), { asked: 1, held: granted }, "one lock for the whole list");
    await page.getByRole("link", { name: "All lists" }).click();
    await page.getByRole("heading", { name: "Begin a list" }).waitFor();
    await eventually(async () => (await locks()).held === 0, "it is let go with the list");
    await page.locator('a[href^="#walk/"]', { hasText: "begun" }).click();
    await page.locator(".station").waitFor();
    await eventually(async () => (await locks()).asked === 2, "and asked for again");
    await page.getByText("Close the list unfinished").click();
    await page.getByRole("button", { name: "Close it unfinished" }).click();
    await page.getByText("Closed with steps open").waitFor();
    await eventually(async () => (await locks()).held === 0, "a record needs no lit screen");
    assert.equal((await locks()).asked, 2);
    done();
  }

  /** A page that another tab hides loses its lock, and has exactly one again when it is seen again, however often it comes and goes. */
  async function wakeLockHidden() {
    const server = await serve();
    // The driver's own pages count as seen whatever covers them; a browser it only visits hides them as always.
    const profile = fs.mkdtempSync(path.join(os.tmpdir(), "pintail-hidden-"));
    const child = spawn(CHROMIUM, ["--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--remote-debugging-port=0", `--user-data-dir=${profile}`, "about:blank"], { stdio: ["ignore", "ignore", "pipe"] });
    const ended = new Promise((resolve) => child.once("exit", resolve));
    try {
      const address = await new Promise((resolve, reject) => {
        let said = "";
        child.stderr.on("data", (chunk) => {
          said += chunk;
          const found = /ws:\/\/\S+/.exec(said);
          if (found) resolve(found[0]);
        });
        child.once("exit", () => reject(new Error(`the browser ended: ${said}`)));
      });
      const browser = await chromium.connectOverCDP(address, { noDefaults: true });
      const [context] = browser.contexts();
      const page = context.pages()[0] ?? (await context.newPage());
      await page.addInitScript(() => {
        globalThis.locks = { asked: 0, held: new Set() };
        // Slow to grant, so that a page may come and go before it is answered.
        navigator.wakeLock.request = async () => {
          globalThis.locks.asked++;
          await new Promise((resolve) => setTimeout(resolve, 50));
          if (document.visibilityState !== "visible") throw new DOMException("hidden", "NotAllowedError");
          const lock = new EventTarget();
          const release = async () => {
            lock.released = true;
            globalThis.locks.held.delete(lock);
          };
          Object.assign(lock, { released: false, release });
          globalThis.locks.held.add(lock);
          document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && void release());
          return lock;
        };
      });
      await page.goto(server.address);
      const locks = () => page.evaluate(() => ({ asked: globalThis.locks.asked, held: globalThis.locks.held.size }));
      await exchanged(page);
      await page.getByRole("radio", { name: RIG }).check();
      await begin(page, "Hook-up");
      await eventually(async () => (await locks()).held === 1, "the screen is kept on");
      const other = await context.newPage();
      await other.bringToFront();
      await page.waitForFunction(() => document.visibilityState === "hidden", undefined, { polling: 100 });
      assert.deepEqual(await locks(), { asked: 1, held: 0 }, "hidden, no lock");
      await page.bringToFront();
      await eventually(async () => (await locks()).held === 1, "seen again, held again");
      assert.equal((await locks()).asked, 2);
      // The browser tells of a return more than once, and before the lock is granted: there is one lock all the same.
      await other.bringToFront();
      await page.waitForFunction(() => document.visibilityState === "hidden", undefined, { polling: 100 });
      await page.bringToFront();
      await page.evaluate(() => [1, 2, 3].forEach(() => document.dispatchEvent(new Event("visibilitychange"))));
      await eventually(async () => (await locks()).held === 1, "one lock");
      await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
      await page.waitForTimeout(300);
      assert.deepEqual(await locks(), { asked: 3, held: 1 }, "and no second");
      await page.getByRole("link", { name: "All lists" }).click();
      await eventually(async () => (await locks()).held === 0, "let go with the list");
      await browser.close();
    } finally {
      child.kill();
      await ended;
      fs.rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    }
  }

  return { noRoom, evicted, wakeLock, wakeLockHidden };
}

/** Everything this device keeps, as the file it saves. */
async function saved(page) {
  await inRoom(page, "More");
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save a copy of everything" }).click()]);
  return fs.readFileSync(await download.path(), "utf8");
}
