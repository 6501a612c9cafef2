/** Everything that is not a trip: how things stand, the theme, versions, limits. */

import { useState } from "preact/hooks";
import { Switch } from "../departure/conditions.tsx";
import type { Versions } from "../engine/types.ts";
import { setTheme, theme, type Theme } from "../keep/theme.ts";
import { Icon } from "../marks/icon.tsx";
import type { Offline } from "../offline.ts";
import type { Store } from "../store/store.ts";
import { LANGUAGES, type Language } from "../words/languages.ts";
import { setReader } from "../words/reader.ts";
import { t } from "../words/text.ts";
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

export function More({ store, offline, versions, failed, lasting }: Props) {
  const [chosen, setChosen] = useState<Theme>(theme());
  const { units, language } = useReader();
  return (
    <div class="more">
      <h1>{t("room.more")}</h1>
      <ul class="links">
        <li>
          <a href="#rules">
            <Icon name="rules" size={28} /> <span>{t("more.rules")}</span> <Icon name="chevron" size={18} />
          </a>
        </li>
        <li>
          <a href="#trouble">
            <Icon name="trouble" size={28} /> <span>{t("trouble")}</span> <Icon name="chevron" size={18} />
          </a>
        </li>
      </ul>
      <section aria-labelledby="theme-heading">
        <h2 id="theme-heading">{t("more.screen")}</h2>
        <Switch
          labelled="theme-heading"
          value={chosen}
          options={[["device", t("more.device")], ["bright", t("more.bright")], ["night", t("more.night")]]}
          onChange={(next) => {
            setTheme(next);
            setChosen(next);
          }}
        />
      </section>
      <section aria-labelledby="units-heading">
        <h2 id="units-heading">{t("more.units")}</h2>
        <p class="hint">{t("more.units_hint")}</p>
        <Switch labelled="units-heading" value={units} options={[["us", t("more.us")], ["metric", t("more.metric")]]} onChange={(next) => setReader({ units: next })} />
      </section>
      <section aria-labelledby="language-heading">
        <h2 id="language-heading">{t("more.language")}</h2>
        <select aria-labelledby="language-heading" value={language} onChange={(event) => setReader({ language: event.currentTarget.value as Language })}>
          {Object.entries(LANGUAGES).map(([code, { name }]) => <option key={code} value={code} lang={code}>{name}</option>)}
        </select>
        <p class="hint">{t("more.language_hint")}</p>
      </section>
      <KeptHere store={store} />
      <ServerKey store={store} />
      <section aria-labelledby="offline-heading">
        <h2 id="offline-heading">{t("more.offline")}</h2>
        <p>{failed ? t("more.no_engine", { why: failed }) : t(`offline.${offline}`)}</p>
        {!lasting && <p class="quiet">{t("more.not_lasting")}</p>}
      </section>
      <section aria-labelledby="about-heading">
        <h2 id="about-heading">{t("more.about")}</h2>
        <p>{t("more.notice")}</p>
        <dl class="versions">
          <div><dt>{t("more.engine")}</dt><dd>{versions?.engine_version ?? t("more.not_loaded")}</dd></div>
          <div><dt>{t("more.facts")}</dt><dd>{versions?.facts_version ?? t("more.not_loaded")}</dd></div>
        </dl>
      </section>
    </div>
  );
}
