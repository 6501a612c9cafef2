// Photos and the records they belong to: scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import * as fs from "node:fs";
import * as path from "node:path";
import { begin, photoWithAPlace, RIG, workStation } from "./browser-walk.mjs";
import { eventually, exchanged, inRoom } from "./browser-shared.mjs";

const WEEK = 7 * 86_400_000;

export function photoScenarios({ serve, open, assertAccess, assertNarrow, screenshots }) {
  const picture = (page, name) => page.screenshot({ path: path.join(screenshots, `${name}.png`) });

  /** A record is removed and brought back with its photo; what is removed for good takes its photo a week later. The photo goes along in a copy only where that is asked. */
  async function recordPhotos() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await exchanged(page);
    await page.getByRole("radio", { name: RIG }).check();
    await context.setOffline(true);
    await begin(page, "Hook-up");
    await photoAtAStep(page);
    await page.getByText("Close the list unfinished").click();
    await page.getByRole("button", { name: "Close it unfinished" }).click();
    await page.getByText("Closed with steps open").waitFor();

    // The photo opens in its own size, and closes by key; the focus is where it was.
    const small = page.getByRole("button", { name: /^Open: Photo at the step: Switch the brake unit on/ });
    await small.click();
    const large = page.getByRole("dialog", { name: /^Photo at the step: Switch the brake unit on/ });
    await large.waitFor();
    await large.locator("canvas").and(page.locator('[width="1280"]')).waitFor();
    await assertAccess(page, "large photo");
    await picture(page, "photo-large-360");
    await page.keyboard.press("Escape");
    await large.waitFor({ state: "detached" });
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("aria-label")),  await small.getAttribute("aria-label"));

    // Without asking the copy has no photo in it; asked, it has, and no camera's data.
    await inRoom(page, "More");
    await page.getByText("With the photos of this phone (2, ").waitFor();
    assert.equal(JSON.parse(await saved(page)).photos, undefined);
    await page.getByLabel(/^With the photos/).check();
    const copy = await saved(page);
    assert.equal(JSON.parse(copy).photos.length, 2);
    assert.ok(!Buffer.from(JSON.parse(copy).photos[0].jpeg, "base64").toString("latin1").includes("GPS"));

    // On another phone the copy brings record and photo; a second time it brings nothing.
    const other = await open(server);
    await exchanged(other.page);
    await inRoom(other.page, "More");
    for (const words of [/Brought in: .* Photos brought in: 2\./, /Everything in this file was here already/]) {
      await other.page.getByLabel("A saved copy").setInputFiles({ name: "copy.json", mimeType: "application/json", buffer: Buffer.from(copy) });
      await other.page.getByText(words).waitFor();
    }
    await other.page.getByRole("heading", { name: "Photos on this phone" }).waitFor();
    await assertNarrow(other.page);
    await other.page.getByLabel("Clear photos").selectOption({ label: "Older than 30 days" });
    await other.page.getByText("No photo of a finished list is among them").waitFor();
    await other.page.getByLabel("Clear photos").selectOption({ label: "All of finished lists" });
    await other.page.getByText(/^Photos that go: 2, .* The records stay/).waitFor();
    await assertAccess(other.page, "photos");
    await other.page.getByRole("button", { name: "Clear them for good (2)" }).scrollIntoViewIfNeeded();
    await picture(other.page, "photos-clear-360");
    await other.page.getByRole("button", { name: "Clear them for good (2)" }).click();
    await other.page.getByText("Photos cleared: 2. The records stay.").waitFor();
    await inRoom(other.page, "Walk-round");
    await other.page.locator('a[href^="#walk/"]').first().click();
    await other.page.getByText(/^The photo was cleared from this phone: \d\d:\d\d\.$/).first().waitFor();
    other.done();

    // Only this phone has the record: it goes at once, undo brings it and its photo back.
    await inRoom(page, "Walk-round");
    const record = page.getByRole("button", { name: /^Remove Hook-up, Ostrevan and Kibbit, \d\d:\d\d$/ });
    await record.click();
    await page.getByText(/is removed\.$/).waitFor();
    await assertAccess(page, "record removed");
    await assertNarrow(page);
    await picture(page, "record-removed-360");
    await page.getByRole("button", { name: "Undo" }).click();
    await record.waitFor();
    await record.click();
    await page.getByText(/is removed\.$/).waitFor();
    const start = await page.evaluate(() => Date.now());
    for (const [after, left] of [[0, 2], [WEEK - 60_000, 2], [WEEK + 60_000, 0]]) {
      await page.clock.setFixedTime(start + after);
      await page.reload();
      await page.locator(".state", { hasText: "Ready offline" }).waitFor();
      await eventually(async () => {
        const { here, loose } = await page.evaluate(photosHere);
        return here === left && loose === left;
      }, `${left} photos after ${after} ms`);
    }
    done();
  }

  /** A record the others have goes from this phone or everywhere; and a rig that was unhooked stays so when the record of it goes. */
  async function recordRemoval() {
    const server = await serve();
    const { page, done } = await open(server);
    await exchanged(page);
    await page.getByRole("radio", { name: RIG }).check();
    await page.locator(".hooked:visible", { hasText: "that no longer holds" }).waitFor();
    await inRoom(page, "Walk-round");
    const unhook = page.getByRole("button", { name: /^Remove Unhook, Ostrevan and Kibbit/ });
    await unhook.click();
    await page.getByRole("heading", { name: /^Remove Unhook, Ostrevan and Kibbit.* from where\?$/ }).waitFor();
    await assertAccess(page, "record removal");
    await picture(page, "record-removal-360");
    await page.getByRole("button", { name: /^From this phone only/ }).click();
    await page.getByRole("heading", { name: "Off this phone" }).waitFor();
    await unhook.waitFor({ state: "detached" });
    await page.locator(".hooked:visible", { hasText: "that no longer holds" }).waitFor();
    await page.getByRole("button", { name: /^Show Unhook, .* again$/ }).click();
    await unhook.click();
    await page.getByRole("button", { name: /^Everywhere/ }).click();
    await unhook.waitFor({ state: "detached" });
    await page.reload();
    await page.locator(".hooked:visible", { hasText: "that no longer holds" }).waitFor();
    assert.equal(await page.locator('.hooked[data-holds="true"]').count(), 0, "an unhooked rig is not hooked up because a record went");
    done();
  }

  /** The manual's page: chosen in the rig, shown small and large, there after a start, and gone when removed. */
  async function pagePhoto() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await exchanged(page);
    await context.setOffline(true);
    const buffer = await photoWithAPlace(page);
    await inRoom(page, "Rig");
    await page.getByRole("link", { name: RIG }).click();
    const section = page.locator("#section-permission");
    await section.getByRole("button", { name: "Take or choose a photo of the page" }).waitFor();
    await section.locator('input[type="file"]').setInputFiles({ name: "page.jpg", mimeType: "image/jpeg", buffer });
    const small = section.getByRole("button", { name: /^Open: Page 1, \d+ \w+ \d{4}$/ });
    await small.waitFor();
    await page.reload();
    await small.waitFor();
    await small.scrollIntoViewIfNeeded();
    await picture(page, "page-photo-360");
    await assertAccess(page, "page photo");
    await assertNarrow(page);
    await small.click();
    await page.getByRole("dialog").locator('canvas[width="2000"]').waitFor();
    await page.getByRole("button", { name: "Close the photo" }).click();
    await page.getByRole("dialog").waitFor({ state: "detached" });
    await section.locator('input[type="file"]').setInputFiles({ name: "page.jpg", mimeType: "image/jpeg", buffer: Buffer.from("no picture") });
    await section.getByText("This picture cannot be read here. Write down where in the manual it stands.").waitFor();
    await section.getByRole("button", { name: /^Remove Page 1/ }).click();
    await small.waitFor({ state: "detached" });
    await page.getByRole("button", { name: "Undo" }).click();
    await small.waitFor();
    await inRoom(page, "More");
    await page.getByRole("heading", { name: "Photos on this phone" }).waitFor();
    await page.getByLabel("Clear photos").selectOption({ label: "All of finished lists" });
    await page.getByText("nothing would go").waitFor(); // a page of a manual is no old photo
    done();
  }

  return { recordPhotos, recordRemoval, pagePhoto };
}

/** Works on until a step has its photo. */
async function photoAtAStep(page) {
  const photo = await photoWithAPlace(page);
  for (;;) {
    await page.locator(".station").waitFor();
    await workStation(page, { photo });
    if ((await page.locator(".photo-button").count()) > 0) return;
    await page.locator(".go-on-here").click();
    await page.locator(".stand:not(.stand-done)").first().waitFor();
  }
}

async function saved(page) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save a copy of everything" }).click()]);
  return fs.readFileSync(await download.path(), "utf8");
}

/** How many pictures are kept, and of how many no document speaks; runs in the page. */
function photosHere() {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open("pintail-photos");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const asking = opening.result.transaction("photos").objectStore("photos").getAll();
      asking.onsuccess = () => {
        opening.result.close();
        const here = asking.result.filter(({ picture }) => picture);
        resolve({ here: here.length, loose: here.filter(({ loose }) => loose !== undefined).length });
      };
    };
  });
}
