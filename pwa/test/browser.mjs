// Drives the app in a real browser against the real server, as a person would.
//
//	node test/browser.mjs PROGRAM SCENARIO SCREENSHOTS
//
// PROGRAM is the built pintail, SCENARIO one of those below, SCREENSHOTS a
// folder. Ends with status 1 and the reason when anything is not as it should
// be, a line on the browser's console included. CHROMIUM may name the browser.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import * as http from "node:http";
import * as path from "node:path";
import axe from "axe-core";
import { chromium } from "playwright-core";
import { brakesScenarios } from "./browser-brakes.mjs";
import { forcedScenarios } from "./browser-forced.mjs";
import { lampsScenarios } from "./browser-lamps.mjs";
import { photoScenarios } from "./browser-photos.mjs";
import { readerScenarios } from "./browser-reader.mjs";
import { rigScenarios } from "./browser-rig.mjs";
import { serverScenarios } from "./browser-server.mjs";
import { rulesScenarios } from "./browser-rules.mjs";
import { sharedScenarios } from "./browser-shared.mjs";
import { speedScenarios } from "./browser-speed.mjs";
import { storageScenarios } from "./browser-storage.mjs";
import { surveyScenarios } from "./browser-survey.mjs";
import { walkScenarios } from "./browser-walk.mjs";
import { wiringScenarios } from "./browser-wiring.mjs";

const [program, scenario, screenshots] = process.argv.slice(2);
const PHONE = { viewport: { width: 360, height: 740 } };
const scenarios = {
  offline, listenerGone, badRig, keyboard, access, narrow, refusedStorage, noEngine, noWords, update,
  ...walkScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...storageScenarios({ serve, open, screenshots }),
  ...photoScenarios({ serve, open, assertAccess, assertNarrow, screenshots }),
  ...sharedScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...rulesScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...rigScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...surveyScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...wiringScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...lampsScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...brakesScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...forcedScenarios({ serve, open, screenshots, PHONE }),
  ...readerScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
  ...speedScenarios({ serve, open }),
  ...serverScenarios({ program, serve, open, assertAccess, assertNarrow, screenshots, PHONE }),
};

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
const servers = [];
try {
  await scenarios[scenario]();
} catch (reason) {
  await pictureEach(`failed-${scenario}`);
  throw reason;
} finally {
  await browser.close();
  servers.forEach((server) => server.process.kill());
}

/** What every open page shows where a scenario failed. */
async function pictureEach(name) {
  for (const [at, page] of browser.contexts().flatMap((context) => context.pages()).entries()) {
    await page.screenshot({ path: path.join(screenshots, `${name}-${at}.png`), fullPage: true }).catch(() => {});
  }
}

/** With the browser's own offline switch. */
async function offline() {
  const server = await serve();
  const { context, page, done } = await open(server);
  await ready(page);
  await page.screenshot({ path: path.join(screenshots, "start-360.png") });
  await context.setOffline(true);
  await page.reload();
  await wholeJob(page);
  await page.screenshot({ path: path.join(screenshots, "answer-360.png") });
  // What was entered, and its answer, are there after another start, still with no signal.
  await page.reload();
  await page.locator(".verdict").waitFor();
  await page.getByRole("link", { name: "Change the trip" }).click();
  await ready(page);
  await routeIs(page, ["OR", "CA", "NV", "ID"]);
  done();
}

/** The server goes away while the browser believes that it is online. */
async function listenerGone() {
  const server = await serve();
  const { page, done } = await open(server);
  await ready(page);
  server.process.kill();
  await server.ended;
  assert.equal(await page.evaluate(() => navigator.onLine), true);
  await page.reload();
  await wholeJob(page);
  done();
}

/** Rig, four states, verdict, and a finding opened: the main job. */
async function wholeJob(page) {
  await ready(page);
  await page.getByRole("radio", { name: "Hallimund and Pellorin" }).check();
  await clearRoute(page);
  const where = page.getByRole("combobox");
  for (const typed of ["oregon", "CA", "neva", "id"]) {
    await where.fill(typed);
    await page.getByRole("option").first().waitFor();
    await where.press("Enter");
  }
  await routeIs(page, ["OR", "CA", "NV", "ID"]);
  await page.getByRole("textbox", { name: "Coldest on the way" }).fill("−4 °F");
  await page.getByRole("textbox", { name: "Driving in the day" }).fill("6:30");
  await page.getByRole("textbox", { name: "Steepest grade" }).fill("6 %");
  await page.getByRole("button", { name: "See the answer" }).click();
  const verdict = page.locator(".verdict");
  await verdict.waitFor();
  assert.equal(await verdict.getAttribute("data-verdict"), "no_go");
  assert.match(await verdict.innerText(), /Do not go/);
  // The answer was said, not only shown.
  assert.match(await page.locator('.result [role="status"]').innerText(), /^Do not go\. /);
  const finding = page.locator("details.finding").first();
  await finding.locator("summary").click();
  for (const heading of ["What to do", "Figures", "Basis"]) {
    await finding.getByRole("heading", { name: heading }).waitFor();
  }
}

