/** Starts the app. */

import { render } from "preact";
import { App } from "./app.tsx";
import { Engine } from "./engine/client.ts";
import { followTheme } from "./keep/theme.ts";
import { letGoOfLoose } from "./photos/spoken.ts";
import { Store } from "./store/store.ts";
import type { SyncState } from "./store/sync.ts";
import { learn } from "./words/catalogue.ts";
import { loadTexts } from "./words/load.ts";
import "./style.css";

followTheme();
const root = document.getElementById("app");
if (root) {
  const engine = new Engine();
  void engine.words.then(learn);
  const store = new Store(engine);
  loadTexts().then(() => render(<App engine={engine} store={store} />, root), () => mute());
  keepUp(engine, store);
}

/** Without its texts the app cannot say anything: the page does. */
function mute(): void {
  document.getElementById("mute")?.removeAttribute("hidden");
}

/** How often edits of other phones are asked for while the app is looked at. */
const BEAT = 60_000;

/** Begins the store once the engine is there, and exchanges edits when the app or the network comes back, and while it is open. */
function keepUp(engine: Engine, store: Store): void {
  // The frame says when there is no engine; what is kept stays as it is.
  engine.versions.then(() => {
    setInterval(() => !NO_USE.has(store.standing().sync) && look(), BEAT);
    return store.begin().then(() => letGoOfLoose(store, Date.now()));
  }).catch(() => {});
  addEventListener("online", () => void store.sync());
  const look = () => {
    if (document.visibilityState === "visible" && store.standing().sync !== "never") void store.sync();
  };
  document.addEventListener("visibilitychange", look);
}

/** Asking again changes nothing until a person does something. */
const NO_USE = new Set<SyncState>(["off", "refused"]);
