// What phones that share one server do to each other: scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import * as path from "node:path";
import { begin, doneSteps, RIG, workList, workStation } from "./browser-walk.mjs";

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

  /** Two phones on one list: ticks meet, disagreement is not done, and each is asked about its own absence only. */
  async function twoPhones() {
    const server = await serve();
    const a = await open(server);
    const b = await open(server);
    await exchanged(a.page);
    await exchanged(b.page);
    await a.page.getByRole("radio", { name: RIG }).check();
    await begin(a.page, "Hook-up");
    await a.page.getByText("Phones on this list").click();
    await a.page.getByLabel("What others see for this phone").fill("Ann");
    await a.page.getByLabel("What others see for this phone").blur();

    // The ticks of one phone reach the other, which works on the same list.
    await workStation(a.page);
    await reaches(a.page, b.page);
    await inRoom(b.page, "Walk-round");
    await b.page.locator('a[href^="#walk/"]', { hasText: "begun" }).click();
    await b.page.locator(".station").waitFor();
    await doneStepsAre(b.page, 1);
    await b.page.locator(".go-on-here, .stand:not(.stand-done)").first().waitFor();
    await workStation(b.page);
    await doneStepsAre(b.page, 2);
    await doneStepsAre(a.page, 2);
    await goTo(a.page, "motorhome_held");
    const onA = a.page.locator('[data-step="motorhome_held"]');
    assert.match(await onA.locator(".who").innerText(), /^Done: another phone \d\d:\d\d\.$/);
    await goTo(b.page, "ground");
    assert.match(await b.page.locator('[data-step="ground"] .who').innerText(), /^Done: Ann \d\d:\d\d\.$/);

    // One says done, the other not: it is not done on either, and both see who says what.
    await onA.getByRole("button", { name: /^Un-tick/ }).click();
    await goTo(b.page, "motorhome_held");
    const onB = b.page.locator('[data-step="motorhome_held"]');
    for (const [on, says] of [[onA, /Done: another phone .* Not done: this phone/], [onB, /Done: this phone .* Not done: Ann/]]) {
      await on.and(on.page().locator('[data-state="disagree"]')).waitFor();
      assert.match(await on.locator(".who").innerText(), says);
      assert.match(await on.innerText(), /It counts as not done/);
      await doneStepsAre(on.page(), 1);
    }
    await picture(b.page, "two-phones-disagree-360");
    await assertAccess(b.page, "disagree");
    await assertNarrow(b.page);
    // The phone that said no does not come back: the other looks again, and answers that word, named and dated on both.
    await onB.getByRole("button", { name: /^I looked again/ }).click();
    await doneStepsAre(b.page, 2);
    assert.match(await onB.locator(".who").innerText(), /Not done: Ann \d\d:\d\d\. The word of Ann is answered by this phone, \d\d:\d\d\.$/);
    await doneStepsAre(a.page, 2);
    await onA.and(a.page.locator('[data-state="done"]')).waitFor();
    assert.match(await onA.locator(".who").innerText(), /The word of this phone is answered by another phone/);
    await picture(a.page, "two-phones-settled-360");
    await assertAccess(a.page, "settled");
    // It comes back and says no again: that is a new word, and the step is not done.
    await onA.getByRole("button", { name: /^Un-tick/ }).click();
    await onB.and(b.page.locator('[data-state="disagree"]')).waitFor();
    await doneStepsAre(b.page, 1);
    await onA.and(a.page.locator('[data-state="disagree"]')).waitFor();
    await onA.getByRole("button", { name: /^Done/ }).click();
    await doneStepsAre(a.page, 2);
    await doneStepsAre(b.page, 2);
    await workList(a.page, { until: 5 });
    const done = await doneSteps(a.page);
    await doneStepsAre(b.page, done);

    // One phone leaves and comes back: only it is asked, and the other works on.
    await b.page.getByRole("button", { name: "I am leaving the rig" }).click();
    await b.page.getByRole("heading", { name: /^Away since/ }).waitFor();
    await workOn(a.page);
    await doneStepsAre(a.page, done + 1);
    await reaches(a.page, b.page);
    assert.equal(await a.page.locator(".break").count(), 0, "the other phone is not disturbed");
    await b.page.getByRole("button", { name: "I am back" }).click();
    await doneStepsAre(b.page, done + 1);
    await b.page.locator(".station").waitFor(); // the other one went on meanwhile, so nothing is asked

    // Nobody went on: the phone that was away is asked, the other is not.
    await awayFor(b.page, 10);
    await b.page.getByRole("heading", { name: "Did you leave it?" }).waitFor();
    await reaches(b.page, a.page);
    assert.equal(await a.page.locator(".break").count(), 0, "nobody is asked about another phone's absence");
    await b.page.getByRole("button", { name: "No, one of us stood by it" }).click();
    await doneStepsAre(b.page, done + 1);
    await reaches(b.page, a.page);
    await doneStepsAre(a.page, done + 1);

    // Left: what holds is touched again, by whichever phone, and both go on.
    await b.page.getByRole("button", { name: "I am leaving the rig" }).click();
    await b.page.getByRole("button", { name: "I am back" }).click();
    await b.page.getByRole("button", { name: "Yes, or not sure" }).click();
    for (const { page } of [a, b]) {
      await page.getByRole("heading", { name: /^Put a hand on what holds/ }).waitFor();
    }
    const holding = await a.page.locator(".break [data-step]").count();
    for (let left = holding; left > 0; left--) {
      const page = left % 2 === 0 ? a.page : b.page;
      await page.locator(".break .count", { hasText: new RegExp(`^${left}$`) }).waitFor();
      await page.locator(".break .stand button").first().click();
    }
    await doneStepsAre(a.page, done + 1);
    await doneStepsAre(b.page, done + 1);
    a.done();
    b.done();
  }

  return { removal, twoPhones };
}

