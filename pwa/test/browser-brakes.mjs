// The scenarios of brakes, breakaway and battery in the rig: curves, their tables, the measured stop.

import assert from "node:assert/strict";
import * as path from "node:path";
import { workList } from "./browser-walk.mjs";

const RIG = {
  name: "Braked pair",
  towing: { brake_kind: "hydraulic", actual: { weight: { lb: 20000 }, how: "scale" } },
  towed: {
    actual: { weight: { lb: 4000 }, how: "scale" }, booster: "vacuum", battery: "connected", ignition: "accessory",
    car_battery: { rated_ah: 60, rated_h: 20, chemistry: "flooded", rested_v: 12.6, age_years: 2 }, draw: { awake_a: 2.4, lamps_a: 0 }, steering_may_lock: true,
  },
  brake_unit: { fitted: true, actuation: "own_vacuum", powered_from: "car_battery", car_share_pct: 50, work_a: 14, idle_a: 0.2, least_v: 10.8 },
  harness: { charge_line: { fitted: true, to: "car_battery", source_v: 13.9, isolator: "relay", wire: { awg: 14, conductor: "stranded", length: { ft: 42 } }, contacts: 4, fuse_towing_a: 15, fuse_towed_a: 15, connector_a: 30 } },
  breakaway: { fitted: true, powered_from: "own_battery", battery: { rated_ah: 7, rated_h: 20, chemistry: "agm", rested_v: 12.8 }, hold_current_a: 12 },
};

const SECTIONS = ["stopping", "breakaway", "car-battery", "brake-unit"];

