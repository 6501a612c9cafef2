/** Everything that is not a trip: how things stand, the theme, versions, limits. */

import { useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { Versions } from "../engine/types.ts";
import { setTheme, theme, type Theme } from "../keep/theme.ts";
import { Icon } from "../marks/icon.tsx";
import type { Offline } from "../offline.ts";
import type { Store } from "../store/store.ts";
import { setReader } from "../words/reader.ts";
import { wordFor } from "../words/say.tsx";
import { useReader } from "../words/use-reader.ts";
import { KeptHere } from "./kept.tsx";
import { ServerKey } from "./server-key.tsx";

interface Props {
  store: Store;
  offline: Offline;
  versions: Versions | undefined;
  failed: string;
  lasting: boolean;
}

const OFFLINE: Record<Offline, string> = {
  getting: "Being fetched for use with no signal. Keep this page open a moment.",
  ready: "Ready. Every file is on this device and the engine runs: the app opens and answers with no signal.",
  incomplete: "Some files are missing on this device. Load the page again where there is signal.",
  refused: "This browser, or this address, does not let the app be kept. An address that begins with https:// is needed for that; private windows often refuse.",
};

export function More({ store, offline, versions, failed, lasting }: Props) {
  const [chosen, setChosen] = useState<Theme>(theme());
  const { units } = useReader();
  return (
    <div class="more">
      <h1>More</h1>
      <ul class="links">
        <li>
          <a href="#rules">
            <Icon name="rules" size={28} /> <span>Rules</span> <Icon name="chevron" size={18} />
          </a>
        </li>
        <li>
          <a href="#trouble">
            <Icon name="trouble" size={28} /> <span>Something is wrong</span> <Icon name="chevron" size={18} />
          </a>
        </li>
      </ul>
      <section aria-labelledby="theme-heading">
        <h2 id="theme-heading">Screen</h2>
        <Switch
          labelled="theme-heading"
          value={chosen}
          options={[["device", "As the device"], ["bright", "Bright"], ["night", "Night"]]}
          onChange={(next) => {
            setTheme(next);
            setChosen(next);
          }}
        />
      </section>
      <section aria-labelledby="units-heading">
        <h2 id="units-heading">Units</h2>
        <p class="hint">
          Every figure is shown in them, and one typed without a unit means them. What you entered stays as you entered it; limits of law are shown in the law's own units too.
        </p>
        <Switch labelled="units-heading" value={units} options={[["us", "lb, ft, °F"], ["metric", "kg, m, °C"]]} onChange={(next) => setReader({ units: next })} />
      </section>
      <KeptHere store={store} />
      <ServerKey store={store} />
      <section aria-labelledby="offline-heading">
        <h2 id="offline-heading">Without signal</h2>
        <p>{failed ? `The engine did not load: ${failed}.` : OFFLINE[offline]}</p>
        {!lasting && <p class="quiet">This browser refuses to keep anything; rigs and trips stay until it is closed.</p>}
      </section>
      <section aria-labelledby="about-heading">
        <h2 id="about-heading">About the answers</h2>
        <p>{wordFor("trip.notice")}</p>
        <dl class="versions">
          <div><dt>Engine</dt><dd>{versions?.engine_version ?? "not loaded"}</dd></div>
          <div><dt>Facts</dt><dd>{versions?.facts_version ?? "not loaded"}</dd></div>
        </dl>
      </section>
    </div>
  );
}
