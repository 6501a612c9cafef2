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
export type ReadinessReport = Schemas["ReadinessReport"];
export type TestRecord = Schemas["TestRecord"];
export type Law = Schemas["Law"];
export type Leg = Schemas["Leg"];
export type LawItem = Schemas["LawItem"];
export type LawRow = Schemas["LawRow"];
export type Unread = Schemas["Unread"];
export type RuleRow = Schemas["RuleRow"];
export type RuleRowAt = Schemas["RuleRowAt"];
export type RuleChange = Schemas["RuleChange"];
export type SeenRuleChange = Schemas["SeenRuleChange"];
export type RuleCondition = Schemas["RuleCondition"];
export type RulesImported = Schemas["RulesImported"];
export type RulesExported = Schemas["RulesExported"];
export type CoverageReport = Schemas["CoverageReport"];
export type PlaceCoverage = Schemas["PlaceCoverage"];
export type ImpactReport = Schemas["ImpactReport"];
export type LawSubject = Schemas["LawSubject"];
export type Requirement = Schemas["Requirement"];
export type Met = Schemas["Met"];
export type Coverage = Schemas["Coverage"];
export type Jurisdiction = Schemas["Jurisdiction"];
export type Registry = Schemas["Registry"];
export type TroubleReport = Schemas["TroubleReport"];
export type SymptomGroup = Schemas["SymptomGroup"];
export type Failure = Schemas["Failure"];
export type WalkroundKind = Schemas["WalkroundKind"];
export type WalkroundRun = Schemas["WalkroundRun"];
export type WalkroundRunReport = Schemas["WalkroundRunReport"];
export type Stand = Schemas["Stand"];
export type Tick = Schemas["Tick"];
export type Change = Schemas["Change"];
export type Happening = Schemas["Happening"];
export type HookedUp = Schemas["HookedUp"];
export type HookedUpReport = Schemas["HookedUpReport"];
export type RunRecord = Schemas["RunRecord"];
export type WalkroundReport = Schemas["WalkroundReport"];
export type LightTestReport = Schemas["LightTestReport"];
export type LightTestStep = Schemas["LightTestStep"];
export type ExpectedPicture = Schemas["ExpectedPicture"];
export type ExpectedLamp = Schemas["ExpectedLamp"];
export type Lens = Schemas["Lens"];
export type Glow = Schemas["Glow"];
export type PlanReport = Schemas["PlanReport"];
export type PlanPoint = Schemas["PlanPoint"];
export type PlanLink = Schemas["PlanLink"];
export type PlanFix = Schemas["PlanFix"];
export type PlanStanding = Schemas["PlanStanding"];
export type WiringValue = Schemas["WiringValue"];
export type ChoiceInput = Schemas["ChoiceInput"];
export type ChoiceReport = Schemas["ChoiceReport"];
export type BrakeOption = Schemas["Option"];
export type StoppingInput = Schemas["StoppingInput"];
export type StoppingReport = Schemas["StoppingReport"];
export type StopCase = Schemas["StopCase"];
export type LimitResult = Schemas["LimitResult"];
export type ClassResult = Schemas["ClassResult"];
export type GradeReport = Schemas["GradeReport"];
export type Descent = Schemas["Descent"];
export type Road = Schemas["Road"];
export type Speed = Schemas["Speed"];
export type HoldReport = Schemas["HoldReport"];
export type DayReport = Schemas["DayReport"];
export type Segment = Schemas["Segment"];
export type Until = Schemas["Until"];
export type Temperature = Schemas["Temperature"];
/** The trip as the engine takes it. */
export type EngineTrip = Schemas["Trip"];

/** What the engine says of itself. */
export interface Versions {
  engine_version: string;
  facts_version: string;
  max_input: number;
  operations: string[];
}
