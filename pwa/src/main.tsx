/** Starts the app. */

import { render } from "preact";
import { App } from "./app.tsx";
import { Engine } from "./engine/client.ts";
import { followTheme } from "./keep/theme.ts";
import { Store } from "./store/store.ts";
import "./style.css";

followTheme();
const root = document.getElementById("app");
if (root) {
  const engine = new Engine();
  const store = new Store(engine);
  render(<App engine={engine} store={store} />, root);
  keepUp(engine, store);
}

/** Begins the store once the engine is there, and exchanges edits when the app or the network comes back. */
function keepUp(engine: Engine, store: Store): void {
  // The frame says when there is no engine; what is kept stays as it is.
  engine.versions.then(() => store.begin()).catch(() => {});
  addEventListener("online", () => void store.sync());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && store.standing().sync !== "never") void store.sync();
  });
}