/** Waits until so many steps stand as done, on a page that hears of the other phone by itself. */
async function doneStepsAre(page, wanted) {
  await page.locator(".walk-progress strong", { hasText: new RegExp(`^${wanted}$`) }).waitFor();
}

/** Leads through the places to a step that is done or open. */
async function goTo(page, step) {
  while (await page.getByRole("button", { name: "Place before" }).isEnabled()) {
    await page.getByRole("button", { name: "Place before" }).click();
  }
  while ((await page.locator(`[data-step="${step}"]`).count()) === 0) {
    await page.getByRole("button", { name: "Place after" }).click();
  }
}

/** Ticks one more step, wherever the next one is. */
async function workOn(page) {
  await workList(page, { until: (await doneSteps(page)) + 1 });
}

/** Waits until what one page has written is on the server, and on the other page. */
async function reaches(from, to) {
  for (const page of [from, to]) {
    const waiting = () => page.evaluate(outbox);
    await eventually(async () => (await waiting()) === 0, "everything is exchanged");
  }
  const newest = (page) => page.evaluate(cursor);
  await eventually(async () => (await newest(to)) >= (await newest(from)), "the other phone has it");
}

/** Puts this phone aside for some minutes, as far as it can tell. */
async function awayFor(page, minutes) {
  await page.evaluate((gone) => {
    const seen = JSON.parse(localStorage.getItem("walk-seen"));
    addEventListener("pagehide", () => localStorage.setItem("walk-seen", JSON.stringify({ ...seen, at: Date.now() - gone })));
  }, minutes * 60_000);
  await page.reload();
}

/** Waits until this phone and the server have met, and nothing waits. */
export async function exchanged(page) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
  await page.getByRole("radio", { name: RIG }).waitFor();
  await eventually(async () => (await page.evaluate(cursor)) > 0 && (await page.evaluate(outbox)) === 0, "this phone and the server have met");
}

/** Waits until nothing on this phone waits for the server. */
export async function sent(page) {
  await eventually(async () => (await page.evaluate(outbox)) === 0, "nothing waits");
}

/** How many edits wait; runs in the page. */
function outbox() {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open("pintail");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const asking = opening.result.transaction("outbox").objectStore("outbox").count();
      asking.onsuccess = () => {
        opening.result.close();
        resolve(asking.result);
      };
    };
  });
}

/** Up to where the server's changes are here; runs in the page. */
function cursor() {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open("pintail");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const asking = opening.result.transaction("settings").objectStore("settings").get("cursor");
      asking.onsuccess = () => {
        opening.result.close();
        resolve(asking.result ?? 0);
      };
    };
  });
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
