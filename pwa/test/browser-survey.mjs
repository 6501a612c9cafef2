// The scenario of the survey of a motorhome's socket.

import assert from "node:assert/strict";
import * as path from "node:path";

export function surveyScenarios({ serve, open, assertAccess, assertNarrow, screenshots, PHONE }) {
  /** With the network off: measured pin by pin, the fault found with its ohms, entered in the rig, taken back, kept. */
  async function survey() {
    const server = await serve();
    for (const [colorScheme, width] of [["light", 360], ["dark", 320]]) {
      const { context, page, done } = await open(server, { size: { ...PHONE, viewport: { width, height: 740 }, colorScheme } });
      const picture = (name) => page.screenshot({ path: path.join(screenshots, `survey-${name}-${width}-${colorScheme}.png`), fullPage: true });
      await page.locator(".state", { hasText: "Ready offline" }).waitFor();
      await context.setOffline(true);
      await page.getByRole("link", { name: "Rig", exact: true }).click();
      await page.getByRole("button", { name: "New rig" }).click();
      await page.getByLabel("What you call this rig").fill("Ambleford and Tavvy");
      await page.keyboard.press("Tab");
      await page.getByRole("link", { name: "Lamps", exact: true }).click();
      await page.locator("#lamps-rig").selectOption({ label: "Ambleford and Tavvy" });
      await page.getByRole("button", { name: "Survey the motorhome's socket" }).click();
      await page.getByRole("heading", { name: "Survey of the motorhome's socket" }).waitFor();
      await page.getByText("Nothing has been measured yet.").waitFor();
      await assertAccess(page, "a survey that begins");
      await picture("begin");

      const row = (id) => page.locator(`[data-row="${id}"]`);
      const unfold = (group) => page.locator(`[data-group="${group}"] > summary`).click();
      const type = async (id, label, typed) => {
        const field = row(id).getByLabel(label);
        await field.fill(typed);
        await field.press("Tab");
      };
      await type("supply-off", "Without load", "13,6 V");
      await unfold("left");
      await type("left-left", "Without load", "400");
      await row("left-left").getByText(/Not kept/).waitFor();
      await type("left-left", "Without load", "13.5");
      await type("left-left", "With the test lamp", "13.1 volts");
      await type("left-brake", "Without load", "13.5");
      await type("left-brake", "With the test lamp", "-7.0");
      await type("left-off", "To ground", "OL");
      await row("left-hazard_brake").getByRole("radio", { name: "Yes" }).check();

      // The fault stands in the stop branch, with ohms and what it costs.
      const fault = page.locator('[data-finding="survey.motorhome-fault"]');
      await fault.waitFor();
      assert.match(await fault.innerText(), /stop branch.*4\.3\d Ω too much/s);
      await page.getByText(/With the brake pedal down|stop lamp gets/).first().waitFor();
      await assertAccess(page, "a fault found");
      await assertNarrow(page);
      await picture("fault");

      // What was typed outlives a new start, still with no signal.
      await page.reload();
      await fault.waitFor();
      await unfold("left");
      assert.equal(await row("left-left").getByLabel("With the test lamp").inputValue(), "13.1");
      assert.equal(await row("left-off").getByLabel("To ground").inputValue(), "OL");

      // One entry goes into the rig, then all; the last can be taken back.
      const edit = (field) => page.locator(`[data-field="${field}"]`);
      await edit("/harness/signals").getByRole("button", { name: /^Enter it/ }).click();
      await edit("/harness/signals").getByText("Entered as measured").waitFor();
      await page.getByRole("button", { name: /^Enter all/ }).click();
      await edit("/towing/circuits/left/ohm").getByText("Entered as measured").waitFor();
      await picture("entered");
      await page.getByRole("button", { name: "Take back the last entry" }).click();
      await edit("/towing/circuits/left/ohm").getByRole("button", { name: /^Enter it/ }).waitFor();
      await edit("/harness/signals").getByText("Entered as measured").waitFor();
      await page.getByRole("button", { name: /^Enter all/ }).click();
      await edit("/towing/circuits/left/ohm").getByText("Entered as measured").waitFor();

      // It is kept, and listed with its result; the rig says what it learned.
      await page.getByRole("button", { name: "Keep as a record" }).click();
      await page.getByText("Kept as a record. Something wrong was found.").waitFor();
      await assertAccess(page, "a survey on record");
      await picture("kept");
      await page.getByRole("link", { name: "Lamps" }).first().click();
      await page.getByRole("link", { name: /Socket survey: Ambleford and Tavvy.*Something wrong was found/s }).waitFor();
      await picture("room");
      await page.getByRole("link", { name: "Rig", exact: true }).click();
      await page.getByRole("link", { name: /Ambleford and Tavvy/ }).click();
      await page.locator("#section-lamps > summary").click();
      assert.equal(await page.locator('[data-at="/harness/signals"] select').inputValue(), "combined");
      done();
      await context.close();
    }
  }

  return { survey };
}
