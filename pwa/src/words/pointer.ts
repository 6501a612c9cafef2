/** Says a JSON Pointer into a rig in words. */

const NAMES: Record<string, string> = {
  towing: "motorhome",
  towed: "towed car",
  gvwr: "GVWR",
  gcwr: "GCWR",
  brake_unit: "brake unit",
  breakaway: "breakaway kit",
  coupling: "coupling chain",
  curb: "curb weight",
  rated_ah: "rated Ah",
  rated_h: "hours of the Ah rating",
  rested_v: "rested volts",
  hold_current_a: "hold current, A",
  measured_hold_min: "measured hold, min",
  read_for: "car the page speaks of",
  full_lock_deg: "angle at full lock",
  pair_from_20_mph: "stop of the pair from 20 mph",
  tow_limit_braked: "towing limit with car brakes",
  tow_limit_unbraked: "towing limit without car brakes",
};

/** /towed/front_axle/rating becomes "towed car › front axle › rating". */
export function pointerInWords(pointer: string): string {
  return pointer
    .split("/")
    .slice(1)
    .map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"))
    .map((part) => NAMES[part] ?? part.replaceAll("_", " "))
    .join(" › ");
}
