package brakes

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
)

// SetUpStep is one set-up test: what to do and what passes.
type SetUpStep struct {
	ID   string       `json:"id"`
	Do   finding.Text `json:"do"`
	Pass finding.Text `json:"pass"`
}

// setUpIDs are the tests in the order in which they are done: each is safer for
// the one before it, and nothing rolls before the static and the breakaway test.
var setUpIDs = [...]string{"assist", "static", "breakaway", "pull", "slow", "stop", "repeat", "engine_brake", "hubs", "poor_surface", "after_sleep"}

// SetUp lists the set-up tests for the unit on the rig; for a unit whose type is
// not recorded, all of them.
func SetUp(r rig.Rig) []SetUpStep {
	steps := []SetUpStep{}
	for _, id := range testIDs(r, unitOf(r)) {
		s := SetUpStep{ID: id, Do: finding.Say("brakes.set_up."+id+".do", nil), Pass: finding.Say("brakes.set_up."+id+".pass", nil)}
		if id == "static" && rig.Is(r.Harness.StopSwitchInterrupted, true) {
			s.Pass = finding.Say("brakes.set_up.static.pass_interrupted", nil)
		}
		steps = append(steps, s)
	}
	return steps
}

// IsSetUpTest reports whether an id is that of a set-up test.
func IsSetUpTest(id string) bool { return slices.Contains(setUpIDs[:], id) }

// SetUpApplies reports whether a set-up test is one for the unit on the rig.
func SetUpApplies(r rig.Rig, id string) bool {
	return IsSetUpTest(id) && applies(id, r, unitOf(r))
}

// unitOf is the type of the unit on the rig, as far as it is known.
func unitOf(r rig.Rig) actuation {
	for _, t := range actuations().Actuations {
		if t.ID == r.BrakeUnit.Actuation {
			return t
		}
	}
	return actuation{Pedal: pressesPedal(r.BrakeUnit) || r.BrakeUnit.Actuation == ""}
}

// testIDs are the tests that apply to a type on a rig.
func testIDs(r rig.Rig, a actuation) []string {
	ids := []string{}
	for _, id := range setUpIDs {
		if applies(id, r, a) {
			ids = append(ids, id)
		}
	}
	return ids
}

func applies(id string, r rig.Rig, a actuation) bool {
	switch id {
	case "static", "pull", "slow":
		return a.ID != rig.SurgeOnCoupling // the push works it: nothing to press
	case "assist", "repeat":
		return a.Pedal && r.Towed.Booster != rig.NoBooster
	case "breakaway":
		return !rig.Is(r.Breakaway.Fitted, false)
	case "after_sleep":
		return a.Pedal && slices.Contains([]rig.Booster{"", rig.ElectricBooster, rig.VacuumElectric}, r.Towed.Booster)
	}
	return true
}

// failed names a set-up test that was done and not passed, and those that apply
// and were not done.
func setUpState(r rig.Rig) (failed string, open int) {
	for _, id := range testIDs(r, unitOf(r)) {
		switch done := r.BrakeUnit.SetUp[id].Passed; {
		case done == nil:
			open++
		case !*done && failed == "":
			failed = id
		}
	}
	return failed, open
}

// setUp judges the set-up tests of a unit that is fitted.
func setUp(r rig.Rig) *finding.Finding {
	f := &finding.Finding{ID: "brakes.set-up", Area: finding.Brakes, Fields: []string{"/brake_unit/set_up"}}
	switch failed, open := setUpState(r); {
	case failed != "":
		f.Verdict, f.Decides, f.Basis = finding.NoGo, true, []finding.Basis{{Kind: finding.Measured, Reference: "/brake_unit/set_up/" + failed}}
		f.Says = finding.Say("brakes.set_up_failed", finding.Params{"do": finding.Word("brakes.set_up." + failed + ".do"), "pass": finding.Word("brakes.set_up." + failed + ".pass")})
		f.Remedy = finding.Advise("brakes.set_up_failed.remedy", nil)
	case open > 0:
		f.Verdict, f.Says = finding.FindOut, finding.Say("brakes.set_up_open", finding.Params{"count": whole(open)})
		f.Remedy = finding.Advise("brakes.set_up_open.remedy", nil)
	default:
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("brakes.set_up_passed", nil), nil
		f.Basis = []finding.Basis{{Kind: finding.Measured, Reference: "/brake_unit/set_up"}}
	}
	return f
}
