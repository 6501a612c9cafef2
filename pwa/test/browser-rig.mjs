// The scenarios of the room Rig and of what a device keeps.

import assert from "node:assert/strict";
import * as fs from "node:fs";
import * as path from "node:path";

export function rigScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  const picture = (page, name, full = true) => page.screenshot({ path: path.join(screenshots, name), fullPage: full });

  /** A rig typed from nothing on a phone, with the network off, found again after each start. */
  async function rigFromNothing() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await offlineReady(page);
    await context.setOffline(true);
    await page.reload();
    await typeRig(page);
    await picture(page, "rig-360.png");
    await page.reload();
    await assertRig(page);
    // Departure can take it at once.
    await page.getByRole("link", { name: "Departure" }).click();
    await page.getByRole("radio", { name: "Hallimund" }).first().waitFor();
    await page.getByRole("radio", { name: "My own pair" }).check();

    // What cannot be read, or is not possible, stays where it stands and says why.
    await page.getByRole("link", { name: "Rig", exact: true }).click();
    await page.getByRole("link", { name: "My own pair" }).click();
    await section(page, "Motorhome");
    const weight = page.getByLabel("Most it may weigh (GVWR)").first();
    for (const [typed, why] of [["heavy", /not understood/], ["12 lb", /2000 to 150000/]]) {
      await weight.fill(typed);
      await weight.blur();
      await page.locator(".wrong", { hasText: why }).waitFor();
      assert.equal(await weight.inputValue(), typed);
    }
    // It is still there after another start, marked as not kept, with a figure that was never left; what was kept before holds.
    await page.getByLabel("Overall length").first().fill("32 feet or");
    await page.reload();
    await section(page, "Motorhome");
    assert.equal(await weight.inputValue(), "12 lb");
    await page.locator('[data-at="/towing/gvwr"] .wrong', { hasText: "Not kept" }).waitFor();
    await page.locator('[data-at="/towing/length"] .wrong', { hasText: /Not kept: “32 feet or” is not understood/ }).waitFor();
    assert.deepEqual(await gvwrKept(page), { lb: 26000 });
    await page.getByLabel("Overall length").first().fill("31 ft 6 in");
    await weight.fill("26,000 lb");
    await weight.blur();
    await page.locator('[data-at="/towing/gvwr"] .wrong:empty').waitFor({ state: "attached" });
    await page.reload();
    await section(page, "Motorhome");
    assert.equal(await weight.inputValue(), "26,000 lb");
    assert.equal(await page.locator(".wrong", { hasText: "Not kept" }).count(), 0, "given up, it is gone");

    // Undo takes back the last edit; a removed rig comes back whole.
    await weight.fill("12000 kg");
    await weight.blur();
    await page.getByRole("button", { name: "Undo" }).click();
    await page.waitForFunction((input) => input.value === "26,000 lb", await weight.elementHandle());
    await page.getByRole("link", { name: "All rigs" }).click();
    await page.getByRole("button", { name: "Remove My own pair" }).click();
    await page.getByRole("link", { name: "My own pair" }).waitFor({ state: "detached" });
    await page.getByRole("button", { name: "Undo" }).click();
    await page.getByRole("link", { name: "My own pair" }).click();
    await assertRig(page);
    done();
  }

  /** Export on one profile and import on another: equal; twice changes nothing; a bad file changes nothing. */
  async function carry() {
    const server = await serve();
    const one = await open(server);
    await offlineReady(one.page);
    await typeRig(one.page);
    const first = await exported(one.page);
    await one.context.close();
    const two = await open(server, { route: (context) => context.route("**/v1/entries*", (route) => route.abort()), expected: /net::ERR_FAILED/ });
    await offlineReady(two.page);
    await two.page.getByRole("link", { name: "More" }).click();
    const file = two.page.getByLabel("A saved copy");
    await file.setInputFiles({ name: "a.json", mimeType: "application/json", buffer: Buffer.from('{"entries": 1}') });
    await two.page.locator(".problem", { hasText: "not an export" }).waitFor();
    await file.setInputFiles({ name: "a.json", mimeType: "application/json", buffer: Buffer.from(first) });
    await two.page.getByText(/Brought in: \d+ edits/).waitFor();
    assert.equal(await exported(two.page), first);
    await file.setInputFiles({ name: "a.json", mimeType: "application/json", buffer: Buffer.from(first) });
    await two.page.getByText("here already").waitFor();
    await two.page.getByRole("link", { name: "Rig", exact: true }).click();
    await two.page.getByRole("link", { name: "My own pair" }).click();
    await assertRig(two.page);
    two.done();
  }

  /** Two tabs of one profile see each other's edits and lose none. */
  async function twoTabs() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await offlineReady(page);
    await newRig(page);
    const other = await context.newPage();
    await other.goto(page.url());
    await other.getByLabel("What you call this rig").waitFor();
    await Promise.all([
      type(page, "What you call this rig", "Both tabs"),
      section(other, "Motorhome").then(() => type(other, "Make, model and year", "Orrel Drover")),
    ]);
    await section(page, "Motorhome");
    for (const tab of [page, other]) {
      await tab.getByRole("heading", { name: "Both tabs", level: 1 }).waitFor();
      await tab.waitForFunction(() => [...document.querySelectorAll("input")].some((input) => input.value === "Orrel Drover"));
    }
    done();
  }

  /** Nothing for axe in either theme, nothing wider than 320 px, and the desk. */
  async function rigAccess() {
    const server = await serve();
    for (const [colorScheme, width] of [["light", 320], ["dark", 360], ["light", 1280], ["dark", 1280]]) {
      const { page, context, done } = await open(server, { size: { ...PHONE, viewport: { width, height: 800 }, colorScheme } });
      await offlineReady(page);
      await page.getByRole("link", { name: "Rig", exact: true }).click();
      await page.getByRole("heading", { name: "Rigs", level: 1 }).waitFor();
      await assertAccess(page, `rigs ${colorScheme}`);
      await picture(page, `rigs-${colorScheme}-${width}.png`, false);
      if (width < 400) await assertNarrow(page);
      await page.getByRole("button", { name: /^Copy/ }).first().click();
      await page.getByLabel("What you call this rig").waitFor();
      await page.locator(".rig-section .quiet", { hasText: /missing|complete/ }).first().waitFor();
      await picture(page, `rig-top-${colorScheme}-${width}.png`, false);
      for (const fold of await page.locator("main details").all()) {
        await fold.evaluate((details) => (details.open = true));
      }
      await page.locator(".coupling-picture, .picture-missing").first().waitFor();
      await assertAccess(page, `rig ${colorScheme}`);
      if (width < 400) await assertNarrow(page);
      await picture(page, `rig-open-${colorScheme}-${width}.png`);
      await page.getByRole("link", { name: "More" }).click();
      await page.getByRole("heading", { name: "What this device keeps" }).waitFor();
      await assertAccess(page, `more ${colorScheme}`);
      if (width < 400) await assertNarrow(page);
      await picture(page, `more-${colorScheme}-${width}.png`);
      done();
      await context.close();
    }
  }

  /** On a desk: how far the rig is on the left, its fields on the right, led through by the keyboard. */
  async function rigDesk() {
    const server = await serve();
    const { page, done } = await open(server, { size: { viewport: { width: 1280, height: 800 } } });
    await offlineReady(page);
    await page.getByRole("link", { name: "Rig", exact: true }).press("Enter");
    // The focus is where the next thing is, there and back: on the heading of what is shown.
    const onHeading = (words) => page.waitForFunction((words) => document.activeElement?.localName === "h1" && document.activeElement.textContent === words, words);
    await page.getByRole("button", { name: "New rig" }).press("Enter");
    await onHeading("New rig");
    await page.getByRole("link", { name: "All rigs" }).press("Enter");
    await onHeading("Rigs");
    await page.getByRole("button", { name: "New rig" }).press("Enter");
    await onHeading("New rig");
    const nav = page.getByRole("navigation", { name: "Sections of this rig" });
    await nav.locator(".quiet", { hasText: "missing" }).first().waitFor();
    const [left, right] = await Promise.all([page.locator(".rig-overview").boundingBox(), page.locator(".rig-section").first().boundingBox()]);
    assert.ok(left.x + left.width <= right.x + 16 && right.width > left.width, `two panes: ${JSON.stringify([left, right])}`);
    await nav.getByRole("link", { name: /^Breakaway kit/ }).press("Enter");
    await page.waitForFunction(() => document.activeElement === document.querySelector("#section-breakaway > summary"));
    assert.equal(await page.locator("#section-breakaway").evaluate((section) => section.open), true);
    await page.keyboard.press("Tab"); // what is missing, folded
    const age = page.locator("#section-breakaway").getByLabel("Age", { exact: true });
    await age.fill("3");
    await age.blur();
    assert.ok((await nav.boundingBox()).y >= 0, "the overview stays while the fields are gone through");
    await picture(page, "rig-desk-1280.png", false);
    // An address with a section leads there too, and Back goes through them.
    await nav.getByRole("link", { name: /^Motorhome/ }).click();
    await page.waitForFunction(() => document.activeElement === document.querySelector("#section-motorhome > summary"));
    await page.goBack();
    await page.waitForFunction(() => document.activeElement === document.querySelector("#section-breakaway > summary"));
    await page.reload();
    await page.waitForFunction(() => document.querySelector("#section-breakaway")?.open === true);
    assert.equal(await age.inputValue(), "3");
    await assertAccess(page, "rig on a desk");
    done();
  }

  return { rigFromNothing, carry, twoTabs, rigAccess, rigDesk };
}

