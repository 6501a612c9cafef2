// The scenarios of the room Rules.

import assert from "node:assert/strict";
import * as fs from "node:fs";
import * as path from "node:path";
import { exchanged } from "./browser-shared.mjs";

export function rulesScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  const picture = (page, name, full = false) => page.screenshot({ path: path.join(screenshots, name), fullPage: full });

  /** The law of the route, of one place, of one subject and of all, with the network off. */
  async function rulesRead() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    await context.setOffline(true);
    await page.reload();
    await enter(page);
    await page.getByText("No route yet").waitFor();
    await route(page, ["UT", "NV", "CA"]);
    await enter(page);
    // Who draws the strictest line on brakes: NRS 484D.250 asks from 1,500 lb on, the lowest of the three.
    const brakes = page.locator('.strictest [data-subject="brakes"]');
    await brakes.waitFor();
    assert.match(await brakes.innerText(), /Nevada[^]*1,500 lb[^]*NRS 484D\.250/);
    assert.deepEqual(await page.locator(".rules .strip h3").allInnerTexts().then((all) => all.map((text) => text.split(/\s/)[0])), ["UT", "NV", "CA"]);
    assert.equal(await page.locator(".route-table .place-row").count(), 3);
    // On a phone the whole table is long, and comes when it is asked for.
    assert.equal(await page.locator(".route-table").isVisible(), false);
    await page.getByRole("button", { name: "Show all of it" }).click();
    await page.locator(".route-table").waitFor();
    await page.getByRole("button", { name: "Fold it away" }).click();
    await page.locator(".route-table").waitFor({ state: "hidden" });
    await picture(page, "rules-route-360.png", true);

    await page.getByRole("navigation", { name: "Ways to look" }).getByRole("link", { name: "One state" }).click();
    await headed(page, "States and provinces");
    assert.equal(await page.locator(".law-places li").count(), 64);
    await page.getByRole("link", { name: /^VA Virginia/ }).click();
    await headed(page, "Virginia");
    await page.locator(".law-row").first().waitFor();
    assert.equal(await page.locator('.law-row:not([data-row^="US-VA."])').count(), 0);

    await page.getByRole("navigation", { name: "Ways to look" }).getByRole("link", { name: "One subject" }).click();
    await page.getByRole("link", { name: /^A breakaway brake/ }).click();
    await headed(page, "A breakaway brake");
    await page.locator(".law-row").first().waitFor();

    // The whole list: only what is near the screen is in the page, and its end can be reached.
    await page.getByRole("navigation", { name: "Ways to look" }).getByRole("link", { name: "All rows" }).click();
    await headed(page, "All rows");
    await page.locator(".law-row").first().waitFor();
    const all = Number(await page.locator(".windowed > li").first().getAttribute("aria-setsize"));
    assert.ok(all > 500, `${all} rows`);
    assert.ok((await page.locator(".windowed > li").count()) < 60);
    await page.waitForFunction((last) => {
      scrollTo(0, document.documentElement.scrollHeight);
      return document.querySelector(`.windowed > [aria-posinset="${last}"]`) !== null;
    }, all);
    await page.getByLabel("Look for a word").fill("surge");
    await page.waitForFunction((before) => Number(document.querySelector(".windowed > li")?.getAttribute("aria-setsize")) < before, all);
    await page.getByLabel("State or province").selectOption("US-HI");
    await page.getByLabel("Look for a word").fill("zzz");
    await page.getByText("No row fits").waitFor();
    done();
  }

  /** Nothing for axe in either theme, nothing wider than 320 px, a person's own colours, and paper. */
  async function rulesAccess() {
    const server = await serve();
    for (const [colorScheme, width, forcedColors] of [["light", 320, "none"], ["dark", 360, "none"], ["light", 1280, "none"], ["dark", 360, "active"]]) {
      const { page, context, done } = await open(server, { size: { ...PHONE, viewport: { width, height: 800 }, colorScheme, forcedColors } });
      await page.locator(".state", { hasText: "Ready offline" }).waitFor();
      await route(page, ["UT", "NV", "CA", "ID", "CA"]);
      for (const [address, proof] of [["rules", ".strictest"], ["rules/place", ".law-places"], ["rules/place/US-CA", ".law-row"], ["rules/subject/brakes", ".law-row"], ["rules/rows", ".law-row"], ["rules/coverage", "[data-place]"], ["rules/row/US-CA.brakes.1", ".law-row"], ["rules/edit/US-CA.brakes.1", ".rig-field"], ["rules/file", ".rig-field"]]) {
        await page.goto(`${server.address}/#${address}`);
        await page.locator(proof).first().waitFor();
        await assertAccess(page, `${address} ${colorScheme} ${width} ${forcedColors}`, { forced: forcedColors === "active" });
        if (width < 400) await assertNarrow(page);
        await picture(page, `${address.replaceAll("/", "-")}-${colorScheme}-${width}-${forcedColors}.png`);
      }
      done();
      await context.close();
    }
  }

  /** On A4 and Letter, from either theme, the route is one table in black on white that fits the paper. */
  async function rulesPrint() {
    const server = await serve();
    const { page, done } = await open(server, { size: { ...PHONE, colorScheme: "dark" } });
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    await route(page, ["UT", "NV", "CA"]);
    await enter(page);
    await page.locator(".route-table").waitFor({ state: "attached" });
    for (const [format, inches] of [["A4", 8.27], ["Letter", 8.5]]) {
      await page.setViewportSize({ width: Math.floor((inches - 0.8) * 96), height: 900 });
      await page.emulateMedia({ media: "print" });
      const seen = await page.evaluate(() => {
        const table = document.querySelector(".route-table");
        const shown = (selector) => [...document.querySelectorAll(selector)].some((element) => element.getBoundingClientRect().height > 0);
        const colours = new Set([...document.querySelectorAll(".rules *")].filter((element) => element.getBoundingClientRect().height > 0).map((element) => getComputedStyle(element).color));
        return {
          wide: document.documentElement.scrollWidth - innerWidth, display: getComputedStyle(table).display,
          chrome: [".rooms", ".top", ".views", ".rules button"].filter(shown), colours: [...colours], ground: getComputedStyle(document.documentElement).backgroundColor,
        };
      });
      assert.deepEqual(seen, { wide: 0, display: "table", chrome: [], colours: ["rgb(0, 0, 0)"], ground: "rgb(255, 255, 255)" }, format);
      await page.screenshot({ path: path.join(screenshots, `rules-print-${format}.png`), fullPage: true });
      assert.ok((await page.pdf({ format })).length > 10_000);
      await page.emulateMedia({ media: null });
    }
    done();
  }

  /** From the room's door to one row without a pointer. */
  async function rulesKeyboard() {
    const server = await serve();
    const { page, done } = await open(server, { size: { viewport: { width: 1280, height: 900 } } });
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    await page.getByRole("link", { name: "More", exact: true }).press("Enter");
    await page.getByRole("link", { name: "Rules", exact: true }).press("Enter");
    await headed(page, "Rules");
    await page.getByRole("link", { name: "One subject" }).press("Enter");
    await headed(page, "Subjects");
    await focused(page, "Subjects");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => document.activeElement?.getAttribute("href") === "#rules/subject/brakes");
    await page.keyboard.press("Enter");
    await focused(page, "Brakes on the towed car");
    await page.locator(".law-row a").first().waitFor();
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => document.activeElement?.closest(".law-row") !== null);
    // Tab after tab the list comes along.
    let last = 0;
    for (let presses = 0; last < 25; presses++) {
      assert.ok(presses < 200, `the list does not come along: row ${last}`);
      await page.keyboard.press("Tab"); // a row may hold several links
      await page.waitForFunction((was) => Number(document.activeElement?.closest("li")?.getAttribute("aria-posinset")) >= was, last);
      last = await page.evaluate(() => Number(document.activeElement.closest("li").getAttribute("aria-posinset")));
    }
    done();
  }

  /** A row of our own, with the network off: what it flips is shown before it is kept; it counts, is withdrawn, comes back, and survives a new start. */
  async function rulesEdit() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    await context.setOffline(true);
    await page.reload();
    await route(page, ["UT", "NV"]);
    await enter(page);
    await view(page, "All rows");
    await page.getByRole("link", { name: "Add a row" }).click();
    await headed(page, "Add a row");
    await page.getByLabel("State or province").selectOption("US-UT");
    await page.getByLabel("Subject", { exact: true }).selectOption("combination_length");
    await page.getByLabel("What it asks").fill("No pair may be longer than 20 ft.");
    await page.getByLabel("Whom the words cover").selectOption("any_towed_vehicle");
    await page.getByLabel("Figure", { exact: true }).fill("twenty");
    await page.getByLabel("Unit of the figure").selectOption("ft");
    await page.getByRole("textbox", { name: "Section" }).fill("Invented Act § 1");
    await page.getByLabel("What was read").selectOption("statute_text");
    await page.getByLabel("How well it is known").selectOption("high");
    await page.getByLabel("When it applies").fill("gross 3000 lb");
    await page.getByLabel("Note").fill("=cmd|' /C calc'!A0");
    await page.getByLabel("Your name").fill("Fitter");
    await page.getByLabel("Why").fill("They wrote to us.");
    const see = page.getByRole("button", { name: "See what it changes" });
    await see.click();
    // The core says what is wrong, at its field, and what was typed stays.
    await page.getByText("Something above cannot be kept").waitFor();
    assert.equal(await page.getByLabel("Figure", { exact: true }).getAttribute("aria-invalid"), "true");
    assert.equal(await page.getByLabel("Figure", { exact: true }).inputValue(), "twenty");
    await page.getByLabel("Figure", { exact: true }).fill("20");
    await page.getByLabel("When it applies").fill("gross over 1000 lb");
    await see.click();
    // The condition is read back in words before anything is kept.
    await page.locator('section[aria-labelledby="becomes-heading"]').getByText("Applies when: the car as loaded over 1,000 lb.").waitFor();
    const flips = page.locator('.impact [data-flips="true"]');
    await flips.first().waitFor();
    assert.match(await flips.first().innerText(), /→ Do not go/);
    await picture(page, "rules-impact-360.png");
    await assertNarrowly(page);
    await page.getByRole("button", { name: "Keep it" }).click();
    await headed(page, "Utah: The length of the pair");
    await page.getByText("Our own row").waitFor();
    await page.getByText("Applies when: the car as loaded over 1,000 lb.").waitFor();
    await verdictIs(page, "no_go");

    await page.reload();
    await page.goto(`${server.address}/#rules/row/US-UT.combination_length.ours`);
    await page.locator('.law-row[data-standing="added"]').waitFor();
    await page.getByText(/^Fitter, .*They wrote to us\.$/).first().waitFor();
    for (const [button, standing] of [["Withdraw it", "withdrawn"], ["Restore it", "added"]]) {
      await page.getByRole("button", { name: button }).click();
      assert.equal(await page.getByLabel("Your name").inputValue(), "Fitter", "who edits is remembered");
      await page.getByLabel("Why").fill(`Because: ${button}`);
      await page.getByRole("button", { name: "See what it changes" }).click();
      await page.locator('.impact [data-flips="true"]').first().waitFor();
      await page.getByRole("button", { name: "Keep it" }).click();
      await page.locator(`.law-row[data-standing="${standing}"]`).waitFor();
    }
    await page.waitForFunction(() => document.querySelectorAll(".rules ol.plain > li").length === 3);
    await picture(page, "rules-row-360.png", true);

    // A built-in row under a change: the old and the new are both there.
    await page.goto(`${server.address}/#rules/edit/US-UT.tail_lamps.1`);
    const requirement = page.getByLabel("What it asks");
    await page.waitForFunction(() => document.querySelector(".rules textarea")?.value.length > 10);
    await requirement.fill("Three tail lamps, as we read it now.");
    await page.getByLabel("Why").fill("Read again.");
    await page.getByRole("button", { name: "See what it changes" }).click();
    await page.getByRole("button", { name: "Keep it" }).click();
    await page.locator('.law-row[data-standing="changed"]').waitFor();
    await view(page, "All rows");
    await page.getByLabel("Only what we added").check();
    await page.waitForFunction(() => document.querySelectorAll(".law-row").length === 2);
    await view(page, "Coverage");
    await page.locator('[data-place="US-UT"] > summary').click();
    await page.locator('[data-place="US-UT"]').getByText("1 of ours").first().waitFor();
    await view(page, "In and out");
    await page.getByLabel("Which rows").selectOption("added");
    const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save a sheet" }).click()]);
    const sheet = fs.readFileSync(await download.path(), "utf8");
    assert.match(sheet, /'=cmd\|/, "no spreadsheet takes it for a formula");
    done();
  }

  /** Two phones without signal change one row; when they meet both say so, and a decision on one of them ends it on both. */
  async function rulesApart() {
    const server = await serve();
    const row = "US-UT.tail_lamps.1";
    const at = (page, address) => page.goto(`${server.address}/#${address}`);
    const [ann, ben] = [await open(server), await open(server)];
    for (const { page, context } of [ann, ben]) {
      await exchanged(page);
      await context.setOffline(true);
    }
    await at(ann.page, `rules/edit/${row}`);
    await ann.page.waitForFunction(() => document.querySelector(".rules textarea")?.value.length > 10);
    await ann.page.getByLabel("What it asks").fill("Three tail lamps, as Ann reads it.");
    await keepAs(ann.page, "Ann", "Read again.");
    await ann.page.locator('.law-row[data-standing="changed"]').waitFor();
    await at(ben.page, `rules/row/${row}`);
    await ben.page.getByRole("button", { name: "Withdraw it" }).click();
    await keepAs(ben.page, "Ben", "Repealed, they say.");
    await ben.page.locator('.law-row[data-standing="withdrawn"]').waitFor();
    assert.equal(await ben.page.locator(".apart").count(), 0, "alone nothing disagrees");

    for (const { page, context } of [ann, ben]) {
      await context.setOffline(false);
      await at(page, "departure");
      await page.reload();
      await exchanged(page);
    }
    await ann.page.reload();
    await exchanged(ann.page);
    for (const { page } of [ann, ben]) {
      await at(page, "rules");
      await page.locator(".apart-rows").getByRole("link", { name: "Utah: Tail lamps" }).click();
      const said = page.locator('.apart [data-apart]');
      await said.nth(1).waitFor();
      assert.deepEqual(await said.evaluateAll((all) => all.map((one) => [one.dataset.apart, one.querySelector("h3").textContent])), [["counts", "It counts: Ben"], ["other", "It does not count: Ann"]]);
      assert.match(await said.nth(0).innerText(), /Withdrawn: Ben, [^]*Repealed, they say\./);
      assert.match(await said.nth(1).innerText(), /Three tail lamps, as Ann reads it\./);
      await page.locator('.law-row[data-standing="withdrawn"]').waitFor();
    }
    await picture(ann.page, "rules-apart-360.png", true);
    await assertAccess(ann.page, "apart");
    await assertNarrow(ann.page);

    await ann.page.getByRole("button", { name: "Decide for Ann’s" }).click();
    await keepAs(ann.page, "Ann", "The office wrote: it stands.");
    await ann.page.locator('.law-row[data-standing="changed"]').waitFor();
    await ann.page.locator(".apart").waitFor({ state: "detached" });
    await at(ann.page, "departure");
    await exchanged(ann.page);
    await at(ben.page, "departure");
    await ben.page.reload();
    await exchanged(ben.page);
    await at(ben.page, `rules/row/${row}`);
    await ben.page.locator('.law-row[data-standing="changed"]', { hasText: "as Ann reads it" }).waitFor();
    await ben.page.waitForFunction(() => document.querySelectorAll(".rules ol.plain > li").length === 3);
    assert.equal(await ben.page.locator(".apart").count(), 0, "what is decided disagrees no more");
    ann.done();
    ben.done();
  }

  /** Ten thousand rows come in at once or not at all, stay smooth, and are there after a new start. */
  async function rulesMany() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    await context.setOffline(true);
    page.setDefaultTimeout(300_000);
    const sheet = (fault) => Buffer.from(`id,jurisdiction,subject,covers,requirement,source_kind,known\n${Array.from({ length: 10_000 }, (_, i) =>
      `US-VA.brakes.s${i},${i === fault ? "US-XX" : "US-VA"},brakes,unclear,"Row ${i}, as somebody said.",secondary,low`).join("\n")}\n`);
    await page.goto(`${server.address}/#rules/file`);
    await page.getByLabel("Your name").fill("Desk");
    await page.getByLabel("Why").fill("A table from elsewhere.");
    const file = page.getByLabel("A file of rows");
    await file.setInputFiles({ name: "rows.csv", mimeType: "text/csv", buffer: sheet(7000) });
    await page.locator(".problem", { hasText: "Line 7002, jurisdiction" }).waitFor();
    await file.setInputFiles({ name: "rows.csv", mimeType: "text/csv", buffer: Buffer.from("id\xff", "latin1") });
    await page.getByText("not text in UTF-8").waitFor();
    await view(page, "All rows");
    const count = () => page.locator(".windowed > li").first().getAttribute("aria-setsize").then(Number);
    await page.locator(".law-row").first().waitFor();
    const before = await count();
    await view(page, "In and out");
    await page.getByLabel("Why").fill("A table from elsewhere.");
    await page.getByLabel("A file of rows").setInputFiles({ name: "rows.csv", mimeType: "text/csv", buffer: sheet(-1) });
    await page.getByRole("button", { name: "Keep it" }).click();
    await page.getByText("Taken: 10,000 changes").or(page.getByText("Taken: 10000 changes")).waitFor();
    await page.reload();
    await view(page, "All rows");
    await page.waitForFunction((least) => Number(document.querySelector(".windowed > li")?.getAttribute("aria-setsize")) === least, before + 10_000);
    assert.ok((await page.locator(".windowed > li").count()) < 60);
    // Scrolling draws a handful of rows, not ten thousand: no step takes longer than a person notices.
    const slowest = await page.evaluate(async () => {
      const frames = [];
      for (let at = 0; at < 60; at++) {
        const began = performance.now();
        scrollTo(0, (document.documentElement.scrollHeight / 60) * at);
        await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)));
        frames.push(performance.now() - began);
      }
      return frames.sort((a, b) => a - b)[54];
    });
    console.log(`nine of ten steps within ${Math.round(slowest)} ms`);
    assert.ok(slowest < 500, `${slowest} ms`);
    await page.waitForFunction((last) => {
      scrollTo(0, document.documentElement.scrollHeight);
      return document.querySelector(`.windowed > [aria-posinset="${last}"]`) !== null;
    }, before + 10_000);
    done();
  }

  async function assertNarrowly(page) {
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.equal(wide, 0, "nothing is wider than the screen");
  }

  return { rulesEdit, rulesApart, rulesMany, rulesRead, rulesAccess, rulesPrint, rulesKeyboard };
}

