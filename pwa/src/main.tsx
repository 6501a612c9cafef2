/** Starts the app. */

import { render } from "preact";
import { App } from "./app.tsx";
import { Engine } from "./engine/client.ts";
import { RigStore } from "./keep/rigs.ts";
import { followTheme } from "./keep/theme.ts";
import "./style.css";

followTheme();
const root = document.getElementById("app");
if (root) {
  render(<App engine={new Engine()} store={new RigStore()} />, root);
}
