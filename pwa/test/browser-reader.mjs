// What the reader chooses, units and language, holds on every screen: scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import * as path from "node:path";

/** The rig of the demo that must not go: its motorhome is over its GVWR. */
const RIG = "Hallimund and Pellorin";

export function readerScenarios({ serve, open, screenshots, PHONE }) {
  /** Metric from the settings to every figure; what was entered, and limits of law, keep their own unit beside it. */
  async function units() {
    const server = await serve();
    const { page, done } = await open(server, { size: PHONE });
    await page.locator(".state", { hasText: "Ready offline" }).waitFor();
    await page.getByRole("radio", { name: RIG }).check();
    await route(page, ["oregon", "CA", "neva"]);
    await answer(page);
    assert.match(await says(page, "coupling.motorhome-gvwr"), /18,640 lb/);

    await choose(page, "kg, m, °C");
    await room(page, "Departure");
    assert.equal(await page.getByRole("radiogroup", { name: "Unit: Coldest on the way" }).getByRole("radio", { name: "°F" }).isChecked(), true, "a typed figure keeps its unit");
    await page.getByRole("textbox", { name: "Coldest on the way" }).fill("");
    await choose(page, "lb, ft, °F");
    await choose(page, "kg, m, °C");
    await room(page, "Departure");
    assert.equal(await page.getByRole("radiogroup", { name: "Unit: Coldest on the way" }).getByRole("radio", { name: "°C" }).isChecked(), true);
    await answer(page);
    // 18,640 lb × 0.453 592 37 = 8,454.96 kg, and 640 lb = 290.3 kg (NIST SP 811).
    const over = await says(page, "coupling.motorhome-gvwr");
    assert.match(over, /8,455 kg: 290 kg more than its GVWR of 8,165 kg/);
    assert.doesNotMatch(await page.locator('.result [role="status"]').innerText(), /\d lb/, "read aloud as it is shown");
    const finding = page.locator('[data-finding="coupling.motorhome-gvwr"]');
    await finding.locator("summary").click();
    await finding.locator(".figures dd", { hasText: "8,455 kg (18,640 lb) entered" }).waitFor();
    for (const text of await page.locator(".finding:not([data-finding^='law.']) .finding-says").allTextContents()) {
      assert.doesNotMatch(text.replace("From 20 mph", ""), /\d (lb|ft|in|mph|°F)\b/, text); // the speed that the law names
    }
    // Nevada: 50 ft from 20 mph, and 65 ft together; California: 55 mph. The law's own unit stands beside each.
    for (const [subject, limit] of [["stopping_distance", "15.24 m (50 ft)"], ["combination_length", "19.81 m (65 ft)"], ["speed", "89 km/h (55 mph)"]]) {
      const figures = await page.locator(`[data-finding^="law.${subject}"] .figures`).first().textContent();
      assert.ok(figures.includes(limit), `${subject}: ${figures}`);
    }
    await page.screenshot({ path: path.join(screenshots, "units-answer-360.png"), fullPage: true });

    // A rig's figures stand as entered, with the reader's beside them; one typed bare means the reader's.
    await room(page, "Rig");
    await page.getByRole("button", { name: `Copy ${RIG}` }).click();
    await page.getByLabel("What you call this rig").waitFor();
    await page.locator(".rig-section > summary", { hasText: "Motorhome" }).click();
    const gvwr = page.locator('[data-at="/towing/gvwr"]');
    assert.equal(await gvwr.locator("input").inputValue(), "18,000 lb");
    await gvwr.locator(".converse", { hasText: "= 8,165 kg" }).waitFor();
    await page.screenshot({ path: path.join(screenshots, "units-rig-360.png"), fullPage: true });
    const before = await edits(page);
    await room(page, "More");
    await choose(page, "lb, ft, °F");
    await choose(page, "kg, m, °C");
    assert.equal(await edits(page), before, "choosing units writes nothing into what is kept");
    await page.goBack();
    await page.locator(".rig-section > summary", { hasText: "Motorhome" }).click();
    await gvwr.locator("input").fill("8200");
    await gvwr.locator("input").blur();
    await page.waitForFunction(() => document.querySelector('[data-at="/towing/gvwr"] input')?.value === "8,200 kg");
    await gvwr.locator(".converse").waitFor({ state: "detached" });

    // A reading at the hubs is asked for and judged in them, after another start too.
    await page.reload();
    await room(page, "Walk-round");
    await page.getByRole("radio", { name: "Ostrevan and Kibbit" }).check();
    await page.getByRole("button", { name: /^Roadside check/ }).click();
    await page.locator(".station").waitFor();
    await page.locator('[data-step="motorhome_held"]').getByRole("button", { name: /^Done/ }).click(); // the hubs come after it
    await page.locator('.stand-done[data-step="motorhome_held"]').waitFor();
    const reading = page.locator(".reading", { hasText: "Hottest hub" });
    while ((await reading.count()) === 0) {
      await page.getByRole("button", { name: "Place after" }).click();
    }
    assert.equal(await reading.getByRole("radio", { name: "°C" }).isChecked(), true);
    assert.match(await reading.locator("> label").innerText(), /about \d+ °C at most/);
    await reading.getByRole("textbox").fill("35");
    await reading.getByRole("textbox").press("Tab");
    await reading.locator(".judged", { hasText: "35 °C" }).waitFor();
    done();
  }

  return { units };
}

async function room(page, name) {
  await page.getByRole("navigation", { name: "Rooms" }).getByRole("link", { name, exact: true }).click();
}

async function choose(page, words) {
  await room(page, "More");
  await page.getByRole("radiogroup", { name: "Units" }).getByRole("radio", { name: words }).check();
}

async function route(page, places) {
  const where = page.getByRole("combobox");
  while ((await page.locator(".route").getByRole("button", { name: /^Remove/ }).count()) > 0) {
    await page.locator(".route").getByRole("button", { name: /^Remove/ }).first().click();
  }
  for (const typed of places) {
    await where.fill(typed);
    await page.getByRole("option").first().waitFor();
    await where.press("Enter");
  }
  await page.getByRole("textbox", { name: "Coldest on the way" }).fill("20");
}

async function answer(page) {
  await page.getByRole("button", { name: "See the answer" }).click();
  await page.locator(".verdict").waitFor();
}

function says(page, finding) {
  return page.locator(`[data-finding="${finding}"] .finding-says`).textContent();
}

/** How many edits this device keeps. */
function edits(page) {
  return page.evaluate(async () => {
    const db = await new Promise((resolve) => {
      const opening = indexedDB.open("pintail");
      opening.onsuccess = () => resolve(opening.result);
    });
    const count = await new Promise((resolve) => {
      const asking = db.transaction("entries").objectStore("entries").count();
      asking.onsuccess = () => resolve(asking.result);
    });
    db.close();
    return count;
  });
}