/** A rig that the engine refuses is shown its fault, and nothing typed is lost. */
async function badRig() {
  const server = await serve();
  const { page, done } = await open(server);
  await ready(page);
  const before = await page.locator(".choice").count();
  await page.getByRole("button", { name: "Paste or open a rig" }).click();
  const bad = '{"name": "Mine", "towed": {"curb": {"lb": 3000, "kg": 1360}}}';
  const text = page.getByLabel("Paste a rig as JSON");
  await text.fill(bad);
  await page.getByRole("button", { name: "Check and keep" }).click();
  const problem = page.locator(".add-rig .problem");
  await problem.waitFor();
  assert.match(await problem.innerText(), /\/towed\/curb/);
  assert.equal(await text.inputValue(), bad);
  await page.screenshot({ path: path.join(screenshots, "bad-rig-360.png") });
  assert.equal(await page.locator(".choice").count(), before, "a refused rig is not kept");

  // A file whose bytes are no text is refused, not mended.
  await page.locator('input[type="file"]').setInputFiles({ name: "rig.json", mimeType: "application/json", buffer: Buffer.from('{"name":"\xff"}', "latin1") });
  await page.locator(".add-rig .problem", { hasText: "UTF-8" }).waitFor();

  await text.fill('{"name": "Mine", "towed": {"curb": {"lb": 3000}}}');
  await page.getByRole("button", { name: "Check and keep" }).click();
  await page.getByRole("radio", { name: "Mine" }).waitFor();
  assert.equal(await page.getByRole("radio", { name: "Mine" }).isChecked(), true);
  await page.reload();
  await ready(page);
  assert.equal(await page.getByRole("radio", { name: "Mine" }).isChecked(), true, "kept on the device");
  await page.getByRole("button", { name: "Remove Mine" }).click();
  await page.getByRole("button", { name: /^Everywhere/ }).or(page.getByRole("button", { name: "Undo" })).first().waitFor();
  if (await page.getByRole("button", { name: /^Everywhere/ }).isVisible()) {
    await page.getByRole("button", { name: /^Everywhere/ }).click(); // the server had it already
  }
  await page.getByRole("radio", { name: "Mine" }).waitFor({ state: "detached" });
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("radio", { name: "Mine" }).waitFor();

  // A figure that is no number is marked where it stands and stays.
  await clearRoute(page);
  await page.getByRole("combobox").fill("Oregon");
  await page.getByRole("combobox").press("Enter");
  await page.getByRole("textbox", { name: "Coldest on the way" }).fill("mild");
  await page.getByRole("button", { name: "See the answer" }).click();
  assert.equal(await page.getByRole("textbox", { name: "Coldest on the way" }).inputValue(), "mild");
  assert.equal(await page.getByRole("textbox", { name: "Coldest on the way" }).getAttribute("aria-invalid"), "true");
  await page.locator(".go .wrong", { hasText: "cannot be read" }).waitFor();
  assert.equal(await page.locator(".verdict").count(), 0, "no answer from a figure nobody can read");
  done();
}

/** The whole job without a pointer. */
async function keyboard() {
  const server = await serve();
  const { page, done } = await open(server, { size: { viewport: { width: 1280, height: 900 } } });
  await ready(page);
  await page.getByRole("radio").first().focus();
  await page.keyboard.press("Space");
  await page.locator(".choice input:checked").waitFor();
  await clearRoute(page);
  const where = page.getByRole("combobox");
  await where.focus();
  await page.keyboard.type("new m");
  await page.getByRole("option", { name: "New Mexico" }).waitFor();
  assert.equal(await where.getAttribute("aria-expanded"), "true");
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowUp");
  assert.equal(await page.locator(`[id="${await where.getAttribute("aria-activedescendant")}"]`).getAttribute("aria-selected"), "true");
  await page.keyboard.press("Enter");
  await routeIs(page, ["NM"]);
  await page.keyboard.type("atlantis");
  await page.keyboard.press("Enter");
  await page.getByText("No state or province begins with “atlantis”.").waitFor();
  await page.keyboard.press("Escape");
  await page.waitForFunction(() => document.querySelector('[role="combobox"]').value === "");
  await page.keyboard.type("TX");
  await page.getByRole("option", { name: "Texas" }).waitFor();
  await page.keyboard.press("Enter");
  await routeIs(page, ["NM", "TX"]);
  await page.getByRole("button", { name: "Move Texas earlier" }).press("Enter");
  await routeIs(page, ["TX", "NM"]);
  // Two panes: the answer stands beside the trip and follows it.
  await page.waitForFunction(() => document.querySelector(".strip abbr")?.textContent === "TX"); // the answer to this trip, not to the one before
  await page.locator("details.finding summary:visible").first().press("Enter");
  await page.locator("details.finding[open]").first().waitFor();
  await page.screenshot({ path: path.join(screenshots, "desk-1280.png") });
  done();
}

