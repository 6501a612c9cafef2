/** The room Rules: the law as it was read, first along the route of the trip, then by place and by subject. */

import { useAddress, useHeading } from "../address.ts";
import type { Engine } from "../engine/client.ts";
import type { Store } from "../store/store.ts";
import { t } from "../words/text.ts";
import { AllRows, OnePlace, OneSubject, Places, Subjects } from "./browse.tsx";
import { RouteView } from "./route-view.tsx";
import "./rules.css";
import { useLaw } from "./use-law.ts";
import { VIEWS } from "./words.ts";

export function RulesRoom({ engine, store }: { engine: Engine; store: Store }) {
  const [, view = "", which = ""] = useAddress();
  const heading = useHeading(`${view}/${which}`);
  const law = useLaw(engine);
  const common = { law, heading };
  return (
    <div class="rules">
      <Views view={view} />
      {view === "place" && (which ? <OnePlace {...common} code={which} /> : <Places {...common} />)}
      {view === "subject" && (which ? <OneSubject {...common} subject={which} /> : <Subjects {...common} />)}
      {view === "rows" && <AllRows {...common} />}
      {!VIEWS.some((known) => known === view && known !== "") ? <RouteView engine={engine} store={store} heading={heading} /> : null}
    </div>
  );
}

function Views({ view }: { view: string }) {
  return (
    <nav class="views" aria-label={t("rules.views_label")}>
      <ul>
        {VIEWS.map((id) => (
          <li key={id}>
            <a href={id ? `#rules/${id}` : "#rules"} aria-current={id === view ? "page" : undefined}>{t(`rules.view.${id || "route"}`)}</a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
