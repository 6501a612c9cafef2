// The scenarios of the room Rules.

import assert from "node:assert/strict";
import * as path from "node:path";

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
      for (const [address, proof] of [["rules", ".route-table"], ["rules/place", ".law-places"], ["rules/place/US-CA", ".law-row"], ["rules/subject/brakes", ".law-row"], ["rules/rows", ".law-row"]]) {
        await page.goto(`${server.address}/#${address}`);
        await page.locator(proof).first().waitFor();
        await assertAccess(page, `${address} ${colorScheme} ${width}`);
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
    await page.locator(".route-table").waitFor();
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
    for (let i = 0; i < 25; i++) {
      const before = await page.evaluate(() => document.activeElement.closest("li")?.getAttribute("aria-posinset"));
      await page.keyboard.press("Tab");
      await page.waitForFunction((was) => Number(document.activeElement?.closest("li")?.getAttribute("aria-posinset")) > Number(was), before);
    }
    done();
  }

  return { rulesRead, rulesAccess, rulesPrint, rulesKeyboard };
}

async function enter(page) {
  await page.getByRole("link", { name: "More", exact: true }).click();
  await page.getByRole("link", { name: "Rules", exact: true }).click();
  await headed(page, "Rules");
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