async function offlineReady(page) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
}

async function newRig(page) {
  await page.getByRole("link", { name: "Rig", exact: true }).click();
  await page.getByRole("button", { name: "New rig" }).click();
  await page.getByLabel("What you call this rig").waitFor();
}

async function section(page, title) {
  const details = page.locator(".rig-section", { has: page.getByRole("heading", { name: title, level: 2 }) });
  if (!(await details.evaluate((element) => element.open))) {
    await details.locator("> summary").click();
  }
}

async function type(page, label, text) {
  const field = page.getByLabel(label, { exact: true }).first();
  await field.fill(text);
  await field.blur();
}

/** Permission, both vehicles, a part, a cable, heights, lamps, a step of the manual. */
async function typeRig(page) {
  await newRig(page);
  await type(page, "What you call this rig", "My own pair");
  await page.getByLabel("The manual says").selectOption("allowed");
  await type(page, "Read on", "2026-05-02");
  await section(page, "Motorhome");
  await type(page, "Most it may weigh (GVWR)", "26000 lbs");
  await type(page, "Overall length", "31 ft 6 in");
  await section(page, "Coupling chain");
  await page.getByRole("button", { name: "Add a part" }).click();
  const part = page.locator(".entry[data-entry]", { hasText: "Receiver" });
  await part.locator("summary").click();
  await part.getByLabel("Rating", { exact: true }).fill("4 500 kg");
  await part.getByLabel("Rating", { exact: true }).blur();
  await type(page, "Pin height at the motorhome", "18 1/2");
  await type(page, "Pin height at the car", "16 in");
  await type(page, "Length of the bar", "5 ft");
  await page.locator(".coupling-picture").waitFor();
  await section(page, "The manual's steps");
  await page.getByRole("button", { name: "Add a step" }).click();
  await type(page, "The step", "Gear lever to neutral");
  await page.locator(".entry[data-entry]", { hasText: "Hook-up" }).waitFor();
  await page.getByRole("radiogroup", { name: "Cables cross under the bar" }).getByRole("radio", { name: "Yes", exact: true }).check();
}

