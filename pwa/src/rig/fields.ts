/** Every field of a rig, in the order in which a person meets them: the one list the screen is made from. */

import type { Dimension } from "./quantity.ts";

export interface Field {
  /** A pointer below the section's, or below the entry's of a map. */
  at: string;
  label: string;
  /** Where to read the figure. */
  help?: string;
  kind: "text" | "long" | "date" | "number" | "yes_no" | "choice" | Dimension;
  /** The unit of a number, shown beside it. */
  unit?: string;
  /** The unit of a length typed without one: feet or inches. */
  small?: boolean;
  choices?: [value: string, words: string][];
  /** A heading that stands before this field. */
  group?: string;
}

export interface Entries {
  at: string;
  /** One of them, and the words on the button that adds one. */
  one: string;
  add: string;
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
  title: string;
  intro?: string;
  /** Pointers whose absence is shown here. */
  covers: string[];
  fields: Field[];
  entries?: Entries[];
  /** Fields that stand after the entries. */
  after?: Field[];
}

const HOW: Field["choices"] = [["scale", "Scale ticket, loaded as it travels"], ["label", "Label or certificate"], ["brochure", "Maker's or dealer's sheet"], ["estimate", "Estimate"]];
const STRENGTH: Field["choices"] = [["working_load", "Working load"], ["breaking_strength", "Breaking strength"]];
const POWER: Field["choices"] = [["car_battery", "The car's battery"], ["own_battery", "A battery of its own"], ["motorhome", "The motorhome"], ["none", "Nothing"]];
const ANCHOR: Field["choices"] = [
  ["frame", "Frame of the vehicle"], ["receiver", "Rated point of the receiver"], ["tow_bar", "Tow bar"], ["base_plate", "Base plate"],
  ["bumper", "Bumper"], ["safety_cable", "Same link as a safety cable"], ["other", "Somewhere else"],
];
const LABEL = "Certification label, axle by axle.";
const TICKET = "Scale ticket that lists axles, loaded as it travels.";

const variant = (at: string, group: string, help: string): Field[] => [
  { at: `${at}/year`, label: "Model year", kind: "number", group, help },
  { at: `${at}/engine`, label: "Engine", kind: "text", help: "As the manual names it." },
  { at: `${at}/gearbox`, label: "Gearbox", kind: "text", help: "As the manual names it." },
  { at: `${at}/drivetrain`, label: "Driven wheels", kind: "text", help: "As the manual names them." },
];
const axle = (at: string, name: string): Field[] => [
  { at: `${at}/rating`, label: `${name} axle, rating (GAWR)`, kind: "mass", help: LABEL },
  { at: `${at}/actual`, label: `${name} axle, what it carries`, kind: "mass", help: TICKET },
];
const weight = (group: string, help: string): Field[] => [
  { at: "/actual/weight", label: "Actual weight", kind: "mass", group, help },
  { at: "/actual/how", label: "How it is known", kind: "choice", choices: HOW },
  { at: "/actual/on", label: "Weighed on", kind: "date" },
];
const pair = (at: string, name: string): Field[] => [
  { at: `${at}/left`, label: `${name}, left`, kind: "yes_no" },
  { at: `${at}/right`, label: `${name}, right`, kind: "yes_no" },
];

