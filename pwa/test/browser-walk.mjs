// The walk-round and "Something is wrong" in a real browser: scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import * as path from "node:path";

/** The rig of the demo that may be hooked up. */
export const RIG = "Ostrevan and Kibbit";

/** The scenarios, over what browser.mjs gives them. */
export function walkScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  const picture = (page, name) => page.screenshot({ path: path.join(screenshots, `${name}.png`) });

  /** A whole day with no signal: hook-up with an interruption and reloads, hooked-up state, check due, unhook. */
  async function walkRound() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await kept(page);
    const photo = await photoWithAPlace(page);
    await page.getByRole("radio", { name: RIG }).check();
    await page.locator(".hooked", { hasText: "that no longer holds" }).waitFor(); // the demo's own day is over
    await context.setOffline(true);
    await begin(page, "Hook-up");
    await picture(page, "walk-start-360");

    // A dangerous step whose turn has not come says what is open and leads there.
    while ((await page.locator(".stand-blocked").count()) === 0) {
      await page.getByRole("button", { name: "Place after" }).click();
    }
    const blocked = page.locator(".stand-blocked").first();
    assert.match(await blocked.innerText(), /Not yet\. .*The danger: /s);
    assert.equal(await blocked.getByRole("button", { name: /^Done/ }).count(), 0, "a blocked step cannot be ticked");
    await picture(page, "walk-blocked-360");
    await blocked.locator(".jump").first().click();
    await page.locator(".station h2", { hasText: "Walking round both vehicles" }).waitFor();

    await workStation(page);
    assert.equal(await doneSteps(page), 1);
    // Un-ticking takes back the word, not the act.
    await page.getByRole("button", { name: /^Un-tick/ }).click();
    await page.getByText("What you did at the rig still stands").waitFor();
    assert.equal(await doneSteps(page), 0);
    await workStation(page);
    await reloadAndFind(page, 1);
    for (let station = 0; station < 6; station++) {
      // A new start after each step; the list then stands where the next one is.
      await workStation(page, { photo, eachStep: async () => reloadAndFind(page, await doneSteps(page)) });
    }

    // An interruption by one's own button, with a reload in the middle of it.
    const before = await doneSteps(page);
    await page.getByRole("button", { name: "I am leaving the rig" }).click();
    await page.getByText("Away since").waitFor();
    await page.reload();
    await page.getByRole("button", { name: "I am back" }).click();
    await page.getByRole("heading", { name: "Did you leave it?" }).waitFor();
    await page.reload();
    await page.getByRole("heading", { name: "Did you leave it?" }).waitFor();
    await picture(page, "walk-did-you-leave-360");
    await page.getByRole("button", { name: "Yes, or not sure" }).click();
    await page.getByRole("heading", { name: /^Put a hand on what holds/ }).waitFor();
    await picture(page, "walk-touch-again-360");
    const holding = await page.locator(".break [data-step]").count();
    assert.ok(holding > 0 && holding < before, `holding items only: ${holding} of ${before}`);
    assert.equal(await page.locator('.break [data-step="ground"]').count(), 0, "what holds nothing is not asked for again");
    for (let left = holding; left > 0; left--) {
      await page.locator(".break .count", { hasText: new RegExp(`^${left}$`) }).waitFor();
      if (left === holding - 1) await page.reload();
      await page.locator(".break .stand button").first().click();
    }
    await page.locator(".station").waitFor();
    assert.equal(await doneSteps(page), before, "the list goes on where it was");

    // An absence that nobody announced: the app was closed for ten minutes.
    await page.clock.setFixedTime(Date.now() + 10 * 60_000);
    await page.reload();
    await page.getByRole("heading", { name: "Did you leave it?" }).waitFor();
    await page.getByRole("button", { name: "No, one of us stood by it" }).click();
    await page.locator(".station").waitFor();

    await workList(page, { photo });
    await assertNoPlaceKept(page);
    await page.getByLabel("Where is this?").fill("Fennel Flats, pitch 9");
    await picture(page, "walk-finish-360");
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator(".verdict h2", { hasText: "Hooked up and tested" }).waitFor();
    await page.screenshot({ path: path.join(screenshots, "walk-record-360.png"), fullPage: true });
    await page.getByRole("link", { name: "To Departure" }).click();
    const card = page.locator('.hooked[data-holds="true"]:visible');
    await card.waitFor();
    assert.match(await card.innerText(), /Hooked up and tested \d\d:\d\d, Fennel Flats, pitch 9/);
    assert.match(await card.innerText(), /It expires with/);
    await card.scrollIntoViewIfNeeded();
    await picture(page, "departure-hooked-up-360");
    await page.reload();
    await card.waitFor();

    // Hours later, on return: a roadside check is offered.
    await page.clock.setFixedTime(Date.now() + 5 * 3_600_000);
    await page.reload();
    await page.getByRole("link", { name: "Roadside check, once you stand" }).click();
    await page.getByRole("button", { name: /^Roadside check/ }).click();
    await page.getByRole("radiogroup", { name: "Was the rig out of sight of all of you?" }).getByRole("radio", { name: "Yes" }).check();
    await page.locator('[data-step="motorhome_held"]').waitFor();
    await home(page);
    await page.locator('.hooked[data-holds="false"]:visible').waitFor();
    await page.locator(".hooked:visible", { hasText: "stood out of your sight" }).waitFor();
    await page.getByRole("link", { name: /^Roadside check/ }).click();
    await workList(page);
    await page.clock.setFixedTime((await page.evaluate(() => Date.now())) + 12 * 60_000); // the check takes its time
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator(".verdict h2", { hasText: "Checked" }).waitFor();
    await home(page);
    await page.locator('.hooked[data-holds="true"]:visible').waitFor();

    // Unhooking takes back what hook-up changed, in the words it was done with.
    await page.getByRole("button", { name: /^Unhook/ }).click();
    await page.locator(".station").waitFor();
    const seen = await workList(page);
    assert.ok(seen.some((words) => words.includes("Gear lever to first.")), "the manual's unhook step");
    assert.ok(seen.some((words) => words.includes("At hook-up this was done: Key to accessory.")), "what no typed step takes back is named");
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator(".verdict h2", { hasText: "Unhooked" }).waitFor();
    await home(page);
    await page.locator(".hooked:visible", { hasText: "The car was unhooked" }).waitFor();
    done();
  }

  /** A repair noted from "Something is wrong" is dated in the list that runs, or in a roadside check, and is tested again; the distance said decides which check is due. */
  async function repaired() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await kept(page);
    await page.getByRole("radio", { name: RIG }).check();
    await page.locator(".hooked", { hasText: "that no longer holds" }).waitFor(); // all of the demo's day has arrived
    await context.setOffline(true);
    await page.goto(`${server.address}/#trouble/clip`);
    await page.getByText("the next hook-up tests everything").waitFor();
    assert.equal(await page.getByRole("button", { name: /^It is repaired/ }).count(), 0, "what is not hooked up is not tested again");

    // Into the hook-up that runs: what stood as done is asked for again, there and after a start.
    await begin(page, "Hook-up");
    await workList(page);
    const whole = await doneSteps(page);
    await page.goto(`${server.address}/#trouble/clip`);
    await page.getByText("This list is being worked through: Hook-up").waitFor();
    await page.getByRole("button", { name: "It is repaired: note it, and test again" }).scrollIntoViewIfNeeded();
    await picture(page, "repaired-note-360");
    await page.getByRole("button", { name: "It is repaired: note it, and test again" }).click();
    await page.getByRole("heading", { name: /^Test again after the repair/ }).waitFor();
    await page.reload();
    await page.getByRole("heading", { name: /^Test again after the repair/ }).waitFor();
    assert.deepEqual(await page.locator(".break [data-step]").evaluateAll((all) => all.map(({ dataset }) => dataset.step).sort()), ["arms", "final_count"]);
    await page.locator(".repairs li", { hasText: /A clip is missing.* \d\d:\d\d, says this phone/ }).waitFor();
    await assertAccess(page, "test again");
    await assertNarrow(page);
    await picture(page, "repaired-test-360");
    for (let left = 2; left > 0; left--) {
      await page.locator(".break .count", { hasText: new RegExp(`^${left}$`) }).waitFor();
      await page.locator(".break .stand button").first().click();
    }
    await page.locator(".finish").waitFor();
    assert.equal(await doneSteps(page), whole);
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator(".verdict h2", { hasText: "Hooked up and tested" }).waitFor();
    await page.locator(".repairs li", { hasText: "A clip is missing" }).waitFor();

    // The distance said on return decides which check is due; it is kept, and asked for in the check.
    await page.getByRole("link", { name: "To Departure" }).click();
    const card = page.locator(".hooked:visible");
    await card.getByText("after the first mile or two").first().waitFor();
    await card.getByLabel("Driven since the hook-up").fill("0.2 mi");
    await card.getByLabel("Driven since the hook-up").press("Tab");
    await card.getByText("By distance from 0.5 mi on, at the latest at 2 mi since the hook-up.").waitFor();
    await page.locator('.hooked:visible a', { hasText: "Walk-round" }).waitFor(); // not due yet
    await card.getByLabel("Driven since the hook-up").fill("far");
    await card.getByLabel("Driven since the hook-up").press("Tab");
    await card.getByText(/^Not kept: /).waitFor();
    await card.getByLabel("Driven since the hook-up").fill("3");
    await card.getByLabel("Driven since the hook-up").press("Tab");
    await card.getByText(/That was said \d\d:\d\d\./).waitFor();
    await page.getByRole("link", { name: "Roadside check, once you stand" }).waitFor();
    await assertAccess(page, "driven");
    await assertNarrow(page);
    await card.getByLabel("Driven since the hook-up").scrollIntoViewIfNeeded();
    await picture(page, "driven-360");

    // Into a roadside check, where the rig is hooked up and no list runs: with the tests of the hook-up and the whole round.
    await page.goto(`${server.address}/#trouble/umbilical`);
    await page.getByText("The repair is noted with the time in a roadside check").waitFor();
    await page.getByRole("button", { name: "It is repaired: note it, and test again" }).click();
    await page.locator(".repairs li").waitFor();
    const driven = page.locator(".halt-questions").getByLabel("Driven since the hook-up");
    await driven.fill("50");
    await driven.press("Tab");
    await page.getByRole("radiogroup", { name: "Was the rig out of sight of all of you?" }).getByRole("radio", { name: "No" }).check();
    await home(page);
    await page.locator('.hooked[data-holds="false"]:visible', { hasText: "Something was repaired or changed since the hook-up" }).waitFor();
    await page.getByRole("link", { name: /^Roadside check, Ostrevan and Kibbit/ }).click();
    const seen = await workList(page);
    assert.ok(seen.some((words) => words.includes("umbilical")) && seen.some((words) => /low beam|tail|turn/i.test(words)), "the tests of the hook-up are asked for");
    await page.clock.setFixedTime((await page.evaluate(() => Date.now())) + 20 * 60_000);
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator(".verdict h2", { hasText: "Checked" }).waitFor();
    await page.screenshot({ path: path.join(screenshots, "repaired-record-360.png"), fullPage: true });
    await home(page);
    await page.locator('.hooked[data-holds="true"]:visible').waitFor();
    await page.getByText("By distance from 150 mi on, at the latest at 200 mi since the hook-up.").last().waitFor();
    done();
  }

  /** What is typed at a step and not kept yet, or cannot be kept, stands there after another start, in the unit it was typed in. */
  async function walkUnkept() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await kept(page);
    await page.getByRole("radio", { name: RIG }).check();
    await context.setOffline(true);
    await begin(page, "Hook-up");
    await showStepWith(page, ".counter");
    const counter = page.locator(".stand", { has: page.locator(".counter") }).first();
    await counter.locator("input").fill("ten");
    await counter.locator("input").press("Tab");
    await counter.getByText("Not kept: A whole number is wanted, 200 at most.").waitFor();
    await page.reload();
    await showStepWith(page, ".counter");
    assert.equal(await counter.locator("input").inputValue(), "ten");
    await counter.getByText("Not kept: It was typed before this start.").waitFor();
    await assertAccess(page, "not kept");
    await counter.locator("input").fill("1");
    await counter.locator("input").press("Tab");
    await counter.locator(".because").waitFor(); // kept, and judged
    await page.reload();
    await showStepWith(page, ".counter");
    assert.equal(await counter.locator("input").inputValue(), "1");
    assert.equal(await counter.getByText("Not kept").count(), 0);

    await home(page);
    await page.getByRole("button", { name: /^Roadside check/ }).click();
    await page.locator('[data-step="motorhome_held"]').getByRole("button", { name: /^Done/ }).click();
    await page.locator('.stand-done[data-step="motorhome_held"]').waitFor();
    await showStepWith(page, ".reading .switch");
    const reading = page.locator(".stand", { has: page.locator(".reading .switch") }).first();
    await reading.getByRole("radio", { name: "°C" }).check();
    await reading.locator('input[type="text"]').fill("6");
    await page.reload(); // in the middle of the figure
    await showStepWith(page, ".reading .switch");
    assert.equal(await reading.locator('input[type="text"]').inputValue(), "6");
    assert.ok(await reading.getByRole("radio", { name: "°C" }).isChecked(), "in the unit it was typed in");
    assert.equal(await reading.locator(".judged").count(), 0, "half a figure is not a reading");
    await picture(page, "walk-unkept-360");
    await assertNarrow(page);
    await reading.locator('input[type="text"]').fill("65");
    await reading.getByRole("button", { name: /^Done/ }).click(); // the press keeps what stands in the field
    await page.locator('.stand-done[data-step="hubs"]').waitFor();
    await page.reload();
    await page.locator(".station").waitFor();
    await page.getByText(/Phones on this list/).waitFor();
    assert.equal(await doneSteps(page), 2);
    done();
  }

  async function showStepWith(page, what) {
    await page.locator(".station").waitFor();
    while ((await page.locator(`.stand ${what}`).count()) === 0) {
      await page.getByRole("button", { name: "Place after" }).click();
    }
  }

  /** A whole hook-up without a pointer: the focus is always where the next thing is. */
  async function walkKeyboard() {
    const server = await serve();
    const { page, done } = await open(server, { size: { viewport: { width: 1280, height: 900 } } });
    await kept(page);
    await page.getByRole("radio", { name: RIG }).focus();
    await page.keyboard.press("Space");
    await page.getByRole("navigation").getByRole("link", { name: "Walk-round" }).press("Enter");
    await page.getByRole("button", { name: /^Hook-up/ }).press("Enter");
    await page.locator(".station").waitFor();
    await page.locator(".stand:not(.stand-done) h3").first().focus();
    await page.keyboard.press("Tab");
    for (let presses = 0; (await page.locator(".finish").count()) === 0; presses++) {
      assert.ok(presses < 900, `the list does not end: ${await page.evaluate(() => document.activeElement?.outerHTML.slice(0, 200))}`);
      await pressOn(page);
    }
    await page.getByRole("button", { name: "Finish: keep the record" }).press("Enter");
    await page.locator(".verdict h2", { hasText: "Hooked up and tested" }).waitFor();
    done();
  }

  /** One key press or two, by what has the focus. Nothing is looked for: only Tab leads on. */
  async function pressOn(page) {
    const on = await page.evaluate(() => {
      const here = document.activeElement;
      return { label: here?.getAttribute("aria-label") ?? here?.textContent ?? "", tag: here?.tagName ?? "", proof: here?.labels?.[0]?.textContent ?? "" };
    });
    if (on.tag === "INPUT" && on.proof.startsWith("Counted")) {
      await page.keyboard.type(/(\d+) expected/.exec(on.proof)?.[1] ?? "4");
      await page.keyboard.press("Tab");
    } else if (on.tag === "INPUT" && on.proof.startsWith("Or write")) {
      await page.keyboard.type("seen and felt");
      await page.keyboard.press("Tab");
    } else if (on.label.startsWith("Done: ") || on.label.startsWith("Go on: ")) {
      const before = await progressOf(page);
      await page.keyboard.press("Enter");
      await page.waitForFunction((was) => document.querySelector(".finish") !== null || was !== `${document.querySelector(".walk-progress")?.textContent} ${document.querySelector(".station .kicker")?.textContent}`, before);
    } else {
      await page.keyboard.press("Tab");
    }
  }

  /** axe-core finds nothing wrong in either room, in both themes. */
  async function walkAccess() {
    const server = await serve();
    for (const colorScheme of ["light", "dark"]) {
      const { page, context, done } = await open(server, { size: { ...PHONE, colorScheme } });
      await kept(page);
      await page.getByRole("radio", { name: RIG }).check();
      await begin(page, "Hook-up");
      await assertAccess(page, `${colorScheme} walk`);
      await openFolds(page);
      await assertAccess(page, `${colorScheme} walk, all open`);
      while ((await page.locator(".stand-blocked").count()) === 0) {
        await page.getByRole("button", { name: "Place after" }).click();
      }
      await assertAccess(page, `${colorScheme} blocked`);
      await page.locator(".jump").first().click();
      await workList(page, { until: 14 });
      await assertAccess(page, `${colorScheme} half done`);
      await page.screenshot({ path: path.join(screenshots, `walk-half-${colorScheme}.png`), fullPage: true });
      await page.getByRole("button", { name: "I am leaving the rig" }).click();
      await page.getByRole("button", { name: "I am back" }).click();
      await assertAccess(page, `${colorScheme} ask`);
      await page.getByRole("button", { name: "Yes, or not sure" }).click();
      await page.getByRole("heading", { name: /^Put a hand/ }).waitFor();
      await assertAccess(page, `${colorScheme} touch again`);
      await page.getByRole("link", { name: "All lists" }).click();
      await page.getByRole("heading", { name: "Begin a list" }).waitFor();
      await assertAccess(page, `${colorScheme} lists`);

      await page.goto(`${server.address}/#trouble`);
      await page.getByRole("heading", { name: "Or by what you notice" }).waitFor();
      await assertAccess(page, `${colorScheme} trouble`);
      await page.screenshot({ path: path.join(screenshots, `trouble-${colorScheme}.png`), fullPage: true });
      await page.getByRole("link", { name: /^Smoke/ }).click();
      await page.locator(".failures a").first().waitFor();
      await assertAccess(page, `${colorScheme} sign`);
      await page.getByRole("link", { name: /parking brake is on/ }).click();
      await page.getByRole("heading", { name: "Test again" }).waitFor();
      await page.locator(".again li").first().waitFor();
      await assertAccess(page, `${colorScheme} failure`);
      await page.screenshot({ path: path.join(screenshots, `failure-${colorScheme}.png`), fullPage: true });
      done();
      await context.close();
    }
  }

  /** Nothing scrolls sideways at 320 px, and what is pressed is 48 px and more. */
  async function walkNarrow() {
    const server = await serve();
    const { page, done } = await open(server, { size: { viewport: { width: 320, height: 640 } } });
    await kept(page);
    await page.getByRole("radio", { name: RIG }).check();
    await begin(page, "Hook-up");
    await workList(page, {
      each: async () => {
        await openFolds(page);
        await assertNarrow(page);
      },
    });
    await picture(page, "walk-320");
    await page.getByRole("button", { name: "I am leaving the rig" }).click();
    await page.getByRole("button", { name: "I am back" }).click();
    await assertNarrow(page);
    await page.getByRole("button", { name: "Yes, or not sure" }).click();
    await page.getByRole("heading", { name: /^Put a hand/ }).waitFor();
    await assertNarrow(page);
    await home(page);
    await assertNarrow(page);
    await page.goto(`${server.address}/#trouble`);
    await page.getByRole("heading", { name: "Or by what you notice" }).waitFor();
    await assertNarrow(page);
    for (const address of await page.locator(".sense a").evaluateAll((links) => links.map(({ hash }) => hash))) {
      await page.evaluate((hash) => (location.hash = hash), address);
      await page.locator(".failures a").first().waitFor();
      await assertNarrow(page);
    }
    await page.locator(".failures a").first().click();
    await page.getByRole("heading", { name: "Every time" }).waitFor();
    await assertNarrow(page);
    await picture(page, "failure-320");
    done();
  }

  /** With no signal, from Departure: by sign and by word to what to do. */
  async function trouble() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await kept(page);
    await page.getByRole("radio", { name: RIG }).check();
    await context.setOffline(true);
    await page.reload();
    await page.getByRole("link", { name: "Something is wrong" }).click();
    await page.getByRole("heading", { name: "Something is wrong" }).waitFor();
    await picture(page, "trouble-360");
    await page.getByRole("link", { name: /^Smoke, fire or glowing/ }).click();
    // Most urgent first, in words.
    const halts = await page.locator(".failures .kicker").allInnerTexts();
    const order = ["Halt now", "Halt at the next safe place", "Before the next hook-up"];
    assert.ok(halts.length > 3 && halts.every((words, at) => at === 0 || order.indexOf(words) >= order.indexOf(halts[at - 1])), halts.join());
    await picture(page, "trouble-sign-360");
    await page.getByRole("link", { name: /^Halt now Fire at the car/ }).click();
    assert.match(await page.locator(".urgency").innerText(), /^Halt now/);
    assert.match(await page.locator(".go-on").innerText(), /No, not with the car on the bar/);
    assert.match(await page.locator(".never").innerText(), /Do not unhook a burning car/);
    assert.equal(await page.locator(".steps li").count(), 4);
    await picture(page, "failure-360");
    await page.getByRole("link", { name: "Back", exact: true }).click();
    await page.getByRole("link", { name: "All signs" }).click();
    await page.getByRole("searchbox", { name: "Look for a word" }).fill("clip");
    await page.getByRole("link", { name: /A clip is missing/ }).click();
    await page.getByRole("heading", { name: "Test again" }).waitFor();
    await page.locator(".again li", { hasText: "Pin" }).first().waitFor();
    await page.getByRole("link", { name: "Back", exact: true }).click();
    assert.equal(await page.getByRole("searchbox", { name: "Look for a word" }).inputValue(), "clip", "what was typed is still there");
    await page.getByRole("searchbox", { name: "Look for a word" }).fill("zebra");
    await page.getByText("Nothing here speaks of “zebra”").waitFor();
    // From the fifth room as well.
    await page.getByRole("link", { name: "More" }).click();
    await page.getByRole("link", { name: "Something is wrong" }).click();
    await page.getByRole("heading", { name: "Something is wrong" }).waitFor();
    done();
  }

  return { walkRound, repaired, walkUnkept, walkKeyboard, walkAccess, walkNarrow, trouble };
}