/** axe-core finds nothing wrong, in both themes, before and after the answer. */
async function access() {
  const server = await serve();
  for (const colorScheme of ["light", "dark"]) {
    const { page, context, done } = await open(server, { size: { ...PHONE, colorScheme } });
    await ready(page);
    await assertAccess(page, `${colorScheme} start`);
    await wholeJob(page);
    for (const fold of await page.locator(".answer details").all()) {
      await fold.evaluate((details) => (details.open = true));
    }
    await assertAccess(page, `${colorScheme} answer`);
    await page.screenshot({ path: path.join(screenshots, `all-open-${colorScheme}.png`), fullPage: true });
    await page.getByRole("link", { name: "More" }).click();
    await page.getByRole("heading", { name: "More" }).waitFor();
    await assertAccess(page, `${colorScheme} more`);
    done();
    await context.close();
  }
}

/** Nothing scrolls sideways at 320 px, and what is pressed is 48 px and more. */
async function narrow() {
  const server = await serve();
  const { page, done } = await open(server, { size: { viewport: { width: 320, height: 640 } } });
  await ready(page);
  await assertNarrow(page);
  await wholeJob(page);
  for (const fold of await page.locator(".answer details").all()) {
    await fold.evaluate((details) => (details.open = true));
  }
  await assertNarrow(page);
  await page.screenshot({ path: path.join(screenshots, "answer-320.png") });
  done();
}

/** A browser that refuses storage still answers, and says that nothing is kept. */
async function refusedStorage() {
  const server = await serve();
  const { page, done } = await open(server, {
    before: () => {
      Object.defineProperty(window, "indexedDB", { get: () => { throw new DOMException("refused", "SecurityError"); } });
      Object.defineProperty(window, "localStorage", { get: () => { throw new DOMException("refused", "SecurityError"); } });
    },
  });
  await page.getByText("This browser refuses to keep anything").first().waitFor();
  await wholeJob(page);
  done();
}

/** Without its engine the app shows, says so, and never claims to be ready. */
async function noEngine() {
  const server = await serve();
  const { page, done } = await open(server, {
    expected: /Failed to load resource|Service Worker registration blocked/,
    route: (context) => context.route("**/*.wasm", (route) => route.fulfill({ status: 503, body: "" })),
    size: { ...PHONE, serviceWorkers: "block" },
  });
  await page.getByText("did not load").first().waitFor();
  await page.getByRole("heading", { name: "May this rig leave?" }).waitFor();
  await page.getByRole("radio").first().waitFor();
  assert.doesNotMatch(await page.locator(".state").innerText(), /Ready/);
  done();
}

/** Without its texts the app draws nothing, and the page says why. */
async function noWords() {
  const server = await serve();
  const { page, done } = await open(server, {
    expected: /Failed to load resource|Service Worker registration blocked/,
    route: (context) => context.route("**/assets/*.json", (route) => route.fulfill({ status: 503, body: "" })),
    size: { ...PHONE, serviceWorkers: "block" },
  });
  await page.getByText("could not load its words").waitFor();
  assert.equal(await page.locator("#app *").count(), 0);
  done();
}

/** A newer version is offered; nothing reloads until a person accepts it. */
async function update() {
  const server = await inFrontOf(await serve());
  const { page, done } = await open(server);
  let loads = 0;
  page.on("load", () => loads++);
  await ready(page);
  assert.equal(loads, 0, "the first install reloads nothing");
  await page.reload();
  await ready(page);
  // The same worker with one byte more is a newer version to the browser.
  server.newer = true;
  await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.update());
  await page.getByText("A newer version is on this device").waitFor();
  await page.waitForTimeout(500);
  assert.equal(loads, 1, "nothing reloads by itself");
  await page.getByRole("button", { name: "Start it now" }).click();
  await page.waitForEvent("load");
  await ready(page);
  assert.equal(loads, 2, "it reloads once");
  done();
}

