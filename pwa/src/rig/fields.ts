/**
 * Every field of a rig, in the order in which a person meets them: the one list
 * the screen is made from. Its words, where to read each figure among them, are in
 * words/en.json under the field's name: field-words.ts.
 */

import type { Dimension } from "./quantity.ts";

export interface Field {
  /** A pointer into the rig, or below the entry's of a map. */
  at: string;
  /** Its name among the words: a pointer into the rig, with - for the id of an entry. */
  name: string;
  kind: "text" | "long" | "date" | "number" | "yes_no" | "choice" | Dimension;
  /** The unit of a number, shown beside it. */
  unit?: string;
  /** The unit of a length typed without one: feet or inches. */
  small?: boolean;
  choices?: string[];
  /** The name that the words of its choices stand under, where several fields have the same. */
  set?: string;
}

export interface Entries {
  at: string;
  /** What a new one begins with. */
  begin: { [member: string]: string };
  /** The field without whose value there is no entry: it is asked for before one is made. */
  first?: string;
  /** The member that orders them before their order number, and its values in order. */
  ranked?: string;
  fields: Field[];
}

export interface Section {
  id: string;
  /** Pointers whose absence is shown here. */
  covers: string[];
  fields: Field[];
  entries?: Entries[];
  /** Fields that stand after the entries. */
  after?: Field[];
}

type More = Partial<Pick<Field, "unit" | "small" | "choices" | "set">>;
const field = (at: string, kind: Field["kind"], more: More = {}): Field => ({ at, name: at, kind, ...more });
const text = (at: string) => field(at, "text");
const date = (at: string) => field(at, "date");
const yesNo = (at: string) => field(at, "yes_no");
const mass = (at: string) => field(at, "mass");
const long = (at: string) => field(at, "length");
/** A length that people take in inches or centimetres. */
const short = (at: string) => field(at, "length", { small: true });
const number = (at: string, unit?: string) => field(at, "number", unit === undefined ? {} : { unit });
/** One of the values, named in one string. */
const choice = (at: string, values: string, set = at) => field(at, "choice", { choices: values.split(" "), set });

const how = (at: string) => choice(at, "scale label brochure estimate", "/how");
const strength = (at: string) => choice(at, "working_load breaking_strength", "/strength");
const power = (at: string) => choice(at, "car_battery own_battery motorhome none", "/power");
const anchor = (at: string) => choice(at, "frame receiver tow_bar base_plate bumper safety_cable other", "/anchor");

const variant = (at: string): Field[] => [number(`${at}/year`), text(`${at}/engine`), text(`${at}/gearbox`), text(`${at}/drivetrain`)];
const axle = (at: string): Field[] => [mass(`${at}/rating`), mass(`${at}/actual`)];
const actual = (at: string): Field[] => [mass(`${at}/weight`), how(`${at}/how`), date(`${at}/on`)];
const pair = (at: string): Field[] => [yesNo(`${at}/left`), yesNo(`${at}/right`)];

/** The fields of a map's entries: their names are those of any of them. */
const entries = (at: string, about: Omit<Entries, "at">): Entries => ({
  at, ...about,
  fields: about.fields.map((one) => ({ ...one, name: `${at}/-${one.at}`, ...(one.set === one.at && { set: `${at}/-${one.at}` }) })),
});

/** What a person calls the rig: it stands before all sections. */
export const NAME: Field = text("/name");

