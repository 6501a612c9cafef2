/** What is missing of a rig, by place, and what each would let the engine answer. */

import { useEffect, useState } from "preact/hooks";
import type { Engine } from "../engine/client.ts";
import type { Finding } from "../engine/types.ts";
import type { Section } from "./fields.ts";

/** The rooms of the engine that look at a rig alone. */
const CHECKS = ["coupling/check", "lamps/check", "brakes/check", "battery/check"];

/** The find-out findings that name a field, each once; undefined until the engine has answered. */
export function useMissing(engine: Engine, rig: string): Finding[] | undefined {
  const [found, setFound] = useState<Finding[]>();
  useEffect(() => {
    let current = true;
    Promise.all(CHECKS.map((check) => engine.run<{ findings: Finding[] }>(check, `{"rig":${rig}}`))).then(
      (outcomes) => {
        const all = outcomes.flatMap((outcome) => (outcome.ok ? outcome.value.findings : []));
        const open = all.filter(({ verdict, fields }) => verdict === "find_out" && fields && fields.length > 0);
        if (current) setFound([...new Map(open.map((finding) => [finding.id, finding])).values()]);
      },
      () => {}, // the frame says that there is no engine
    );
    return () => {
      current = false;
    };
  }, [engine, rig]);
  return found;
}

/** Those that a section can answer: of the sections that cover a field, the one that names it most closely. */
export function inSection(findings: Finding[], section: Section, all: Section[]): Finding[] {
  const closest = (field: string) => all.reduce((best, one) => (reach(one, field) > reach(best, field) ? one : best));
  return findings.filter(({ fields }) => fields?.some((field) => reach(section, field) > 0 && closest(field).id === section.id));
}

/** How much of a field's pointer a section's covers name. */
function reach({ covers }: Section, field: string): number {
  return Math.max(0, ...covers.filter((cover) => field === cover || field.startsWith(`${cover}/`)).map(({ length }) => length));
}