async function assertRig(page) {
  await page.getByRole("heading", { name: "My own pair", level: 1 }).waitFor();
  for (const title of ["Motorhome", "Coupling chain", "The manual's steps"]) {
    await section(page, title);
  }
  assert.equal(await page.getByLabel("The manual says").inputValue(), "allowed");
  assert.equal(await page.getByLabel("Read on", { exact: true }).inputValue(), "2026-05-02");
  assert.equal(await page.getByLabel("Most it may weigh (GVWR)").first().inputValue(), "26,000 lb");
  assert.equal(await page.getByLabel("Overall length").first().inputValue(), "31 ft 6 in");
  assert.equal(await page.getByLabel("Pin height at the motorhome").inputValue(), "18.5 in");
  await page.locator(".entry[data-entry]", { hasText: "4,500 kg" }).waitFor();
  await page.locator(".entry[data-entry]", { hasText: "Gear lever to neutral" }).waitFor();
  assert.match(await page.locator(".coupling-picture svg").getAttribute("aria-label"), /falls 2\.4° towards the car/);
  assert.equal(await page.getByRole("radiogroup", { name: "Cables cross under the bar" }).getByRole("radio", { name: "Yes", exact: true }).isChecked(), true);
}

/** What the journal on this device says of the first rig's GVWR. */
function gvwrKept(page) {
  return page.evaluate(async () => {
    const db = await new Promise((resolve) => {
      const opening = indexedDB.open("pintail");
      opening.onsuccess = () => resolve(opening.result);
    });
    const rows = await new Promise((resolve) => {
      const asking = db.transaction("documents").objectStore("documents").getAll();
      asking.onsuccess = () => resolve(asking.result);
    });
    db.close();
    return rows.find(({ document }) => document?.name === "My own pair")?.document.towing.gvwr;
  });
}

async function exported(page) {
  await page.getByRole("link", { name: "More" }).click();
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save a copy of everything" }).click()]);
  return fs.readFileSync(await download.path(), "utf8");
}
