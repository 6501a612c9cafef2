package brakes

import (
	"pintail/api/rig"
	"pintail/api/unit"
)

// fact is something the choice of an actuation type turns on.
type fact string

// The facts, and their values in the table.
const (
	always      fact = "always"       // yes
	motorhome   fact = "brakes"       // the kinds of service brake
	tapAllowed  fact = "tap"          // no, unknown
	engineBrake fact = "engine_brake" // yes, lights_stop
	booster     fact = "booster"      // the kinds of booster
	batteryOff  fact = "battery"      // off
	cars        fact = "cars"         // one, many
	motorhomes  fact = "motorhomes"   // many
	carShare    fact = "share"        // large
	carWeight   fact = "weight"       // light, heavy
	terrain     fact = "terrain"      // mountains
	roughRoads  fact = "rough_roads"  // yes
	carABS      fact = "abs"          // asleep
)

// Where judgment draws its lines: a car up to lightLB locks easily, one over
// heavyLB is more than most units are made for, and one that is a quarter of the
// pair or more must brake in proportion. car_share is in thousandths of per cent.
const (
	lightLB, heavyLB = 3_000, 5_000
	largeShare       = 25_000
	smallShare       = 15_000
)

// is reports whether a fact has the value; known is false where nobody entered
// what decides it.
func (in ChoiceInput) is(f fact, value string) (holds, known bool) {
	r := in.Rig
	switch f {
	case motorhome:
		return string(r.Towing.BrakeKind) == value, r.Towing.BrakeKind != ""
	case tapAllowed:
		if value == "unknown" {
			return r.Towing.TapAllowed == nil, true
		}
		return rig.Is(r.Towing.TapAllowed, false), true
	case engineBrake:
		return in.engineBrakeIs(value)
	case booster:
		return string(r.Towed.Booster) == value, r.Towed.Booster != ""
	case batteryOff:
		s := r.BatteryWhileTowed()
		return s == rig.BatteryDisconnected || s == rig.FuseRemoved, s != ""
	case cars:
		return in.Cars != nil && (*in.Cars > 1) == (value == "many"), in.Cars != nil
	case motorhomes:
		return in.Motorhomes != nil && *in.Motorhomes > 1, in.Motorhomes != nil
	case terrain:
		return in.Terrain == rig.Mountains, in.Terrain != ""
	case roughRoads:
		return rig.Is(in.RoughRoads, true), in.RoughRoads != nil
	case carABS:
		return rig.Is(r.Towed.ABSAsleep, true), r.Towed.ABSAsleep != nil
	case always:
		return true, true
	}
	return in.weightIs(f, value)
}

// engineBrakeIs: a motorhome with air brakes nearly always has one, so it counts
// as there until someone says no.
func (in ChoiceInput) engineBrakeIs(value string) (holds, known bool) {
	t := in.Rig.Towing
	likely := t.BrakeKind == rig.AirBrakes || t.BrakeKind == rig.AirOverHydraulic
	there := rig.Is(t.EngineBrake, true) || t.EngineBrake == nil && likely
	if value == "lights_stop" {
		return there && !rig.Is(t.EngineBrakeLightsStop, false), true
	}
	return there, true
}

func (in ChoiceInput) weightIs(f fact, value string) (holds, known bool) {
	car, towing := in.Rig.Towed.Actual.Weight, in.Rig.Towing.Actual.Weight
	switch {
	case car == nil, f == carShare && towing == nil:
		return false, false
	case f == carShare:
		return atLeastShare(*car, *towing, largeShare), true
	case value == "light":
		return !car.Over(unit.LB(lightLB)), true
	}
	return car.Over(unit.LB(heavyLB)), true
}

// atLeastShare reports whether the car is at least the share of the pair,
// exactly; share is in thousandths of per cent.
func atLeastShare(car, towing unit.Mass, share int64) bool {
	return car.ComparePercent(towing.Add(car), share) >= 0
}

// field is where in a rig a fact is entered, empty for one of the plan.
func (f fact) field() string {
	switch f {
	case motorhome:
		return "/towing/brake_kind"
	case booster:
		return "/towed/booster"
	case carWeight:
		return "/towed/actual/weight"
	}
	return ""
}
