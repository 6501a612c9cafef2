package walkround

import (
	"strings"

	"pintail/api/brakes"
	"pintail/api/rig"
)

// condition is a fact about a rig that brings a step into a list. A thing that
// nobody recorded may be there, so its step stays: a step too many is read and
// passed over, a step too few is never seen.
type condition string

// The conditions.
const (
	hasBrakeUnit    condition = "brake_unit"
	unitOnPedal     condition = "unit_on_pedal" // the unit moves the car's pedal
	armedUnit       condition = "armed_unit"    // it is switched on, or fed with air
	pushedUnit      condition = "surge"         // the push on the coupling works it
	portableUnit    condition = "portable_unit" // it goes in at each hook-up
	needsPumping    condition = "pump"          // the booster stores assist that must go first
	hasCabMonitor   condition = "cab_monitor"
	hasAirLine      condition = "air_line"
	hasBreakaway    condition = "breakaway"
	removableLamps  condition = "removable_lamps"
	stopInterrupted condition = "interrupted"
	stopSwitchKept  condition = "not_interrupted"
	wantsEngineRun  condition = "engine_run"
	// The manual's own steps take the place of ours.
	ourAutoFunctions condition = "auto_functions_ours"
	ourParkingBrake  condition = "parking_brake_ours"
)

// setUpPrefix begins the condition that a set-up test of brakes/choice applies.
const setUpPrefix = "set_up_"

func (c condition) holds(r rig.Rig, l List) bool {
	b := r.BrakeUnit
	fitted := !rig.Is(b.Fitted, false)
	if id, ok := strings.CutPrefix(string(c), setUpPrefix); ok {
		return brakes.SetUpApplies(r, id)
	}
	switch c {
	case hasBrakeUnit:
		return fitted
	case unitOnPedal:
		return fitted && !rig.Is(b.PressesPedal, false)
	case armedUnit:
		return fitted && b.Actuation != rig.SurgeOnCoupling
	case pushedUnit:
		return fitted && b.Actuation == rig.SurgeOnCoupling
	case portableUnit:
		return fitted && isOneOf(b.Actuation, "", rig.PortableInertia, rig.SignalTriggered, rig.AnotherActuation)
	case needsPumping:
		return unitOnPedal.holds(r, l) && b.Actuation != rig.OwnVacuum &&
			isOneOf(r.Towed.Booster, "", rig.VacuumBooster, rig.VacuumElectric, rig.Hydroboost)
	case hasCabMonitor:
		return fitted && !rig.Is(b.CabMonitor, false)
	case hasAirLine:
		return fitted && isOneOf(b.Actuation, "", rig.AirOnPedal, rig.AirBehindBooster, rig.AnotherActuation)
	case hasBreakaway:
		return !rig.Is(r.Breakaway.Fitted, false)
	case removableLamps:
		return r.Harness.Approach == rig.RemovableLamps
	case stopInterrupted:
		return rig.Is(r.Harness.StopSwitchInterrupted, true)
	case stopSwitchKept:
		return !stopInterrupted.holds(r, l)
	case wantsEngineRun:
		return engineRunWanted(r)
	case ourAutoFunctions:
		return r.Manual.Tagged(phase(l), rig.AutoFunctionsOff) == nil
	case ourParkingBrake:
		return r.Manual.Tagged(phase(l), rig.ParkingBrakeOff) == nil
	}
	panic("walkround: no condition " + string(c)) // a test tries every one in the data
}

func isOneOf[T comparable](v T, among ...T) bool {
	for _, a := range among {
		if v == a {
			return true
		}
	}
	return false
}

func engineRunWanted(r rig.Rig) bool {
	return r.Manual.Phase(rig.EngineRun) != nil || r.Permission.EngineRunEveryH != nil || r.Permission.EngineRunMin != nil
}

// phase is the manual's phase that belongs to a list.
func phase(l List) rig.StepPhase {
	switch l {
	case StopCheck:
		return rig.EngineRun
	case Unhook:
		return rig.Unhook
	case SetUp:
		return "" // none of the manual's
	}
	return rig.HookUp
}