export const SECTIONS: Section[] = [
  {
    id: "permission", covers: ["/permission"],
    fields: [
      choice("/permission/manual_says", "allowed forbidden emergency_only silent not_read"),
      text("/permission/page"), text("/permission/read_by"), date("/permission/read_on"),
      field("/permission/max_speed", "speed"), field("/permission/max_distance", "distance"),
      number("/permission/engine_run_every_h", "hours"), number("/permission/engine_run_min", "minutes"),
      ...variant("/permission/read_for"),
    ],
  },
  {
    id: "motorhome", covers: ["/towing"],
    fields: [
      text("/towing/description"),
      mass("/towing/gvwr"), mass("/towing/gcwr"), mass("/towing/tow_limit_braked"), mass("/towing/tow_limit_unbraked"),
      ...actual("/towing/actual"), mass("/towing/empty"), ...axle("/towing/front_axle"), ...axle("/towing/rear_axle"), ...axle("/towing/tag_axle"),
      choice("/towing/brake_kind", "air hydraulic air_over_hydraulic by_wire"), long("/towing/length"),
    ],
  },
  {
    id: "car", covers: ["/towed"],
    fields: [
      text("/towed/description"), ...variant("/towed/variant"),
      ...actual("/towed/actual"), mass("/towed/curb"), mass("/towed/gvwr"), ...axle("/towed/front_axle"), ...axle("/towed/rear_axle"),
      choice("/towed/booster", "vacuum vacuum_electric_pump hydroboost electric none"),
      choice("/towed/ignition", "off accessory on"), choice("/towed/battery", "connected disconnected fuse_removed"),
      choice("/towed/rear_lamps", "combined separate_amber separate_red"),
      long("/towed/length"), short("/towed/width"),
    ],
  },
  {
    id: "coupling", covers: ["/coupling"], fields: [],
    entries: [
      entries("/coupling/parts", {
        begin: { kind: "receiver" }, ranked: "kind",
        fields: [
          choice("/kind", "receiver extension adapter tow_bar quick_disconnect base_plate"),
          mass("/rating"), strength("/rating_kind"), number("/hitch_class"), short("/offset"), number("/pins"), number("/clips"),
        ],
      }),
      entries("/coupling/cables", {
        begin: {},
        fields: [mass("/strength"), strength("/kind"), short("/length"), anchor("/towing_point"), anchor("/towed_point"), mass("/point_rating")],
      }),
    ],
    after: [
      yesNo("/coupling/cables_crossed"),
      short("/coupling/geometry/towing_pin_height"), short("/coupling/geometry/towed_pin_height"), short("/coupling/geometry/arm_length"),
      short("/coupling/geometry/cable_height"), short("/coupling/geometry/gap"), short("/coupling/geometry/pivot_behind_anchors"),
      short("/coupling/geometry/towing_spread"), short("/coupling/geometry/towed_spread"), number("/coupling/geometry/full_lock_deg", "degrees"),
    ],
  },
  {
    id: "lamps", covers: ["/harness"],
    fields: [
      choice("/harness/signals", "combined separate"),
      choice("/harness/approach", "steering_diodes separate_bulbs removable_lamps relay_bypass spliced_on"),
      choice("/harness/converter", "none separate_to_combined combined_to_separate"),
      yesNo("/harness/feeds/tail"), yesNo("/harness/feeds/left"), yesNo("/harness/feeds/right"), yesNo("/harness/feeds/brake"), yesNo("/harness/feeds/ground"),
      ...pair("/harness/lamps/tail"), ...pair("/harness/lamps/stop"), ...pair("/harness/lamps/turn"), ...pair("/harness/lamps/clearance"),
      yesNo("/harness/lamps/plate"), number("/harness/lamps/reflectors"),
      yesNo("/harness/car_stop_lamps_live"), yesNo("/harness/stop_switch_interrupted"),
      short("/harness/umbilical_length"), yesNo("/harness/charge_line/fitted"),
      choice("/harness/charge_line/to", "car_battery breakaway_battery brake_unit_battery"),
    ],
  },
  {
    id: "brake-unit", covers: ["/brake_unit"],
    fields: [
      yesNo("/brake_unit/fitted"),
      choice(
        "/brake_unit/actuation",
        "portable_inertia signal_triggered own_vacuum built_in_electric air_on_pedal air_behind_booster hydraulic_sensing surge another_not_in_list",
      ),
      power("/brake_unit/powered_from"), yesNo("/brake_unit/presses_pedal"), yesNo("/brake_unit/cab_monitor"), mass("/brake_unit/max_towed_weight"),
    ],
  },
  {
    id: "breakaway", covers: ["/breakaway"],
    fields: [
      yesNo("/breakaway/fitted"), power("/breakaway/powered_from"), anchor("/breakaway/switch_on"), anchor("/breakaway/lanyard_on"), short("/breakaway/lanyard_length"),
      number("/breakaway/hold_current_a", "A"), number("/breakaway/measured_hold_min", "minutes"), date("/breakaway/measured_on"),
      number("/breakaway/battery/rated_ah", "Ah"), number("/breakaway/battery/rated_h", "hours"), choice("/breakaway/battery/chemistry", "flooded gel agm"),
      number("/breakaway/battery/rested_v", "V"), number("/breakaway/battery/age_years", "years"), power("/breakaway/battery/charged_by"),
    ],
  },
  { id: "stopping", covers: ["/stopping"], fields: [long("/stopping/pair_from_20_mph"), date("/stopping/on")] },
  {
    id: "manual", covers: ["/manual"], fields: [],
    entries: [
      entries("/manual/steps", {
        begin: { phase: "hook_up" }, first: "/text", ranked: "phase",
        fields: [
          field("/text", "long"), choice("/phase", "hook_up engine_run unhook"),
          choice(
            "/tag",
            "drivetrain_free drivetrain_restore runs_engine stops_engine sets_ignition pulls_fuse battery_off power_back auto_functions_off parking_brake_off other",
          ),
          yesNo("/needs_seat_or_pedal"),
        ],
      }),
    ],
  },
];