export function brakesScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  const picture = async (page, name) => {
    for (const id of SECTIONS) await page.locator(`#section-${id}`).screenshot({ path: path.join(screenshots, `${name}-${id}.png`) });
  };

  /** With no signal: a stop measured and entered step by step, its curve and table; the other curves; how to brake. */
  async function brakes() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await bring(page);
    await context.setOffline(true);
    await page.reload();
    await toSection(page, "stopping");
    const stopping = page.locator("#section-stopping");
    await stopping.getByText("Find out first", { exact: false }).first().waitFor();
    await measure(page, "9", /shorter than any road allows/); // shorter than any tire gives: refused, and still there
    await stopping.getByLabel(/^From where the stop lamps came on/).fill("26");
    await stopping.getByRole("button", { name: "Keep this stop" }).click();
    await stopping.getByRole("status").filter({ hasText: "Kept." }).waitFor();
    await drawn(stopping);
    // 31.2 ft with the car pushing, 28.4 ft with it braking half as hard as the motorhome: forces and masses added.
    await stopping.getByText("The figures as a table").click();
    const row = stopping.locator("tbody tr", { has: page.locator("th", { hasText: /^20$/ }) });
    assert.deepEqual(await row.locator("td").allInnerTexts(), ["26", "31.2", "28.4"]);
    assert.match(await stopping.locator(".curve-drawing").getAttribute("aria-label"), /Motorhome alone: 1\.6 ft at 5 mph/);
    await stopping.getByLabel("On a road that is").selectOption("ice");
    await page.waitForFunction(() => document.querySelector("#section-stopping tbody tr:nth-child(4) td").textContent !== "26");

    await toSection(page, "breakaway");
    await drawn(page.locator("#section-breakaway"));
    await toSection(page, "car-battery");
    const battery = page.locator("#section-car-battery");
    await battery.getByLabel("Driving in the day").fill("9");
    await battery.getByLabel("Halt in the middle").fill("1");
    await battery.getByLabel("Hilliest land").selectOption("hills");
    await battery.getByLabel("Temperature of the battery").fill("41");
    await drawn(battery);
    assert.equal(await battery.locator(".curve").count(), 2, "charge and volts");
    await battery.getByText("The brake unit loses its power").waitFor();

    await toSection(page, "brake-unit");
    const unit = page.locator("#section-brake-unit");
    await unit.getByText("Ways to brake the car").click();
    await unit.locator('.option[data-fit="ruled_out"] > summary').first().click();
    await unit.locator('.option[data-fit="ruled_out"] .entry-body', { hasText: "Ruled out:" }).first().waitFor();
    await picture(page, "brakes-360");
    done();
  }

  /** Nothing for axe in either theme, nothing wider than 320 px, forced colours, and print. */
  async function brakesAccess() {
    const server = await serve();
    for (const colorScheme of ["light", "dark"]) {
      const { page, context, done } = await open(server, { size: { ...PHONE, viewport: { width: 320, height: 800 }, colorScheme } });
      await bring(page);
      await toSection(page, "stopping");
      await measure(page, "26", /^Kept/);
      for (const id of SECTIONS) {
        await toSection(page, id);
      }
      await page.locator("#section-car-battery").getByLabel("Driving in the day").fill("9");
      await page.locator("#section-car-battery").getByLabel("Temperature of the battery").fill("41");
      for (const id of ["stopping", "breakaway", "car-battery"]) {
        await drawn(page.locator(`#section-${id}`));
      }
      for (const fold of await page.locator(".engineered details").all()) {
        await fold.evaluate((details) => (details.open = true));
      }
      await page.getByRole("button", { name: "Measure a stop" }).click();
      await page.getByRole("heading", { name: "First: is it safe?" }).waitFor();
      await assertAccess(page, `brakes ${colorScheme}`);
      await assertNarrow(page);
      await picture(page, `brakes-${colorScheme}-320`);
      // Another theme, a person's own colours and paper: the curve is drawn in what is asked for.
      const asked = colorScheme === "light" ? [{ forcedColors: "active" }, "forced"] : [{ media: "print" }, "print"];
      await page.emulateMedia(asked[0]);
      await drawn(page.locator("#section-stopping"));
      await picture(page, `brakes-${asked[1]}`);
      done();
      await context.close();
    }
  }

  /** With no signal: from the findings of a trip to the curves behind them, at the trip's figures; what the rig or the trip does not tell is named. */
  async function brakesOnTrip() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await bring(page, { ...RIG, stopping: { alone: { from: { mph: 20 }, distance: { ft: 26 }, how: "measured", on: "2026-09-13" } } });
    await context.setOffline(true);
    await page.getByRole("link", { name: "Departure", exact: true }).click();
    await page.getByRole("radio", { name: RIG.name }).check();
    const where = page.getByRole("combobox");
    for (const typed of ["rhode", "idaho", "california"]) {
      await where.fill(typed);
      await page.getByRole("option").first().waitFor();
      await where.press("Enter");
    }
    await page.getByRole("textbox", { name: "Driving in the day" }).fill("9");
    await page.getByRole("textbox", { name: "Steepest grade" }).fill("6");
    await page.getByRole("button", { name: "See the answer" }).click();
    await page.locator(".verdict").waitFor();

    // Without the trip's coldest and its speed neither kit, battery nor grade is judged, and each says which field it wants.
    assert.equal(await page.locator("#on-trip-hold .on-trip-part").innerText(), "", "nothing is asked before it is opened");
    for (const [part, field] of [["hold", "trip › Coldest on the way"], ["day", "trip › Coldest on the way"], ["descent", "trip › Fastest you will drive"]]) {
      await page.locator(`#on-trip-${part} > summary`).click();
      await page.locator(`#on-trip-${part}`, { hasText: "Find out first" }).getByText(field).first().waitFor();
      assert.equal(await page.locator(`#on-trip-${part} .curve`).count(), part === "hold" ? 1 : 0, part); // over all temperatures it can be reckoned
    }
    await page.getByRole("link", { name: "Change the trip" }).click();
    await page.getByRole("textbox", { name: "Coldest on the way" }).fill("32");
    await page.getByRole("textbox", { name: "Fastest you will drive" }).fill("60");
    await page.getByRole("button", { name: "See the answer" }).click();

    // From the finding to the curve.
    await openFinding(page, "brakes.stopping");
    await page.getByRole("button", { name: "Show how the pair stops" }).first().click();
    const stopping = page.locator("#on-trip-stopping");
    assert.equal(await stopping.evaluate((details) => details.querySelector("summary") === document.activeElement), true);
    await drawn(stopping);
    // 26 ft alone; half as hard 28.4 ft, by forces and masses added; from 60 mph nine times that.
    await stopping.getByText("Rhode Island (brakes on the car): 30 ft from 20 mph.").waitFor();
    const kept = (name) => stopping.locator(".limits > ul > li", { hasText: name }).first().locator(".kept").innerText();
    assert.equal(await kept("Rhode Island (brakes"), "Kept. The pair, the car braking: 28.4 ft");
    assert.equal(await kept("Rhode Island (no brakes"), "Kept. The pair, the car not braking: 31.2 ft");
    assert.equal(await kept("Idaho: 50 ft"), "Kept. The pair, the car braking: 28.4 ft");
    await stopping.getByText("No limit known: California.").waitFor();
    const from60 = await stopping.locator("dl.figures dd").allInnerTexts();
    assert.deepEqual(from60, ["234 ft", "280.8 ft", "255.3 ft"]);
    await stopping.getByText("Commercial yard-stick").click();
    const a1 = stopping.locator(".limits li", { hasText: "A1, passenger cars" });
    assert.match(await a1.innerText(), /20 ft from 20 mph, 65\.2 % of the weight/);
    assert.deepEqual(await a1.locator(".kept").evaluateAll((all) => all.map((one) => one.dataset.met)), ["false", "false", "false"]);
    await openFinding(page, "brakes.tightened.0");

    const descent = page.locator("#on-trip-descent");
    // 24,000 lb down 6 % at 60 mph: 10,886.2 kg × 9.80665 m/s² × sin(atan 0.06) × 26.822 m/s = 171.5 kW.
    await descent.getByText("171.5 kW").first().waitFor();
    const hold = page.locator("#on-trip-hold");
    await drawn(hold);
    await hold.getByText("Judged at 32 °F, the coldest of this trip.").waitFor();
    const day = page.locator("#on-trip-day");
    await drawn(day);
    await day.getByText("9 hours of driving in one piece. The battery at 32 °F").waitFor();
    await assertAccess(page, "brakes on a trip");
    await assertNarrow(page);
    for (const part of ["stopping", "descent", "hold", "day"]) await page.locator(`#on-trip-${part}`).screenshot({ path: path.join(screenshots, `on-trip-${part}.png`) });
    done();
  }

  /** With no signal: from the ways to brake the car to the unit's set-up tests, through their list to a dated record, kept with the rig and counted on Departure. */
  async function setUpTests() {
    const server = await serve();
    const { context, page, done } = await open(server);
    await bring(page, { ...RIG, towed: { ...RIG.towed, booster: "none" } });
    await context.setOffline(true);
    await toSection(page, "brake-unit");
    const unit = page.locator("#section-brake-unit");
    await unit.getByText(/^Set-up tests of this unit: 0 of \d+ passed$/).click();
    // A car without a booster: nothing to pump out, nothing that fades or sleeps. The kit is fitted, so its pin is pulled.
    assert.equal(await unit.locator(".set-up-tests li").count(), 8);
    await unit.getByRole("button", { name: "Work through them as a list" }).click();
    await page.getByRole("heading", { name: "Set-up tests", level: 1 }).waitFor();
    const seen = await workList(page);
    assert.ok(seen.some((words) => words.includes("pull the breakaway pin")), "the kit's own test");
    const order = ["test button", "pull the breakaway pin", "creep ahead", "At 5 mph", "from 20 to 25 mph", "feel near each hub", "wet or loose"].map((words) => seen.findIndex((step) => step.includes(words)));
    assert.deepEqual(order, [...order].sort((a, b) => a - b), "each is safer for the one before");
    await page.getByLabel("Where is this?").fill("Fennel Flats");
    await page.getByRole("button", { name: "Finish: keep the record" }).click();
    await page.locator(".verdict h2", { hasText: "Set up and tested" }).waitFor();
    assert.match(await page.locator(".verdict").innerText(), /\d\d:\d\d, Fennel Flats/);
    await page.getByText("Set-up tests passed and kept with the rig: 8.").waitFor();
    await page.screenshot({ path: path.join(screenshots, "set-up-record.png"), fullPage: true });
    await page.reload();
    await page.getByRole("link", { name: "To the rig's brake unit" }).click();
    await unit.getByText("Set-up tests of this unit: 8 of 8 passed").click();
    await unit.locator(".set-up-tests li .hint", { hasText: /^\d+ \w+ 20\d\d$/ }).first().waitFor();
    await unit.locator(".set-up-tests").screenshot({ path: path.join(screenshots, "set-up-tests.png") });
    await assertAccess(page, "set-up tests");
    await assertNarrow(page);
    await onDeparture(page, "ok");

    // A wheel locked after all: the rig must not go.
    await page.getByRole("link", { name: "Rig", exact: true }).click();
    await page.getByRole("link", { name: RIG.name }).click();
    await toSection(page, "brake-unit");
    await unit.getByText("Set-up tests of this unit: 8 of 8 passed").click();
    await unit.getByRole("radiogroup", { name: /wet or loose surface/ }).getByRole("radio", { name: "Not passed" }).check();
    await unit.getByText("Set-up tests of this unit: 7 of 8 passed").waitFor();
    await onDeparture(page, "no_go");
    done();
  }

  /** The verdict of the set-up tests in Departure's answer. */
  async function onDeparture(page, verdict) {
    await page.getByRole("link", { name: "Departure", exact: true }).click();
    await page.getByRole("radio", { name: RIG.name }).check();
    if ((await page.locator(".route li").count()) === 0) {
      await page.getByRole("combobox").fill("wyoming");
      await page.getByRole("option").first().waitFor();
      await page.getByRole("combobox").press("Enter");
    }
    await page.getByRole("button", { name: "See the answer" }).click();
    await page.locator(`.tone-${verdict}[data-finding="brakes.set-up"]`).waitFor({ state: "attached" });
  }

  return { brakes, brakesAccess, brakesOnTrip, setUpTests };
}