async function kept(page) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
  await page.getByRole("radio", { name: RIG }).waitFor();
}

export async function begin(page, list) {
  await page.getByRole("navigation").getByRole("link", { name: "Walk-round" }).click();
  await page.getByRole("button", { name: new RegExp(`^${list}`) }).click();
  await page.locator(".station").waitFor();
}

async function home(page) {
  await page.getByRole("link", { name: "All lists" }).click();
  await page.getByRole("heading", { name: "Begin a list" }).waitFor();
}

export async function doneSteps(page) {
  return Number(await page.locator(".walk-progress strong").innerText());
}

function progressOf(page) {
  return page.evaluate(() => `${document.querySelector(".walk-progress")?.textContent} ${document.querySelector(".station .kicker")?.textContent}`);
}

/** Loads the page again, with no signal, and finds everything. */
async function reloadAndFind(page, done) {
  await page.reload();
  await page.locator(".station").waitFor();
  assert.equal(await doneSteps(page), done, "every tick is there after a reload");
}

async function goOn(page) {
  await page.locator(".go-on-here").click();
  await page.locator(".stand:not(.stand-done)").first().waitFor();
}

/** Ticks every step at this place, with its proof. Returns what the steps said. */
export async function workStation(page, { photo, until = Infinity, eachStep } = {}) {
  const seen = [];
  const open = page.locator(".station .stand:not(.stand-done)");
  for (let left = await open.count(); left > 0 && (await doneSteps(page)) < until; left--) {
    const card = open.first();
    const step = await card.getAttribute("data-step");
    seen.push(await card.innerText());
    if ((await card.locator(".counter").count()) > 0) {
      const wanted = Number(/(\d+) expected/.exec(await card.locator(".counter label").innerText())?.[1] ?? 4);
      await card.getByRole("button", { name: /^Done/ }).click();
      await card.getByText("Count first").waitFor();
      for (let counted = 1; counted <= wanted; counted++) {
        await card.getByRole("button", { name: "One more" }).click();
        await page.waitForFunction(([id, n]) => document.querySelector(`[data-step="${id}"] .counter input`)?.value === String(n), [step, counted]);
        if (counted === wanted - 1 && (await card.locator(".counter label").innerText()).includes("expected")) {
          await card.locator(".because").waitFor(); // one too few is said
        }
      }
    }
    if ((await card.locator(".reading").count()) > 0) {
      const volts = (await card.locator(".reading > label").innerText()).startsWith("Battery");
      await card.locator(".reading input").first().fill(volts ? "11.8 V" : "95 °F");
      await card.locator(".reading input").first().press("Tab");
      await card.locator(".judged", { hasText: volts ? "Mind this" : "OK" }).waitFor();
    }
    if ((await card.locator(".photo").count()) > 0) {
      if (photo) {
        await card.locator('input[type="file"]').setInputFiles({ name: "photo.jpg", mimeType: "image/jpeg", buffer: photo });
        await card.locator(".shown-photo").waitFor();
      } else {
        await card.getByLabel("Or write what you saw").fill("off, and felt");
        await card.getByLabel("Or write what you saw").press("Tab");
      }
    }
    await card.getByRole("button", { name: /^Done/ }).click();
    await page.locator(`.stand-done[data-step="${step}"]`).waitFor();
    await eachStep?.();
  }
  return seen;
}