async function enter(page) {
  await page.getByRole("link", { name: "More", exact: true }).click();
  await page.getByRole("link", { name: "Rules", exact: true }).click();
  await headed(page, "Rules");
}

async function view(page, words) {
  await page.getByRole("navigation", { name: "Ways to look" }).getByRole("link", { name: words }).click();
  await page.getByRole("navigation", { name: "Ways to look" }).locator('[aria-current="page"]', { hasText: words }).waitFor();
}

/** Keeps what is about to be done, under a name and for a reason. */
async function keepAs(page, by, why) {
  await page.getByLabel("Your name").fill(by);
  await page.getByLabel("Why").fill(why);
  await page.getByRole("button", { name: "See what it changes" }).click();
  await page.getByRole("button", { name: "Keep it" }).click();
}

/** The verdict that Departure gives now. */
async function verdictIs(page, verdict) {
  await page.getByRole("link", { name: "Departure", exact: true }).click();
  await page.getByRole("button", { name: "See the answer" }).click();
  await page.locator(`.verdict[data-verdict="${verdict}"]`).waitFor();
}

async function headed(page, words) {
  await page.getByRole("heading", { name: words, level: 1, exact: true }).waitFor();
}

async function focused(page, words) {
  await page.waitForFunction((text) => document.activeElement?.tagName === "H1" && document.activeElement.textContent === text, words);
}

/** Chooses the demo's rig that is ready, and the route. */
async function route(page, codes) {
  await page.getByRole("link", { name: "Departure", exact: true }).click();
  const rig = page.locator(".choice input").first();
  await rig.waitFor();
  await rig.check();
  const remove = page.locator(".route").getByRole("button", { name: /^Remove/ });
  while ((await remove.count()) > 0) {
    await remove.first().click();
  }
  const where = page.getByRole("combobox");
  for (const code of codes) {
    await where.fill(code);
    await page.getByRole("option").first().waitFor();
    await where.press("Enter");
  }
  await page.waitForFunction((n) => document.querySelectorAll(".route li").length === n, codes.length);
}
