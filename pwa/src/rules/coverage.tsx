/** How far the law of every place was read. */

import { shortCode } from "../departure/places.ts";
import type { Coverage } from "../engine/types.ts";
import { Icon } from "../marks/icon.tsx";
import { showNumber } from "../words/format.ts";
import { t } from "../words/text.ts";
import { HowFar, Ready, type ViewProps } from "./browse.tsx";

const KINDS: Coverage[] = ["read", "partly", "silent", "not_found"];

export function CoverageView({ law, heading }: ViewProps) {
  return (
    <>
      <h1 ref={heading} tabIndex={-1}>{t("rules.coverage")}</h1>
      <p class="hint">{t("rules.coverage_hint")}</p>
      <Ready law={law}>
        {({ places, totals }) => (
          <>
            <dl class="versions totals">
              {KINDS.map((kind) => <div key={kind}><dt>{t(`coverage.${kind}`)}</dt><dd>{showNumber(totals[kind])}</dd></div>)}
            </dl>
            {places.map((place) => (
              <details key={place.jurisdiction} class="folded small" data-place={place.jurisdiction}>
                <summary>
                  <Icon name="chevron" size={16} />
                  <span><abbr title={place.name}>{shortCode(place.jurisdiction)}</abbr> {place.name}</span>
                  <span class="quiet">
                    {KINDS.map((kind) => [kind, place.subjects.filter(({ coverage }) => coverage === kind).length] as const)
                      .filter(([, n]) => n > 0).map(([kind, n]) => `${n} ${t(`coverage.${kind}`)}`).join(" · ")}
                  </span>
                </summary>
                <HowFar place={place} />
                <a href={`#rules/place/${place.jurisdiction}`}>{t("rules.rows_read")}</a>
              </details>
            ))}
          </>
        )}
      </Ready>
    </>
  );
}
