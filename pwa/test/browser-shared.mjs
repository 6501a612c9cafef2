// What phones that share one server do to each other: scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import * as path from "node:path";
import { RIG } from "./browser-walk.mjs";

export function sharedScenarios({ serve, open, assertAccess, assertNarrow, screenshots }) {
  const picture = (page, name) => page.screenshot({ path: path.join(screenshots, `${name}.png`) });

  /** Removing a rig asks from where; off this phone is undone and shown again here, everywhere is undone for all. */
  async function removal() {
    const server = await serve();
    const { page, done } = await open(server);
    const other = await open(server);
    await exchanged(page);
    await exchanged(other.page);

    await inRoom(page, "Rig");
    await page.getByRole("button", { name: `Remove ${RIG}` }).click();
    await page.getByRole("heading", { name: `Remove ${RIG} from where?` }).waitFor();
    await assertAccess(page, "removal");
    await assertNarrow(page);
    await picture(page, "removal-360");
    await page.getByRole("button", { name: "Keep it", exact: true }).click();
    await page.getByRole("heading", { name: /from where/ }).waitFor({ state: "detached" });
    await page.getByRole("link", { name: RIG }).waitFor();

    // Off this phone: gone here, there for others, through a new start, and shown again.
    await page.getByRole("button", { name: `Remove ${RIG}` }).click();
    await page.getByRole("button", { name: /^From this phone only/ }).click();
    await page.getByText(`${RIG} is off this phone. The server and other phones still have it.`).waitFor();
    await page.getByRole("link", { name: RIG }).waitFor({ state: "detached" });
    await page.reload();
    await page.getByRole("heading", { name: "Off this phone" }).waitFor();
    assert.equal(await page.getByRole("link", { name: RIG }).count(), 0);
    assert.ok((await rigsOf(server)).includes(RIG), "the server still has it");
    await inRoom(page, "Departure");
    await page.getByRole("radio").first().waitFor();
    assert.equal(await page.getByRole("radio", { name: RIG }).count(), 0, "nor is it offered on Departure");
    await inRoom(page, "Rig");
    await page.getByRole("button", { name: `Show ${RIG} again` }).click();
    await page.getByRole("link", { name: RIG }).waitFor();

    // Everywhere, from Departure: gone on the server and on the other phone, and back by undo.
    await inRoom(page, "Departure");
    await page.getByRole("button", { name: `Remove ${RIG}` }).click();
    await page.getByRole("button", { name: /^Everywhere/ }).click();
    await page.getByText(new RegExp(`^${RIG} is removed `)).waitFor();
    await page.getByRole("radio", { name: RIG }).waitFor({ state: "detached" });
    await eventually(async () => !(await rigsOf(server)).includes(RIG), "the server has removed it");
    await other.page.reload();
    await other.page.getByRole("radio", { name: RIG }).waitFor({ state: "detached" });
    await page.getByRole("button", { name: "Undo" }).click();
    await page.getByRole("radio", { name: RIG }).waitFor();
    await eventually(async () => (await rigsOf(server)).includes(RIG), "undo brings it back on the server");
    await other.page.reload();
    await other.page.getByRole("radio", { name: RIG }).waitFor();

    // What no other has goes at once.
    await inRoom(page, "Rig");
    await page.context().setOffline(true);
    await page.getByRole("button", { name: "New rig" }).click();
    await page.getByLabel("What you call this rig").fill("Mine alone");
    await page.getByLabel("What you call this rig").blur();
    await page.getByRole("heading", { name: "Mine alone", level: 1 }).waitFor();
    await page.getByRole("link", { name: "All rigs" }).click();
    await page.getByRole("button", { name: "Remove Mine alone" }).click();
    await page.getByText("Mine alone is removed.").waitFor();
    await page.getByRole("button", { name: "Undo" }).click();
    await page.getByRole("link", { name: "Mine alone" }).waitFor();
    done();
    other.done();
  }

  return { removal };
}

/** Waits until this phone and the server have met, and nothing waits. */
export async function exchanged(page) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
  await page.getByRole("radio", { name: RIG }).waitFor();
  await page.waitForFunction(async () => {
    const db = await new Promise((resolve, reject) => {
      const opening = indexedDB.open("pintail");
      opening.onsuccess = () => resolve(opening.result);
      opening.onerror = () => reject(opening.error);
    });
    const ask = (store, call) => new Promise((resolve) => {
      const asking = call(db.transaction(store).objectStore(store));
      asking.onsuccess = () => resolve(asking.result);
    });
    const [era, waiting] = [await ask("settings", (store) => store.get("era")), await ask("outbox", (store) => store.count())];
    db.close();
    return era !== undefined && waiting === 0;
  }, undefined, { polling: 200 });
}

export async function inRoom(page, name) {
  await page.getByRole("navigation").getByRole("link", { name, exact: true }).click();
}

/** Asks again and again until it is so; a minute is long enough for a slow machine. */
export async function eventually(is, what) {
  for (const end = Date.now() + 60_000; Date.now() < end; await new Promise((resolve) => setTimeout(resolve, 100))) {
    if (await is()) return;
  }
  assert.fail(`never: ${what}`);
}

async function rigsOf(server) {
  const { rigs } = await (await fetch(`${server.address}/v1/rigs`)).json();
  return rigs.map(({ name }) => name);
}
