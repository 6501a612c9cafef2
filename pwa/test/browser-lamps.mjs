// The scenarios of the room Lamps: the light test from a wrong picture to the record.

import assert from "node:assert/strict";
import * as path from "node:path";

import { exchanged } from "./browser-shared.mjs";
import { begin, RIG } from "./browser-walk.mjs";

/** The fault of the scenario: its words begin every line about it. */
const CAUSE = "The left stop lamp is burnt out or loose";

export function lampsScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  const picture = (page, name) => page.screenshot({ path: path.join(screenshots, `${name}.png`), fullPage: true });

  /** With the network off: a wrong picture, its cause by the readings asked for, the repair, the test again, the record. */
  async function lamps() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await enter(page);
    await context.setOffline(true);
    await agrees(page);
    await page.getByRole("button", { name: /^With a helper/ }).click();
    await page.getByText("Parking brakes on, wheels chocked").waitFor();
    await page.getByRole("link", { name: /^Begin: Brake/ }).click();
    await call(page, "Brake");

    // One lamp dark, tapped and reloaded in the middle: what was tapped is there.
    await see(page, "stop_left", "Dark");
    await page.reload();
    await call(page, "Brake");
    assert.match(await page.locator('.answer-lamp[data-lamp="stop_left"]').innerText(), /dark\s+should be bright and steady/);
    await picture(page, "lamps-tapped");
    await page.getByRole("button", { name: "Keep this picture" }).click();
    await page.getByRole("status").filter({ hasText: "Not as expected" }).waitFor();
    await page.getByRole("link", { name: "Find the cause" }).click();

    // With nothing to hand: a look. With a meter: readings, as they are asked for, until one cause is left.
    await page.getByRole("link", { name: "Look at it now" }).waitFor();
    await page.getByRole("radio", { name: "Meter" }).check();
    await page.locator("#trace-meter").waitFor();
    assert.ok((await page.locator(".cause-group").first().locator(".causes > li").count()) > 1, "several causes at first, none named alone");
    await page.locator("#trace-meter").fill("a lot");
    await page.getByRole("button", { name: "Take this reading" }).click();
    await page.getByRole("alert").filter({ hasText: "is not a number" }).waitFor();
    await page.locator("#trace-meter").fill("400");
    await page.getByRole("button", { name: "Take this reading" }).click();
    await page.locator("#trace-meter-why").filter({ hasText: /^Want/ }).waitFor();
    let steps = 0;
    for (; !(await page.locator(".traced-says").innerText()).startsWith("One cause is left"); steps++) {
      assert.ok(steps < 6, "the readings lead to the cause");
      await readAsWith(page, CAUSE, steps);
      if (steps === 0) {
        await page.reload(); // in the middle
        await page.locator(".taken").waitFor();
        await page.locator("#trace-meter").waitFor();
      }
    }
    assert.ok(steps >= 2, `${steps} steps were asked for`);
    const first = page.locator(".cause-group").first();
    assert.equal(await first.locator("h3").innerText(), CAUSE);
    assert.match(await first.innerText(), /In the car/);
    assert.match(await first.innerText(), /Replace the bulb of the left stop lamp/);
    assert.match(await first.locator(".limit").innerText(), /Do not move|next safe place|may go on/);
    await picture(page, "lamps-cause");

    // Mended: what was wrong and what shows most is looked at once more, and nothing from before counts.
    await first.getByRole("button", { name: /^This is mended/ }).click();
    await page.getByText("What was seen before it no longer counts.").waitFor();
    await page.locator('[data-step="brake"][data-state="open"]').waitFor();
    await passAll(page);
    await page.getByLabel("Where is this? (may stay empty)").fill("Campground gate");
    await page.getByLabel("Who looked, as a role (may stay empty)").fill("owner");
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    const verdict = page.locator(".lamps .verdict");
    await verdict.waitFor();
    await verdict.getByText("Everything asked for was seen").waitFor();
    assert.equal(await verdict.getAttribute("data-verdict"), "ok");
    const said = await page.locator(".lamps").innerText();
    for (const words of ["Campground gate", `Mended: ${CAUSE}`, "Left stop lamp dark", "owner"]) {
      assert.ok(said.includes(words), `the record says ${words}`);
    }
    await picture(page, "lamps-record");

    // Listed with its day, and it opens again after another start.
    await page.getByRole("link", { name: "All light tests" }).click();
    await page.getByRole("heading", { name: "Records" }).waitFor();
    await page.reload();
    await page.locator(".lamps .links a", { hasText: RIG }).first().click();
    await verdict.waitFor();
    done();
  }

  /** axe, 320 px, targets, both themes and forced colours, in every state. */
  async function lampsAccess() {
    const server = await serve();
    for (const [colorScheme, forcedColors] of [["light", "none"], ["dark", "none"], ["light", "active"]]) {
      const { page, context, done } = await open(server, { size: { viewport: { width: 320, height: 640 }, colorScheme, forcedColors, reducedMotion: "reduce" } });
      const check = async (name) => {
        await assertAccess(page, `${name} ${colorScheme} ${forcedColors}`, { forced: forcedColors === "active" });
        await assertNarrow(page);
        await picture(page, `lamps-${name}-${forcedColors === "active" ? "forced" : colorScheme}`);
      };
      await enter(page);
      await page.getByLabel("Step", { exact: true }).selectOption({ label: "Tail and left" });
      // Asked to keep still, it shows both halves side by side.
      await page.getByRole("radio", { name: "Both halves" }).and(page.locator(":checked")).waitFor();
      await page.locator(".rear-view").nth(1).waitFor();
      assert.equal(await page.locator(".rear-view").count(), 2);
      await page.getByText("In words and figures").click();
      await check("room");
      await page.getByRole("button", { name: /^Alone/ }).click();
      await page.getByRole("link", { name: /^Script/ }).click();
      await page.getByRole("radio", { name: "Honk" }).check();
      await page.getByText("3 × horn").waitFor();
      await check("script");
      await page.getByRole("link", { name: "All steps" }).click();
      await page.getByRole("link", { name: /^Say what was seen/ }).click();
      await call(page, "Brake");
      await page.locator('.answer-lamp[data-lamp="stop_left"]').click();
      for (const fold of await page.locator(".lamps details").all()) await fold.evaluate((details) => (details.open = true));
      await check("step");
      await see(page, "stop_left", "Dark", true);
      await page.getByRole("button", { name: "Keep this picture" }).click();
      await page.getByRole("link", { name: "Find the cause" }).click();
      await page.getByRole("radio", { name: "Meter" }).check();
      await page.locator("#trace-meter").waitFor();
      for (const fold of await page.locator(".lamps details").all()) await fold.evaluate((details) => (details.open = true));
      await check("trace");
      await page.getByRole("link", { name: "All steps" }).click();
      await page.locator('[data-state="wrong"]').waitFor();
      await check("steps");
      await page.getByRole("button", { name: "Finish: keep the record" }).click();
      await page.locator('.lamps .verdict[data-verdict="no_go"]').waitFor();
      await page.locator(".misfit").waitFor();
      await check("wrong-record");
      done();
      await context.close();
    }
  }

  /** From the light step of a hook-up into the room, and back with a record that the tick names. */
  async function lampsInHookUp() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await enter(page);
    await context.setOffline(true);
    await begin(page, "Hook-up");
    const way = page.getByRole("link", { name: "Light test in the room Lamps" }).first();
    while ((await way.count()) === 0) {
      await page.getByRole("button", { name: "Place after" }).click();
    }
    const step = await page.locator("[data-step]").filter({ has: way }).first().getAttribute("data-step");
    const list = await page.evaluate(() => location.hash);
    await way.click();
    assert.equal(await page.locator("#lamps-rig option:checked").innerText(), RIG, "the room is opened for the rig of the list");
    await page.getByRole("button", { name: /^With a helper/ }).click();
    await passAll(page);
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator('.lamps .verdict[data-verdict="ok"]').waitFor();
    await page.evaluate((hash) => (location.hash = hash), list);
    await page.locator(".station").waitFor();
    while ((await page.locator(`[data-step="${step}"]`).count()) === 0) {
      await page.getByRole("button", { name: "Place after" }).click();
    }
    const card = page.locator(`[data-step="${step}"]`);
    await card.getByRole("link", { name: /^Light test of .*: Passed$/ }).waitFor();
    await picture(page, "lamps-in-hook-up");
    await card.getByRole("button", { name: /^Done/ }).click();
    await page.getByText("Close the list unfinished").click();
    await page.getByRole("button", { name: "Close it unfinished" }).click();
    await page.getByRole("link", { name: "Light test", exact: true }).click();
    await page.locator('.lamps .verdict[data-verdict="ok"]').waitFor();
    done();
  }

  /** Two phones with signal: what one keeps as expected leads both on; what differs stays before the eyes of both. */
  async function lampsTogether() {
    const server = await serve();
    const [cab, rear] = [await open(server), await open(server)];
    for (const { page } of [cab, rear]) {
      await exchanged(page);
    }
    await enter(cab.page);
    await cab.page.getByRole("button", { name: /^With a helper/ }).click();
    await cab.page.getByRole("link", { name: /^Begin: Brake/ }).click();
    await call(cab.page, "Brake");
    await enter(rear.page);
    await rear.page.locator('a[href^="#lamps/"]', { hasText: "begun" }).click();
    await rear.page.getByRole("link", { name: /^Begin: Brake/ }).click();
    await call(rear.page, "Brake");
    await rear.page.getByRole("button", { name: "All as expected" }).click();
    await call(rear.page, "Tail");
    await call(cab.page, "Tail"); // by itself
    await see(rear.page, "tail_left", "Dark");
    await rear.page.getByRole("button", { name: "Keep this picture" }).click();
    await cab.page.getByRole("link", { name: "Find the cause" }).waitFor();
    await call(cab.page, "Tail");
    cab.done();
    rear.done();
  }

  /** Without a pointer; and by the clock, which waits for nobody. */
  async function lampsKeyboard() {
    const server = await serve();
    const { page, done } = await open(server, { size: { viewport: { width: 1280, height: 900 } } });
    await enter(page);
    await page.getByRole("button", { name: "Step after" }).press("Enter");
    await page.getByRole("button", { name: /^With a helper/ }).press("Enter");
    await page.getByRole("link", { name: /^Begin: Brake/ }).press("Enter");
    await call(page, "Brake");
    assert.equal(await page.evaluate(() => document.activeElement?.textContent), "Brake", "the focus is on the new prompt");
    await page.getByRole("button", { name: "All as expected" }).press("Enter");
    await call(page, "Tail");
    assert.equal(await page.evaluate(() => document.activeElement?.textContent), "Tail");
    const plate = page.locator('.answer-lamp[data-lamp="plate"]');
    await plate.press("Enter");
    await page.getByRole("button", { name: "Can't tell" }).press("Space");
    await page.getByRole("button", { name: "Done with this lamp" }).press("Enter");
    await plate.filter({ hasText: "can't tell" }).waitFor();
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("data-lamp")), "plate", "the focus goes back to the lamp");
    await page.getByRole("button", { name: "Keep this picture" }).press("Enter");
    await page.getByRole("status").filter({ hasText: "Not clear" }).or(page.locator("h1.call", { hasText: "Test button and left, awake" })).first().waitFor();

    // Two phones by the clock: the first step comes by itself, and goes on after another start.
    await page.getByRole("link", { name: "All steps" }).press("Enter");
    await page.getByRole("link", { name: "Two phones, no signal" }).press("Enter");
    await page.getByRole("radio", { name: "Behind the car" }).check();
    await page.getByRole("button", { name: "Now", exact: true }).press("Enter");
    await page.getByText(/^\d: first Brake$/).waitFor();
    await page.getByRole("heading", { name: "Brake", level: 2 }).waitFor();
    await page.getByRole("button", { name: "Something differs" }).press("Enter");
    await page.reload();
    await page.getByRole("heading", { name: "Brake", level: 2 }).or(page.getByRole("heading", { name: "Tail", level: 2 })).first().waitFor();
    await page.getByRole("button", { name: "End the script" }).press("Enter");
    await page.getByRole("button", { name: "Now", exact: true }).waitFor();
    await picture(page, "lamps-desk");
    done();
  }

  /** The shop's test with the network off: a figure that is off is said at once; a record that is not wanted goes and comes back. */
  async function lampsBench() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await enter(page);
    await context.setOffline(true);
    await page.getByRole("button", { name: /^In the shop/ }).click();
    const left = page.locator('[data-pin="left"]');
    await left.getByLabel(/^From the source/).fill("1,9 A");
    await left.getByLabel(/^Over the left stop lamp/).fill("7.2");
    await left.getByLabel(/^Between body/).fill("0.1 V");
    await left.getByLabel(/^Between body/).press("Enter");
    await left.getByText("Not as expected").first().waitFor();
    await page.locator('[data-switch="stop"]').getByLabel(/^Tail pin/).fill("high");
    await page.locator('[data-switch="stop"]').getByLabel(/^Tail pin/).press("Enter");
    await page.getByText("“high” is not a number").waitFor();
    await page.locator('[data-switch="stop"]').getByLabel(/^Tail pin/).fill("");
    await page.reload();
    await page.waitForFunction(() => document.querySelector('[data-pin="left"] input')?.value === "1.9");
    await assertAccess(page, "bench");
    await assertNarrow(page);
    await picture(page, "lamps-bench");
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator('.lamps .verdict[data-verdict="no_go"]').waitFor();
    await page.getByText(/left stop lamp 7.2 V/).waitFor();
    await picture(page, "lamps-bench-record");
    await page.getByRole("link", { name: "All light tests" }).click();
    const one = page.locator(".lamps .links a", { hasText: `Bench test: ${RIG}` });
    await one.waitFor();
    await page.getByRole("button", { name: new RegExp(`^Remove Bench test: ${RIG}`) }).click();
    await page.getByRole("button", { name: /^Everywhere/ }).or(page.getByRole("button", { name: "Undo" })).first().waitFor();
    if (await page.getByRole("button", { name: /^Everywhere/ }).isVisible()) await page.getByRole("button", { name: /^Everywhere/ }).click();
    await one.waitFor({ state: "detached" });
    await page.getByRole("button", { name: "Undo" }).click();
    await one.waitFor();
    done();
  }

  return { lamps, lampsInHookUp, lampsTogether, lampsAccess, lampsKeyboard, lampsBench };
}

