/** The shapes of the contract that the app speaks of, generated from openapi.yaml. */

import type { components } from "../generated/api.ts";

type Schemas = components["schemas"];

export type Verdict = Schemas["Verdict"];
export type Param = Schemas["Param"];
export type Text = Schemas["Text"];
export type Figure = Schemas["Figure"];
export type Basis = Schemas["Basis"];
export type Finding = Schemas["Finding"];
export type ProblemDetails = Schemas["ProblemDetails"];
export type RigList = Schemas["RigList"];
export type KeptRig = Schemas["KeptRig"];

/** What the engine says of itself. */
export interface Versions {
  engine_version: string;
  facts_version: string;
  max_input: number;
  operations: string[];
}

export interface RowRef {
  id: string;
  requirement: string;
  citation?: string;
  url?: string;
  text_year?: number;
  source_kind: string;
  known: string;
  doubt?: string;
  note?: string;
}

export interface LawItem {
  subject: string;
  requirement: string;
  met: string;
  verdict: Verdict;
  says: Text;
  rows: RowRef[];
}

export interface Leg {
  jurisdiction: string;
  name: string;
  items: LawItem[];
  changes: Text[];
}

export interface Unread {
  jurisdiction: string;
  name: string;
  subject: string;
  requirement: string;
  meets_strictest: string;
  decides: boolean;
}

export interface Law {
  legs: Leg[];
  unread: Unread[];
}

export interface ReadinessReport {
  engine_version: string;
  facts_version: string;
  verdict: Verdict;
  answer: Text;
  findings: Finding[];
  law: Law;
  cautions: Text[];
  notice: Text;
}
