/** The room Rules: the law as it was read, first along the route of the trip, then by place and by subject; and the workspace's own. */

import { useAddress, useHeading } from "../address.ts";
import type { Engine } from "../engine/client.ts";
import { Icon } from "../marks/icon.tsx";
import type { Store } from "../store/store.ts";
import { t } from "../words/text.ts";
import { useApart } from "./apart.ts";
import { AllRows, nameOf, OnePlace, OneSubject, Places, Subjects } from "./browse.tsx";
import { placeOf, useChanges } from "./changes.ts";
import { CoverageView } from "./coverage.tsx";
import { EditPage } from "./edit-page.tsx";
import { FilePage } from "./file-page.tsx";
import { subjectName } from "./names.ts";
import { RouteView } from "./route-view.tsx";
import { RowPage } from "./row-page.tsx";
import "./rules.css";
import { useLaw, type Law } from "./use-law.ts";

const VIEWS = ["route", "place", "subject", "rows", "coverage", "file"] as const;

export function RulesRoom({ engine, store }: { engine: Engine; store: Store }) {
  const [, view = "", which = ""] = useAddress();
  const heading = useHeading(`${view}/${which}`);
  const changes = useChanges(engine, store);
  const law = useLaw(engine, changes?.all);
  const apart = useApart(store);
  const shared = { law, heading, engine, store, changes };
  const shown = () => {
    switch (view) {
      case "place": return which ? <OnePlace {...shared} code={which} /> : <Places {...shared} />;
      case "subject": return which ? <OneSubject {...shared} subject={which} /> : <Subjects {...shared} />;
      case "rows": return <AllRows {...shared} leftOut={changes?.leftOut ?? []} />;
      case "coverage": return <CoverageView {...shared} />;
      case "file": return <FilePage {...shared} />;
      case "row": return <RowPage key={which} {...shared} id={which} />;
      case "edit": return <EditPage key={which} {...shared} id={which} adding={false} />;
      case "add": return <EditPage key="add" {...shared} id={which} adding />;
      default: return <RouteView {...shared} />;
    }
  };
  return (
    <div class="rules">
      <nav class="views" aria-label={t("rules.views_label")}>
        <ul>
          {VIEWS.map((id) => (
            <li key={id}>
              <a href={id === "route" ? "#rules" : `#rules/${id}`} aria-current={id === (view || "route") ? "page" : undefined}>{t(`rules.view.${id}`)}</a>
            </li>
          ))}
        </ul>
      </nav>
      {law && law !== "failed" && apart.length > 0 && !["row", "edit", "add"].includes(view) && <ApartRows law={law} rows={apart} />}
      {shown()}
    </div>
  );
}

/** Says of which rows two people's changes do not know of each other. */
function ApartRows({ law, rows }: { law: Law; rows: string[] }) {
  return (
    <section class="apart-rows no-print" aria-label={t("rules.apart")}>
      <p class="note tone-mind"><span>{t("rules.apart_rows")}</span></p>
      <ul class="links">
        {rows.map((id) => (
          <li key={id}>
            <a href={`#rules/row/${id}`}><span>{nameOf(law, placeOf(id))}: {subjectName(id.split(".")[1] ?? "")}</span><Icon name="chevron" size={18} /></a>
          </li>
        ))}
      </ul>
    </section>
  );
}