/** Starts the real server, with the demo unless told otherwise, on a port of its own. */
async function serve(how = ["--demo"]) {
  const child = spawn(program, ["serve", ...how, "--listen", "127.0.0.1:0"], { stdio: ["ignore", "pipe", "pipe"] });
  const server = { process: child, ended: new Promise((resolve) => child.once("exit", resolve)), address: "" };
  servers.push(server);
  server.address = await new Promise((resolve, reject) => {
    let said = "";
    child.stdout.on("data", (chunk) => {
      said += chunk;
      const found = /http:\/\/127\.0\.0\.1:\d+/.exec(said);
      if (found) resolve(found[0]);
    });
    child.stderr.on("data", (chunk) => (said += chunk));
    child.once("exit", (code) => reject(new Error(`the server ended with ${code}: ${said}`)));
  });
  return server;
}

/** Stands in front of a server, as a newer one in its place would: once told, its worker has a byte more. */
async function inFrontOf(server) {
  const front = { newer: false, address: "" };
  const proxy = http.createServer(async (request, response) => {
    const answer = await fetch(server.address + request.url);
    const more = front.newer && request.url === "/sw.js" ? "\n" : "";
    response.writeHead(answer.status, {
      "Content-Type": answer.headers.get("Content-Type") ?? "", "Cache-Control": "no-cache",
      "Content-Security-Policy": answer.headers.get("Content-Security-Policy") ?? "",
    });
    response.end(Buffer.concat([Buffer.from(await answer.arrayBuffer()), Buffer.from(more)]));
  });
  await new Promise((resolve) => proxy.listen(0, "127.0.0.1", resolve));
  proxy.unref();
  front.address = `http://127.0.0.1:${proxy.address().port}`;
  return front;
}

/** Opens the app in a fresh browser profile; done() fails on anything the console said. */
async function open(server, { size = PHONE, before, route, expected } = {}) {
  const context = await browser.newContext(size);
  await route?.(context);
  const page = await context.newPage();
  page.setDefaultTimeout(60_000); // a loaded machine is slow, not wrong
  const said = [];
  page.on("pageerror", (error) => said.push(`error: ${error.message}`));
  page.on("console", (message) => {
    // With no network the browser itself notes each request that fails: the app's
    // question for newer rigs and the browser's for a newer worker.
    const offline = /net::ERR_(INTERNET_DISCONNECTED|CONNECTION_REFUSED)/.test(message.text());
    if (!offline && !expected?.test(message.text())) said.push(`${message.type()}: ${message.text()}`);
  });
  if (before) await page.addInitScript(before);
  await page.goto(server.address);
  return { context, page, done: () => assert.deepEqual(said, [], "the console stays empty") };
}

async function ready(page) {
  await page.locator(".state", { hasText: "Ready offline" }).waitFor();
  await page.locator(".choice").first().waitFor();
}

async function clearRoute(page) {
  const remove = page.locator(".route").getByRole("button", { name: /^Remove/ });
  while ((await remove.count()) > 0) {
    await remove.first().click();
  }
}

/** Waits until the route is shown so, and the field for the next place is empty. */
async function routeIs(page, codes) {
  await page.waitForFunction(
    (want) => [...document.querySelectorAll(".route abbr")].map((leg) => leg.textContent).join() === want && document.querySelector('[role="combobox"]').value === "",
    codes.join(),
  );
}

/** With forced colours the contrast is the person's own choice; that nothing vanishes there is checked elsewhere. */
async function assertAccess(page, where, { forced = false } = {}) {
  // Evaluated, not added as a script: the content security policy stands.
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(
    (contrast) => globalThis.axe.run(document, { resultTypes: ["violations"], rules: { "color-contrast": { enabled: contrast } } }),
    !forced,
  );
  assert.deepEqual(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 200)).join(" | ")}`), [], where);
}

async function assertNarrow(page) {
  const { wide, small } = await page.evaluate(() => ({
    wide: document.documentElement.scrollWidth - innerWidth,
    // A link inside a sentence may be as tall as its line (WCAG 2.5.8).
    small: [...document.querySelectorAll("button, .button, input[type=text], input[type=search], input[type=date], select, textarea, summary, .choice, .switch label, .rooms a, .top a, .links a, [role=option]")]
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && (box.height < 48 || box.width < 48))
      .map(({ element, box }) => `${element.outerHTML.slice(0, 100)} ${box.width}×${box.height}`),
  }));
  assert.equal(wide, 0, "nothing is wider than the screen");
  assert.deepEqual(small, []);
}
