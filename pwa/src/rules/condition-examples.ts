/** What can stand in a condition, as it is written in one line. */

import type { LawWeight, RuleCondition } from "../engine/types.ts";

/** The weights that a condition may name, as it writes them. */
export const WEIGHTS: LawWeight[] = [
  "gross", "gvwr", "unladen", "carried", "registered", "towing_gross", "towing_gvwr", "towing_empty", "towing_axle_ratings", "towing_licensed", "towing_unstated", "pair_gross", "pair_gvwr",
];

/** One example of each test, as a condition writes it, with what it comes to. */
export const EXAMPLES: [line: string, test: RuleCondition][] = [
  ["gross over 3000 lb", { weight: "gross", over: { lb: 3000 } }],
  ["unladen at_least 1500 lb", { weight: "unladen", at_least: { lb: 1500 } }],
  ["gvwr under 10000 lb", { weight: "gvwr", under: { lb: 10000 } }],
  ["gross up_to 1400 kg", { weight: "gross", up_to: { kg: 1400 } }],
  ["gross over 40 % of towing_gvwr", { weight: "gross", over_pct: 40, of: "towing_gvwr" }],
  ["gross at_least 50 % of towing_empty", { weight: "gross", at_least_pct: 50, of: "towing_empty" }],
  ["gross under 40 % of towing_gvwr", { weight: "gross", under_pct: 40, of: "towing_gvwr" }],
  ["built_after 1964-01-01", { built_after: "1964-01-01" }],
  ["width_over 80 in", { width_over: { in: 80 } }],
  ["width_at_least 80 in", { width_at_least: { in: 80 } }],
  ["pair_length_over 35 ft", { pair_length_over: { ft: 35 } }],
  ["speed_over 25 mph", { speed_over: { mph: 25 } }],
  ["units_at_least 2", { units_at_least: 2 }],
  ["units_up_to 1", { units_up_to: 1 }],
  ["stops_within 40 ft", { stops_within: { ft: 40 } }],
  ["fitted brakes", { fitted: "brakes" }],
  ["not_fitted breakaway", { not_fitted: "breakaway" }],
  ["duty brakes", { duty: "brakes" }],
  ["fails stopping_distance", { fails: "stopping_distance" }],
  ["link rigid", { link: "rigid" }],
  ["night", { night: true }],
  ["day", { day: true }],
  ["disabled", { disabled: true }],
  ["registered_here", { registered_here: true }],
  ["driveaway", { driveaway: true }],
];
