/** What the room Lamps has to say at a light step of a walk-round: the light test made for it, or the way to make one. */

import { Icon } from "../marks/icon.tsx";
import { isRunning, keptTests, momentOf, type Kept } from "../lamps/record.ts";
import type { Write } from "../store/journal.ts";
import type { Store } from "../store/store.ts";
import { useDocuments } from "../store/use-store.ts";
import { t } from "../words/text.ts";
import { idOf, pointer, type Walk } from "./walk.ts";
import { when } from "./when.ts";

/** The steps of a list, or those to be tested again after a repair, that a light test in the room Lamps works through. */
const LIGHT = /^(again\.)?light_/;

export function isLightStep(step: string): boolean {
  return LIGHT.test(step);
}

/** The rig's newest finished light test since the list was begun. An older one proves an older hook-up. */
export function useLightTestSince(store: Store, { rig, started }: Walk): Kept | undefined {
  return newestSince(keptTests(useDocuments(store, "test")), rig, started);
}

/** `tests` are the newest first. */
export function newestSince(tests: Kept[] | undefined, rig: string, started = Infinity): Kept | undefined {
  return tests?.find(({ value }) => value.kind === "light_test" && value.rig === rig && !isRunning(value) && momentOf(value) >= started);
}

/** The writes that have a tick name the test that shows what was seen, if it passed. */
export function namedBy(test: Kept | undefined, step: string, device: string): Write[] {
  return isLightStep(step) && test?.value.result === "passed" ? [{ path: pointer("ticks", step, device, "test"), value: idOf(test.doc) }] : [];
}

export function LightProof({ test, rig }: { test: Kept | undefined; rig: string }) {
  if (!test) {
    return <a class="button wide jump" href={`#lamps/of/${rig}`}><span>{t("light.run")}</span> <Icon name="chevron" size={18} /></a>;
  }
  const { result = "open" } = test.value;
  return (
    <a class={`button wide jump${result === "passed" ? "" : " tone-mind"}`} href={`#lamps/${idOf(test.doc)}`}>
      <span>{t("light.made", { when: when(momentOf(test.value)), result: t(`lamps.result.${result}`) })}</span> <Icon name="chevron" size={18} />
    </a>
  );
}