export const SECTIONS: Section[] = [
  {
    id: "permission", title: "Permission", covers: ["/permission"],
    intro: "What the owner's manual of exactly this car says about towing it on its four wheels. Nothing else counts without it.",
    fields: [
      {
        at: "/permission/manual_says", label: "The manual says", kind: "choice", help: "Owner's manual, under recreational or flat towing. A paragraph on emergency towing is no permission.",
        choices: [["allowed", "It may be towed so"], ["forbidden", "It must not"], ["emergency_only", "In an emergency only"], ["silent", "Nothing about it"], ["not_read", "Nobody has read it"]],
      },
      { at: "/permission/page", label: "Page", kind: "text", help: "Where in the manual it stands." },
      { at: "/permission/read_by", label: "Read by", kind: "text" },
      { at: "/permission/read_on", label: "Read on", kind: "date" },
      { at: "/permission/max_speed", label: "Greatest speed", kind: "speed", group: "Limits of the manual", help: "Leave empty where the manual sets none." },
      { at: "/permission/max_distance", label: "Greatest distance in one go", kind: "distance", help: "Leave empty where the manual sets none." },
      { at: "/permission/engine_run_every_h", label: "Run the engine every", kind: "number", unit: "hours", help: "Hours of towing between engine runs." },
      { at: "/permission/engine_run_min", label: "Run it for", kind: "number", unit: "minutes" },
      ...variant("/permission/read_for", "The car the page speaks of", "It must be this car."),
    ],
  },
  {
    id: "motorhome", title: "Motorhome", covers: ["/towing"],
    fields: [
      { at: "/towing/description", label: "Make, model and year", kind: "text" },
      { at: "/towing/gvwr", label: "Most it may weigh (GVWR)", kind: "mass", group: "Ratings", help: "Certification label at the driver's door or seat." },
      { at: "/towing/gcwr", label: "Most both may weigh together (GCWR)", kind: "mass", help: "Chassis maker's label or chassis manual." },
      { at: "/towing/tow_limit_braked", label: "Towing limit, car brakes working", kind: "mass", help: "Chassis manual. The hitch label may be higher and does not replace it." },
      { at: "/towing/tow_limit_unbraked", label: "Towing limit, no car brakes", kind: "mass", help: "Chassis manual. It holds whatever the law says." },
      ...weight("Weight", "Scale ticket, loaded as it travels. Only a scale settles it.").map((field) => ({ ...field, at: `/towing${field.at}` })),
      { at: "/towing/empty", label: "Weight without load", kind: "mass", help: "Registration or a scale ticket. A few laws ask for it." },
      ...axle("/towing/front_axle", "Front"), ...axle("/towing/rear_axle", "Rear"), ...axle("/towing/tag_axle", "Tag"),
      {
        at: "/towing/brake_kind", label: "Service brakes", kind: "choice", group: "Brakes and size", help: "Chassis manual. Air brakes have a pressure gauge at the dash.",
        choices: [["air", "Air"], ["hydraulic", "Hydraulic"], ["air_over_hydraulic", "Air over hydraulic"], ["by_wire", "By wire"]],
      },
      { at: "/towing/length", label: "Overall length", kind: "length", help: "Bumper to bumper." },
    ],
  },
  {
    id: "car", title: "Towed car", covers: ["/towed"],
    fields: [
      { at: "/towed/description", label: "Make and model", kind: "text" },
      ...variant("/towed/variant", "Exactly which car", "Label in the driver's door opening, or the registration."),
      ...weight("Weight", "As it is towed, with base plate, brake gear and cargo: a scale ticket.").map((field) => ({ ...field, at: `/towed${field.at}` })),
      { at: "/towed/curb", label: "Maker's curb weight", kind: "mass", help: "Brochure or manual. It never stands in for the actual weight." },
      { at: "/towed/gvwr", label: "Most it may weigh (GVWR)", kind: "mass", help: "Label in the driver's door opening." },
      ...axle("/towed/front_axle", "Front"), ...axle("/towed/rear_axle", "Rear"),
      {
        at: "/towed/booster", label: "Brake booster", kind: "choice", group: "As it is towed", help: "Under the bonnet behind the brake fluid, or the workshop manual.",
        choices: [["vacuum", "Vacuum"], ["vacuum_electric_pump", "Vacuum, with an electric pump"], ["hydroboost", "Hydraulic, from the steering pump"], ["electric", "Electric"], ["none", "None"]],
      },
      { at: "/towed/ignition", label: "Ignition", kind: "choice", help: "The position the owner's manual gives.", choices: [["off", "Off"], ["accessory", "Accessory"], ["on", "On"]] },
      { at: "/towed/battery", label: "Battery", kind: "choice", help: "What the owner's manual wants.", choices: [["connected", "Connected"], ["disconnected", "Disconnected"], ["fuse_removed", "A fuse removed"]] },
      {
        at: "/towed/rear_lamps", label: "Rear stop and turn lamps", kind: "choice", help: "Look at the rear while someone presses the pedal and signals.",
        choices: [["combined", "One red lamp for both"], ["separate_amber", "Red stop, amber turn"], ["separate_red", "Red stop, red turn of its own"]],
      },
      { at: "/towed/length", label: "Overall length", kind: "length" },
      { at: "/towed/width", label: "Width without mirrors", kind: "length", small: true, help: "A few laws ask more lamps of 80 in or more." },
    ],
  },
  {
    id: "coupling", title: "Coupling chain", covers: ["/coupling"],
    intro: "Every part that carries the pull, from the motorhome to the car. Read the rating on each part's own label.",
    fields: [],
    entries: [
      {
        at: "/coupling/parts", one: "Part", add: "Add a part", begin: { kind: "receiver" }, ranked: "kind",
        fields: [
          {
            at: "/kind", label: "Kind", kind: "choice",
            choices: [["receiver", "Receiver"], ["extension", "Extension"], ["adapter", "Drop or rise adapter"], ["tow_bar", "Tow bar"], ["quick_disconnect", "Quick disconnect"], ["base_plate", "Base plate"]],
          },
          { at: "/rating", label: "Rating", kind: "mass", help: "Greatest towed weight on its own label." },
          { at: "/rating_kind", label: "The label means", kind: "choice", choices: STRENGTH },
          { at: "/hitch_class", label: "Hitch class", kind: "number", help: "1 to 4, where a receiver is marked with a class (SAE J684) and no figure." },
          { at: "/offset", label: "Rise or length", kind: "length", small: true, help: "How far an adapter lifts (drops: minus), or how long an extension is." },
          { at: "/pins", label: "Pins", kind: "number", help: "Count them on this part." },
          { at: "/clips", label: "Clips", kind: "number", help: "Count them on this part." },
        ],
      },
      {
        at: "/coupling/cables", one: "Safety cable", add: "Add a safety cable", begin: {},
        fields: [
          { at: "/strength", label: "Strength", kind: "mass", help: "On its tag." },
          { at: "/kind", label: "The tag means", kind: "choice", choices: STRENGTH },
          { at: "/length", label: "Length", kind: "length", small: true, help: "Hook to hook, pulled straight." },
          { at: "/towing_point", label: "Fastened at the motorhome to", kind: "choice", choices: ANCHOR },
          { at: "/towed_point", label: "Fastened at the car to", kind: "choice", choices: ANCHOR },
          { at: "/point_rating", label: "Lower rating of its two points", kind: "mass", help: "Where they are marked." },
        ],
      },
    ],
    after: [
      { at: "/coupling/cables_crossed", label: "Cables cross under the bar", kind: "yes_no", help: "So that they cradle it if it drops." },
      { at: "/coupling/geometry/towing_pin_height", label: "Pin height at the motorhome", kind: "length", small: true, group: "Measured on level ground, motorhome at travel height", help: "Ground to the centre of the pin, the adapter in place." },
      { at: "/coupling/geometry/towed_pin_height", label: "Pin height at the car", kind: "length", small: true, help: "Ground to the centre of the pin at the base plate." },
      { at: "/coupling/geometry/arm_length", label: "Length of the bar", kind: "length", small: true, help: "Pin centre to pin centre, arms locked." },
      { at: "/coupling/geometry/cable_height", label: "Lower height of the cable points", kind: "length", small: true },
      { at: "/coupling/geometry/gap", label: "Gap between the vehicles", kind: "length", small: true, help: "Rearmost point of the motorhome to the front of the car." },
      { at: "/coupling/geometry/pivot_behind_anchors", label: "Pivot behind the cable points", kind: "length", small: true, help: "From the line through the motorhome's cable points back to the point the bar swings about." },
      { at: "/coupling/geometry/towing_spread", label: "Between the motorhome's cable points", kind: "length", small: true },
      { at: "/coupling/geometry/towed_spread", label: "Between the car's cable points", kind: "length", small: true },
      { at: "/coupling/geometry/full_lock_deg", label: "Angle in the tightest turn", kind: "number", unit: "degrees", help: "The greatest angle between motorhome and car." },
    ],
  },
  {
    id: "lamps", title: "Lamps and harness", covers: ["/harness"],
    fields: [
      { at: "/harness/signals", label: "The motorhome's socket", kind: "choice", help: "Press the pedal and signal left: if the left feed flashes, stop and turn share it.", choices: [["combined", "Stop and turn on the same feeds"], ["separate", "A stop feed of its own"]] },
      {
        at: "/harness/approach", label: "How the feeds reach the lamps", kind: "choice",
        choices: [["steering_diodes", "Steering diodes"], ["separate_bulbs", "Bulbs of their own"], ["removable_lamps", "A removable lamp bar"], ["relay_bypass", "Relays that switch over"], ["spliced_on", "Spliced on, nothing against back-feed"]],
      },
      { at: "/harness/converter", label: "Converter", kind: "choice", choices: [["none", "None"], ["separate_to_combined", "Separate to combined"], ["combined_to_separate", "Combined to separate"]] },
      { at: "/harness/feeds/tail", label: "Tail feed", kind: "yes_no", group: "Conductors from the socket to the car" },
      { at: "/harness/feeds/left", label: "Left turn feed", kind: "yes_no" },
      { at: "/harness/feeds/right", label: "Right turn feed", kind: "yes_no" },
      { at: "/harness/feeds/brake", label: "Stop feed of its own", kind: "yes_no" },
      { at: "/harness/feeds/ground", label: "Ground conductor", kind: "yes_no", help: "A conductor of its own, not the tow bar." },
      ...pair("/harness/lamps/tail", "Tail lamp").map((field, at) => (at === 0 ? { ...field, group: "Lamps at the rear that the harness lights" } : field)),
      ...pair("/harness/lamps/stop", "Stop lamp"), ...pair("/harness/lamps/turn", "Turn lamp"), ...pair("/harness/lamps/clearance", "Clearance lamp"),
      { at: "/harness/lamps/plate", label: "Plate lamp", kind: "yes_no" },
      { at: "/harness/lamps/reflectors", label: "Red reflectors", kind: "number", help: "Count them at the rear of the car." },
      { at: "/harness/car_stop_lamps_live", label: "The car's own stop lamps light as towed", kind: "yes_no", group: "The car's own stop lamps", help: "Press its pedal with the key in the towing position, and again after the car has gone to sleep." },
      { at: "/harness/stop_switch_interrupted", label: "Its stop switch is cut off from the lamps", kind: "yes_no" },
      { at: "/harness/umbilical_length", label: "Length of the umbilical", kind: "length", small: true, group: "Cable and charge line", help: "Connector to connector." },
      { at: "/harness/charge_line/fitted", label: "Charge line", kind: "yes_no" },
      { at: "/harness/charge_line/to", label: "It charges", kind: "choice", choices: [["car_battery", "The car's battery"], ["breakaway_battery", "The breakaway battery"], ["brake_unit_battery", "The brake unit's battery"]] },
    ],
  },
  {
    id: "brake-unit", title: "Brake unit", covers: ["/brake_unit"],
    fields: [
      { at: "/brake_unit/fitted", label: "There is one", kind: "yes_no" },
      {
        at: "/brake_unit/actuation", label: "How it works the car's brakes", kind: "choice", help: "The unit's own manual.",
        choices: [
          ["portable_inertia", "Box on the floor that feels the motorhome slow"], ["signal_triggered", "Box that pushes when the stop signal comes on"], ["own_vacuum", "Built in, keeps the vacuum booster alive"],
          ["built_in_electric", "Built in, electric, no vacuum"], ["air_on_pedal", "Air cylinder on the pedal"], ["air_behind_booster", "Air cylinder behind the booster"],
          ["hydraulic_sensing", "Follows the motorhome's hydraulic pressure"], ["surge", "Push on the coupling"], ["another_not_in_list", "Another"],
        ],
      },
      { at: "/brake_unit/powered_from", label: "Fed by", kind: "choice", choices: POWER },
      { at: "/brake_unit/presses_pedal", label: "The car's pedal moves when it works", kind: "yes_no" },
      { at: "/brake_unit/cab_monitor", label: "The driver sees that it works", kind: "yes_no" },
      { at: "/brake_unit/max_towed_weight", label: "Heaviest car it is made for", kind: "mass", help: "The unit's own label." },
    ],
  },
  {
    id: "breakaway", title: "Breakaway kit", covers: ["/breakaway"],
    fields: [
      { at: "/breakaway/fitted", label: "There is one", kind: "yes_no" },
      { at: "/breakaway/powered_from", label: "Fed by", kind: "choice", choices: POWER },
      { at: "/breakaway/switch_on", label: "Switch fastened to", kind: "choice", choices: ANCHOR },
      { at: "/breakaway/lanyard_on", label: "Lanyard hooked to", kind: "choice", choices: ANCHOR },
      { at: "/breakaway/lanyard_length", label: "Length of the lanyard", kind: "length", small: true, help: "Its hook to the switch pin." },
      { at: "/breakaway/hold_current_a", label: "Current while it holds", kind: "number", unit: "A", group: "How long it holds", help: "Measure it, or read the unit's sheet." },
      { at: "/breakaway/measured_hold_min", label: "Measured hold", kind: "number", unit: "minutes", help: "How long the brakes were seen to hold with the pin out." },
      { at: "/breakaway/measured_on", label: "Measured on", kind: "date" },
      { at: "/breakaway/battery/rated_ah", label: "Battery, ampere-hours", kind: "number", unit: "Ah", help: "On its label." },
      { at: "/breakaway/battery/rated_h", label: "Over how many hours", kind: "number", unit: "hours", help: "20 on most small sealed batteries." },
      { at: "/breakaway/battery/chemistry", label: "Kind", kind: "choice", choices: [["flooded", "Flooded"], ["gel", "Gel"], ["agm", "AGM"]] },
      { at: "/breakaway/battery/rested_v", label: "Rested voltage", kind: "number", unit: "V", help: "After hours without charge or load." },
      { at: "/breakaway/battery/age_years", label: "Age", kind: "number", unit: "years" },
      { at: "/breakaway/battery/charged_by", label: "Charged by", kind: "choice", choices: POWER },
    ],
  },
  {
    id: "stopping", title: "Measured stop", covers: ["/stopping"],
    intro: "Only a measured stop or a maker's figure tells how a pair stops.",
    fields: [
      { at: "/stopping/pair_from_20_mph", label: "Stop of the pair from 20 mph", kind: "length", help: "From the first movement of the pedal, on hard, level, dry, smooth pavement." },
      { at: "/stopping/on", label: "Measured on", kind: "date" },
    ],
  },
  {
    id: "manual", title: "The manual's steps", covers: ["/manual"],
    intro: "In your own words, from the owner's manual. The app never writes such a step itself.",
    fields: [],
    entries: [{
      at: "/manual/steps", one: "Step", add: "Add a step", begin: { phase: "hook_up" }, first: "/text", ranked: "phase",
      fields: [
        { at: "/text", label: "The step", kind: "long" },
        { at: "/phase", label: "When", kind: "choice", choices: [["hook_up", "Hook-up"], ["engine_run", "Engine run"], ["unhook", "Unhook"]] },
        {
          at: "/tag", label: "What it does", kind: "choice", help: "Order and completeness are checked by it.",
          choices: [
            ["drivetrain_free", "Sets the car free to roll"], ["drivetrain_restore", "Makes it hold again"], ["runs_engine", "Runs the engine"], ["stops_engine", "Turns the engine off"],
            ["sets_ignition", "Sets the ignition"], ["pulls_fuse", "Pulls a fuse"], ["battery_off", "Takes the battery off"], ["power_back", "Puts fuse or cable back"],
            ["auto_functions_off", "Turns automatic functions off"], ["parking_brake_off", "Parking brake off"], ["other", "Something else"],
          ],
        },
        { at: "/needs_seat_or_pedal", label: "Needs someone in the seat or on the pedal", kind: "yes_no" },
      ],
    }],
  },
];
