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

/** Wire of one run: its gauge, how it is made, and its length one way. */
const wire = (at: string): Field[] => [number(`${at}/awg`, "AWG"), choice(`${at}/conductor`, "solid stranded tinned sae", "/conductor"), long(`${at}/length`)];
/** A lamp circuit of the motorhome, from its supply to the socket. */
const branch = (at: string): Field[] => [yesNo(`${at}/tapped`), number(`${at}/own_lamps_a`, "A"), number(`${at}/ohm`, "Ω"), number(`${at}/fuse_a`, "A")];
const diodes = (at: string): Field[] => [yesNo(`${at}/feed`), yesNo(`${at}/car`)];
/** Trade designations: the same in every language. */
const BULBS =
  "1157 2057 1034 2357 2397 1156 1141 3157 3156 3057 3457 7440 7443 194 168 P21/5W PY21/5W P21W PY21W W21W W21/5W R5W R10W W5W C5W T4W W5W/LED LED-STOP LED-TAIL";
const bulb = (at: string): Field[] => [choice(`${at}/id`, BULBS, "/bulb"), number(`${at}/a`, "A")];
const stop = (at: string): Field[] => [
  field(`${at}/from`, "speed"), long(`${at}/distance`), number(`${at}/lag_s`, "seconds"), choice(`${at}/how`, "measured maker", "/stop"), date(`${at}/on`),
];
/** A battery of its own label. */
const battery = (at: string): Field[] => [
  number(`${at}/rated_ah`, "Ah"), number(`${at}/rated_h`, "hours"), number(`${at}/reserve_min`, "minutes"), choice(`${at}/chemistry`, "flooded gel agm", "/chemistry"),
  number(`${at}/rested_v`, "V"), number(`${at}/age_years`, "years"), power(`${at}/charged_by`), number(`${at}/charge_a`, "A"),
];

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
      choice("/towing/brake_kind", "air hydraulic air_over_hydraulic by_wire"), yesNo("/towing/tap_allowed"),
      yesNo("/towing/engine_brake"), number("/towing/engine_brake_kw", "kW"), yesNo("/towing/engine_brake_lights_stop"), long("/towing/length"),
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
      yesNo("/towed/abs_asleep"), yesNo("/towed/steering_may_lock"), long("/towed/length"), short("/towed/width"),
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
      yesNo("/harness/car_stop_lamps_live"), yesNo("/harness/stop_switch_interrupted"), yesNo("/harness/interrupter_fail_safe"),
      short("/harness/umbilical_length"),
    ],
  },
  {
    id: "wiring",
    covers: [
      "/harness/connector", "/harness/converter_logic", "/harness/converter_drop_v", "/harness/converter_powered", "/harness/umbilical_wire", "/harness/car_wire",
      "/harness/diodes", "/harness/far_side_jumper", "/harness/jumper_wire", "/harness/ground", "/harness/bulbs", "/harness/wire_temperature", "/harness/insulation_c",
      "/towing/circuits", "/towed/circuits",
    ],
    fields: [
      number("/towing/circuits/supply_v", "V"), choice("/towing/circuits/hazard_and_brake", "hazard_flashes brake_steady"),
      ...branch("/towing/circuits/tail"), ...branch("/towing/circuits/left"), ...branch("/towing/circuits/right"), ...branch("/towing/circuits/stop"),
      choice("/harness/connector/kind", "flat_4 flat_5 round_6 blade_7 round_7 iso_1724 iso_11446 as_2513"),
      number("/harness/connector/contacts"), number("/harness/connector/contact_ohm", "Ω"), number("/harness/connector/contact_a", "A"),
      number("/harness/umbilical_wire/awg", "AWG"), number("/harness/umbilical_wire/ground_awg", "AWG"),
      choice("/harness/umbilical_wire/conductor", "solid stranded tinned sae", "/conductor"),
      choice("/harness/converter_logic", "xor or inhibit"), number("/harness/converter_drop_v", "V"), yesNo("/harness/converter_powered"),
      ...wire("/harness/car_wire"), yesNo("/harness/far_side_jumper"), ...wire("/harness/jumper_wire"),
      field("/harness/wire_temperature", "temperature"), number("/harness/insulation_c", "°C"),
      choice("/harness/diodes/kind", "silicon schottky"),
      ...diodes("/harness/diodes/tail"), ...diodes("/harness/diodes/left"), ...diodes("/harness/diodes/right"), ...diodes("/harness/diodes/stop"),
      ...wire("/harness/ground/wire"), number("/harness/ground/terminal_ohm", "Ω"), number("/harness/ground/chassis_ohm", "Ω"),
      number("/harness/ground/housing_ohm", "Ω"), number("/harness/ground/hitch_ohm", "Ω"),
      ...bulb("/harness/bulbs/tail"), ...bulb("/harness/bulbs/stop"), ...bulb("/harness/bulbs/turn"), ...bulb("/harness/bulbs/plate"),
      number("/towed/circuits/supply_v", "V"), number("/towed/circuits/stop_ohm", "Ω"), number("/towed/circuits/high_stop_a", "A"), number("/towed/circuits/park_lamps_a", "A"),
      yesNo("/towed/circuits/sides_tied"), yesNo("/towed/circuits/pwm"), yesNo("/towed/circuits/bus"), yesNo("/towed/circuits/ground_switched"), yesNo("/towed/circuits/monitored"),
    ],
  },
  {
    id: "car-battery", covers: ["/towed/car_battery", "/towed/draw", "/harness/charge_line"],
    fields: [
      ...battery("/towed/car_battery"),
      number("/towed/draw/awake_a", "A"), number("/towed/draw/awake_min", "minutes"), number("/towed/draw/asleep_a", "A"), number("/towed/draw/lamps_a", "A"),
      yesNo("/harness/charge_line/fitted"), choice("/harness/charge_line/to", "car_battery breakaway_battery brake_unit_battery"),
      number("/harness/charge_line/source_v", "V"), number("/harness/charge_line/halt_v", "V"), choice("/harness/charge_line/isolator", "none relay diode limiter"),
      number("/harness/charge_line/limit_a", "A"), ...wire("/harness/charge_line/wire"), number("/harness/charge_line/contacts"),
      number("/harness/charge_line/fuse_towing_a", "A"), number("/harness/charge_line/fuse_towed_a", "A"), number("/harness/charge_line/connector_a", "A"),
    ],
  },
  {
    id: "brake-unit", covers: ["/brake_unit"],
    fields: [
      yesNo("/brake_unit/fitted"),
      choice(
        "/brake_unit/actuation",
        "portable_inertia signal_triggered own_vacuum built_in_electric air_on_pedal air_behind_booster hydraulic_sensing surge car_by_wire another_not_in_list",
      ),
      power("/brake_unit/powered_from"), yesNo("/brake_unit/presses_pedal"), yesNo("/brake_unit/cab_monitor"),
      choice("/brake_unit/monitor_tap", "brake_unit pedal_switch stop_switch stop_lamp"), choice("/brake_unit/controller", "none inertia brake_pressure timed push"),
      mass("/brake_unit/max_towed_weight"), number("/brake_unit/car_share_pct", "%"),
      number("/brake_unit/work_a", "A"), number("/brake_unit/idle_a", "A"), number("/brake_unit/least_v", "V"),
    ],
  },
  {
    id: "breakaway", covers: ["/breakaway"],
    fields: [
      yesNo("/breakaway/fitted"), power("/breakaway/powered_from"), anchor("/breakaway/switch_on"), anchor("/breakaway/lanyard_on"), short("/breakaway/lanyard_length"),
      number("/breakaway/pump_current_a", "A"), number("/breakaway/pump_s", "seconds"), number("/breakaway/hold_current_a", "A"),
      number("/breakaway/least_v", "V"), number("/breakaway/cut_off_v", "V"), ...wire("/breakaway/wire"), number("/breakaway/contacts"),
      number("/breakaway/measured_hold_min", "minutes"), date("/breakaway/measured_on"),
      ...battery("/breakaway/battery"),
    ],
  },
  { id: "stopping", covers: ["/stopping"], fields: [long("/stopping/pair_from_20_mph"), date("/stopping/on"), ...stop("/stopping/alone"), ...stop("/stopping/pair")] },
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
