/** The theme: the device's own, unless a person chose one. */

export type Theme = "device" | "bright" | "night";

const GROUND = { bright: "#FBFAF6", night: "#0F1514" };

export function theme(): Theme {
  const chosen = document.documentElement.dataset.theme;
  return chosen === "bright" || chosen === "night" ? chosen : "device";
}

/** Sets and remembers the theme. public/theme.js reads it before the first paint. */
export function setTheme(chosen: Theme): void {
  if (chosen === "device") {
    delete document.documentElement.dataset.theme;
  } else {
    document.documentElement.dataset.theme = chosen;
  }
  colourTheFrame();
  try {
    if (chosen === "device") {
      localStorage.removeItem("theme");
    } else {
      localStorage.setItem("theme", chosen);
    }
  } catch {
    // Storage refused: the choice holds until the app is closed.
  }
}

/** Gives the browser's own frame the colour of the ground, now and when the device changes. */
export function followTheme(): void {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", colourTheFrame);
  colourTheFrame();
}

function colourTheFrame(): void {
  const device = matchMedia("(prefers-color-scheme: dark)").matches ? "night" : "bright";
  const chosen = theme();
  const colour = GROUND[chosen === "device" ? device : chosen];
  document.querySelector('meta[name="theme-color"]')?.setAttribute("content", colour);
}