/** Opens a finding of Departure, and the folds that it lies in. */
async function openFinding(page, id) {
  const finding = page.locator(`[data-finding="${id}"]`).first();
  await finding.waitFor({ state: "attached" });
  await finding.evaluate((details) => {
    for (let at = details; at; at = at.parentElement?.closest("details")) at.open = true;
  });
}

/** The rig, kept on this device and opened. */
async function bring(page, rig = RIG) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
  await page.getByRole("link", { name: "Rig", exact: true }).click();
  await page.getByRole("button", { name: "Paste or open a rig" }).click();
  await page.getByLabel("Paste a rig as JSON").fill(JSON.stringify(rig));
  await page.getByRole("button", { name: "Check and keep" }).click();
  await page.getByRole("heading", { name: rig.name, level: 1 }).waitFor();
}

async function toSection(page, id) {
  const section = page.locator(`#section-${id}`);
  await section.waitFor({ state: "attached" });
  if (!(await section.evaluate((details) => details.open))) {
    await section.locator("> summary").click();
  }
  await page.waitForFunction((id) => document.querySelector(`#section-${id}`).open, id);
}

/** Goes through the steps with the motorhome alone from 20 mph, and waits for what is said at the end. */
async function measure(page, distance, said) {
  const stopping = page.locator("#section-stopping");
  await stopping.getByRole("button", { name: "Measure a stop" }).click();
  await stopping.getByRole("heading", { name: "First: is it safe?" }).waitFor();
  assert.equal(await stopping.getByRole("button", { name: "Next" }).isDisabled(), true, "first it must be safe");
  await stopping.getByLabel("All of this is so").check();
  await stopping.getByRole("button", { name: "Next" }).click();
  await stopping.getByRole("heading", { name: "What will stop, and how" }).waitFor();
  await stopping.getByRole("radio", { name: "Motorhome alone" }).check();
  await stopping.getByRole("button", { name: "Next" }).click();
  await stopping.getByRole("heading", { name: "What was measured" }).waitFor();
  await stopping.getByRole("button", { name: "Back" }).click(); // the way once more
  await stopping.getByText("Unhook the car first").waitFor();
  await stopping.getByRole("button", { name: "Next" }).click();
  await stopping.getByLabel(/Steady speed before/).fill("20");
  await stopping.getByLabel(/^From where the stop lamps came on/).fill(distance);
  await stopping.getByRole("button", { name: "Keep this stop" }).click();
  await stopping.locator('[role="alert"], [role="status"]').filter({ hasText: said }).first().waitFor();
}

/** Waits until every curve of the section is drawn. */
async function drawn(section) {
  await section.locator(".curve-drawing canvas").first().waitFor();
  await section.page().waitForFunction((id) => [...document.querySelectorAll(`#${id} .curve-drawing`)].every((one) => one.querySelector("canvas")), await section.getAttribute("id"));
}