/** The room, with the rig chosen on Departure. */
async function enter(page) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
  await page.getByRole("radio", { name: RIG }).check();
  await page.getByRole("navigation").getByRole("link", { name: "Lamps" }).click();
  await page.locator(".rear-view").first().waitFor();
}

/** Every lamp of the picture is a row of its table, and the table has no other but those seen from the front. */
async function agrees(page) {
  const ids = (selector, name) => page.locator(selector).evaluateAll((all, name) => all.map((one) => one.getAttribute(name)).sort(), name);
  await page.locator(".lamp-table [data-row]").nth(6).waitFor({ state: "attached" }); // the rig may just have come from the server once more
  const drawn = await ids(".rear-view [data-lamp]", "data-lamp");
  const listed = await ids(".lamp-table [data-row]", "data-row");
  assert.ok(drawn.length >= 6);
  assert.deepEqual(listed.filter((lamp) => lamp !== "car_park"), drawn);
}

async function call(page, words) {
  await page.locator("h1.call", { hasText: new RegExp(`^${words}$`) }).waitFor();
  await page.locator(".answer-lamp").first().waitFor();
}

/** Says how bright a lamp is. */
async function see(page, lamp, words, opened = false) {
  if (!opened) await page.locator(`.answer-lamp[data-lamp="${lamp}"]`).click();
  await page.getByRole("group", { name: /^How bright/ }).getByRole("button", { name: words, exact: true }).click();
  await page.getByRole("button", { name: "Done with this lamp" }).click();
}

/** Takes the reading asked for as it is with this cause, which the page says itself. */
async function readAsWith(page, cause, taken) {
  await page.locator(".next-card details").evaluate((details) => (details.open = true));
  const line = page.locator(".next-card li", { hasText: `${cause}:` }).first();
  const [, low, high, unit] = /([\d.]+) to ([\d.]+) (V|A)/.exec(await line.innerText());
  await page.locator("#trace-meter").fill(`${((Number(low) + Number(high)) / 2).toFixed(2)} ${unit}`);
  await page.locator("#trace-meter").press("Enter");
  await page.locator(".taken").nth(taken).waitFor();
  await page.locator('.traced[aria-busy="false"]').waitFor();
}

/** Every step that is due is as expected. */
async function passAll(page) {
  await page.getByRole("link", { name: /^(Begin|Go on)/ }).click();
  for (;;) {
    await page.locator("h1.call").or(page.getByRole("button", { name: "Finish: keep the record" })).first().waitFor();
    if ((await page.locator("h1.call").count()) === 0) return;
    const words = await page.locator("h1.call").innerText();
    await page.getByRole("button", { name: "All as expected" }).first().click();
    await page.waitForFunction((words) => document.querySelector("h1.call")?.textContent !== words, words);
  }
}