/** Works on until everything stands as done, or until so many steps are. */
export async function workList(page, { each = async () => {}, ...how } = {}) {
  const seen = [];
  const until = how.until ?? Infinity;
  for (;;) {
    await page.locator(".station").waitFor();
    await each();
    seen.push(...(await workStation(page, how)));
    if ((await page.locator(".finish").count()) > 0 || (await doneSteps(page)) >= until) {
      return seen;
    }
    await goOn(page);
  }
}

async function openFolds(page) {
  await page.locator("details:visible").evaluateAll((folds) => folds.forEach((fold) => (fold.open = true)));
}

const PLACE = "GPS 44.5646 -123.2620";

/** A real JPEG with a place in its Exif part, as a phone's camera writes it. */
export async function photoWithAPlace(page) {
  const drawn = await page.evaluate(async () => {
    const canvas = document.createElement("canvas");
    canvas.width = 3000;
    canvas.height = 2000;
    const context = canvas.getContext("2d");
    context.fillStyle = "#456";
    context.fillRect(0, 0, 3000, 2000);
    const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.9));
    return [...new Uint8Array(await blob.arrayBuffer())];
  });
  const exif = Buffer.from(`Exif\0\0${PLACE}`, "latin1");
  const length = Buffer.from([(exif.length + 2) >> 8, (exif.length + 2) & 255]);
  return Buffer.concat([Buffer.from(drawn.slice(0, 2)), Buffer.from([0xff, 0xe1]), length, exif, Buffer.from(drawn.slice(2))]);
}

/** Every kept photo is there, small, and without the place. */
async function assertNoPlaceKept(page) {
  const photos = await page.evaluate(async () => {
    const db = await new Promise((resolve, reject) => {
      const opening = indexedDB.open("pintail-photos");
      opening.onsuccess = () => resolve(opening.result);
      opening.onerror = () => reject(opening.error);
    });
    const all = await new Promise((resolve) => {
      const asking = db.transaction("photos").objectStore("photos").getAll();
      asking.onsuccess = () => resolve(asking.result);
    });
    return Promise.all(all.map(async ({ picture: blob }) => {
      const bitmap = await createImageBitmap(blob);
      return { text: await blob.text(), width: bitmap.width, height: bitmap.height };
    }));
  });
  assert.ok(photos.length > 0, "photos are kept");
  for (const { text, width, height } of photos) {
    assert.ok(Math.max(width, height) <= 1280, `${width}×${height}`);
    assert.ok(!text.includes("GPS") && !text.includes("Exif"), "no place is kept");
  }
}
