// A person's own colours (forced-colors: active) on every screen: scenarios of test/browser.mjs.

import assert from "node:assert/strict";
import * as path from "node:path";

const RIG = "Hallimund and Pellorin";

export function forcedScenarios({ serve, open, screenshots, PHONE }) {
  /** Marks, fields, what is chosen and what has the focus are seen, whatever theme was chosen before. */
  async function forced() {
    const server = await serve();
    for (const [colorScheme, theme] of [["dark", "bright"], ["light", "night"]]) {
      const { page, context, done } = await open(server, {
        size: { ...PHONE, colorScheme, forcedColors: "active" },
        before: `try { localStorage.setItem("theme", "${theme}"); } catch { /* the worker's page has none */ }`,
      });
      const look = async (where, wanted) => {
        assert.deepEqual(await page.evaluate(unseen, wanted), [], `${colorScheme}, ${where}`);
        await page.screenshot({ path: path.join(screenshots, `forced-${colorScheme}-${where}.png`) });
      };
      await page.locator(".state", { hasText: "Ready offline" }).waitFor();
      await page.getByRole("radio", { name: RIG }).first().check(); // its copy of the theme before is there by then
      await page.getByRole("combobox").fill("Oregon");
      await page.getByRole("option").first().waitFor();
      await look("departure", ["input", ".icon", ".switch", ".choice", "[aria-selected=true]", "[aria-current]"]);
      await page.getByRole("combobox").press("Enter");
      await focused(page, colorScheme);
      await page.getByRole("button", { name: "See the answer" }).click();
      await page.locator(".verdict").waitFor();
      await page.locator("details.finding summary:visible").first().click();
      await look("answer", [".mark", ".verdict", ".finding"]);

      await room(page, "Rig");
      await page.getByRole("button", { name: `Copy ${RIG}` }).first().click();
      await page.getByLabel("What you call this rig").waitFor();
      await page.locator(".rig-section > summary", { hasText: "Coupling chain" }).click();
      await page.locator(".coupling-picture").waitFor();
      await look("rig", ["input", "select", ".coupling-picture path", ".coupling-picture .pin", ".rig-section"]);

      await room(page, "Walk-round");
      await page.getByRole("radio", { name: "Ostrevan and Kibbit" }).check();
      await page.getByRole("button", { name: /^Hook-up/ }).click();
      await page.locator(".station").waitFor();
      await page.locator(".stand").first().getByRole("button", { name: /^Done/ }).click();
      await page.locator(".stand-done").first().waitFor();
      await look("walk", [".mark", ".icon", ".place-picture *", ".stand", "progress"]);
      while ((await page.locator(".stand-blocked").count()) === 0) {
        await page.getByRole("button", { name: "Place after" }).click();
      }
      await look("blocked", [".stand-blocked", ".jump"]);

      await page.goto(`${server.address}/#trouble`);
      await page.getByRole("heading", { name: "Or by what you notice" }).waitFor();
      await look("trouble", ["input", ".links a"]);
      await page.getByRole("link", { name: /^Smoke/ }).click();
      await page.locator(".failures a").first().click();
      await page.locator(".urgency").waitFor();
      await look("failure", [".mark", ".urgency", ".never .boxed"]);
      await room(page, "More");
      await page.getByRole("heading", { name: "Server" }).waitFor();
      await look("more", [".switch", "select", ".icon"]);
      done();
      await context.close();
    }
  }

  return { forced };
}

async function room(page, name) {
  await page.getByRole("navigation", { name: "Rooms" }).getByRole("link", { name, exact: true }).click();
}

/** What has the focus wears an outline that is seen: a field, a button, a choice, a link, a fold. */
async function focused(page, scheme) {
  const worn = new Map();
  for (let press = 0; press < 60 && worn.size < 5; press++) {
    await page.keyboard.press("Tab");
    const { kind, seen } = await page.evaluate(() => {
      const here = document.activeElement;
      const wearer = here.closest(".switch label, .choice") ?? here;
      const { outlineStyle, outlineWidth, outlineColor } = getComputedStyle(wearer);
      const kind = here.matches("[type=radio]") ? "choice" : here.localName;
      // The button in a date wears the browser's own ring.
      if (here === document.body || !here.matches(":focus, :focus-within")) return { kind: "none", seen: true };
      return { kind, seen: outlineStyle !== "none" && parseFloat(outlineWidth) >= 2 && outlineColor !== getComputedStyle(document.body).backgroundColor };
    });
    worn.set(kind, (worn.get(kind) ?? true) && seen);
  }
  assert.ok(worn.size >= 4, `${scheme}: ${[...worn.keys()]}`);
  assert.deepEqual([...worn].filter(([, seen]) => !seen).map(([kind]) => kind), [], `${scheme}: focus is not seen`);
}

/** Runs in the page: what of the wanted things is not there, or cannot be told from what lies behind it. */
function unseen(wanted) {
  const rgb = (colour) => (/\d+(\.\d+)?/g[Symbol.match](colour) ?? []).map(Number);
  const light = (colour) => {
    const [r, g, b] = rgb(colour).slice(0, 3).map((part) => (part / 255 <= 0.04045 ? part / 255 / 12.92 : ((part / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  // WCAG 2.2, success criterion 1.4.11: 3:1 for what is needed to understand a picture or a control.
  const apart = (a, b) => (Math.max(light(a), light(b)) + 0.05) / (Math.min(light(a), light(b)) + 0.05) >= 3;
  const clear = (colour) => colour === "none" || (rgb(colour).length === 4 && rgb(colour)[3] === 0);
  const behind = (element) => {
    for (let here = element.parentElement; here; here = here.parentElement) {
      const colour = getComputedStyle(here).backgroundColor;
      if (!clear(colour)) return colour;
    }
    return getComputedStyle(document.documentElement).backgroundColor.replace("rgba(0, 0, 0, 0)", "rgb(255, 255, 255)");
  };
  const isSeen = (element) => {
    const style = getComputedStyle(element);
    const back = behind(element);
    if (element instanceof SVGElement && element.localName !== "svg") {
      return [style.stroke, style.fill].some((colour) => !clear(colour) && apart(colour, back));
    }
    if (element.localName === "svg") {
      return [...element.querySelectorAll("path, ellipse, circle, rect")].every(isSeen);
    }
    const edges = ["Top", "Right", "Bottom", "Left"].some((side) => style[`border${side}Style`] !== "none" && parseFloat(style[`border${side}Width`]) > 0 && apart(style[`border${side}Color`], back));
    return edges || apart(style.color, clear(style.backgroundColor) ? back : style.backgroundColor) && !element.matches("input, select, .switch, .choice, .stand, progress, .finding, .verdict");
  };
  return wanted.flatMap((selector) => {
    const shown = [...document.querySelectorAll(selector)].filter((element) => element.getClientRects().length > 0 && !element.matches(".switch input, .choice input"));
    return shown.length === 0 ? [`no ${selector}`] : shown.filter((element) => !isSeen(element)).map((element) => `${selector}: ${element.outerHTML.slice(0, 120)}`);
  });
}
