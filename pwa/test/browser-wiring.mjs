// The scenario of the wiring map.

import assert from "node:assert/strict";
import * as path from "node:path";

export function wiringScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  /** With the network off: the map is drawn, follows what the form says, and its table says the same. */
  async function wiring() {
    const server = await serve();
    for (const [colorScheme, width] of [["light", 320], ["dark", 360], ["light", 1280]]) {
      const { context, page, done } = await open(server, { size: { ...PHONE, viewport: { width, height: 800 }, colorScheme } });
      await page.locator(".state", { hasText: "Ready offline" }).waitFor();
      await context.setOffline(true);
      await page.getByRole("link", { name: "Rig", exact: true }).click();
      await page.getByRole("button", { name: "New rig" }).click();
      await page.getByLabel("What you call this rig").waitFor();
      await unfold(page, "lamps");
      await page.locator('[data-at="/harness/approach"] select').selectOption("steering_diodes");
      await page.locator('[data-at="/harness/signals"] select').selectOption("combined");
      await unfold(page, "wiring");
      await page.locator("#section-wiring .wiring").scrollIntoViewIfNeeded();
      await settled(page);
      await page.getByText(/values it rests on are typical ones/).waitFor();
      await agrees(page);

      // A thinner wire: fewer volts, at once, in picture and table.
      const before = await least(page);
      await fill(page, "/harness/car_wire/awg", "22");
      await page.waitForFunction((before) => document.querySelector(".wiring-verdict span").textContent !== before, before.words);
      await settled(page);
      const thin = await least(page);
      assert.ok(thin.share < before.share, `22 AWG leaves less: ${JSON.stringify([before, thin])}`);
      assert.match(await page.locator('[data-link="car_left"]').innerText(), /22 AWG/);
      await agrees(page);

      // Another kind of diode, and a poorer ground.
      await page.locator('[data-at="/harness/diodes/kind"] select').selectOption("schottky");
      await changed(page, thin);
      const schottky = await least(page);
      assert.ok(schottky.share > thin.share, "a Schottky diode takes less");
      await fill(page, "/harness/ground/terminal_ohm", "0.5");
      await changed(page, schottky);
      assert.ok((await least(page)).share < schottky.share, "a poor ground takes more");
      await agrees(page);

      // Without the diodes there are none in the picture.
      assert.ok((await page.locator(".wiring-picture .diode").count()) > 0);
      await page.locator('[data-at="/harness/approach"] select').selectOption("separate_bulbs");
      await page.locator(".wiring-picture .diode").first().waitFor({ state: "detached" });
      await settled(page);
      await agrees(page);
      await page.locator('[data-at="/harness/approach"] select').selectOption("steering_diodes");
      await page.locator(".wiring-picture .diode").first().waitFor();
      await settled(page);

      // Each step shows what the lamps get in it.
      const step = page.getByLabel("Volts and light with");
      await step.selectOption({ label: "The left turn signal on" });
      await page.locator('.wiring [data-lamp="stop_right"] td', { hasText: /^0 V/ }).first().waitFor();
      const lit = await page.locator('.wiring [data-lamp="stop_left"] td').first().innerText();
      const volts = /([\d.]+) V, (\d+)/.exec(lit);
      assert.ok(volts && (await page.locator(".wiring-picture .light").allTextContents()).join(" ").includes(volts[0]), `the picture says ${lit} too`);

      for (const fold of await page.locator(".wiring details").all()) {
        await fold.evaluate((details) => (details.open = true));
      }
      await assertAccess(page, `wiring ${colorScheme} ${width}`);
      if (width < 400) await assertNarrow(page);
      await page.locator(".wiring").screenshot({ path: path.join(screenshots, `wiring-${colorScheme}-${width}.png`) });
      if (width === 1280) await onPaper(page);
      done();
      await context.close();
    }
  }

  /** Printed, the wiring stands alone, in black on white. */
  async function onPaper(page) {
    await page.evaluate(() => { globalThis.print = () => (globalThis.printed = true); });
    await page.getByRole("button", { name: "Print the wiring" }).press("Enter");
    await page.waitForFunction(() => globalThis.printed);
    await page.emulateMedia({ media: "print" });
    assert.equal(await page.locator(".wiring-picture").isVisible(), true);
    assert.equal(await page.locator('[data-at="/harness/car_wire/awg"]').isVisible(), false);
    assert.equal(await page.locator("#section-permission").isVisible(), false);
    await page.screenshot({ path: path.join(screenshots, "wiring-print.png"), fullPage: true });
    await page.evaluate(() => dispatchEvent(new Event("afterprint")));
    await page.emulateMedia({ media: "screen", forcedColors: "active" });
    await page.locator(".wiring").screenshot({ path: path.join(screenshots, "wiring-forced.png") });
  }

  return { wiring };
}

/** Opens a section of the rig. */
async function unfold(page, id) {
  const section = page.locator(`#section-${id}`);
  await section.waitFor();
  await section.evaluate((details) => (details.open = true));
}

async function fill(page, at, typed) {
  const input = page.locator(`[data-at="${at}"] input`);
  await input.fill(typed);
  await input.press("Enter");
}

/** Waits until the answer shown is that to the rig as it is. */
async function settled(page) {
  await page.locator('.wiring[aria-busy="false"] .wiring-picture').waitFor({ state: "attached" });
}

async function changed(page, { words }) {
  await page.waitForFunction((words) => document.querySelector(".wiring-verdict span").textContent !== words, words);
  await settled(page);
}

/** The share that the worst lamp gets, as it is said. */
async function least(page) {
  const words = await page.locator(".wiring-verdict span").innerText();
  return { words, share: Number(/([\d.]+) %/.exec(words)[1]) };
}

/** Every wire of the picture is a row of the table, and the other way round. */
async function agrees(page) {
  const ids = (selector, name) => page.locator(selector).evaluateAll((all, name) => all.map((one) => one.getAttribute(name)), name);
  const [drawn, listed] = [await ids(".wiring-picture [data-wire]", "data-wire"), await ids(".wiring [data-link]", "data-link")];
  assert.ok(drawn.length > 10, "a whole harness");
  assert.deepEqual(drawn, listed);
}
