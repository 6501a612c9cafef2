package walkround

import (
	"slices"
	"strings"

	"pintail/api/finding"
	"pintail/api/rig"
)

// refused reports whether the manual forbids what a hook-up list is for. An
// emergency paragraph is no permission.
func refused(p rig.Permission) bool {
	return p.ManualSays == rig.Forbidden || p.ManualSays == rig.EmergencyOnly
}

// notes collects the findings of an answer.
type notes []finding.Finding

// add appends a finding that decides and returns it, to be completed.
func (n *notes) add(id string, v finding.Verdict, params finding.Params) *finding.Finding {
	*n = append(*n, finding.Finding{
		ID: "walkround." + strings.ReplaceAll(id, "_", "-"), Area: finding.Trip, Verdict: v, Decides: true, Says: finding.Say("walkround."+id, params),
	})
	f := &(*n)[len(*n)-1]
	if v == finding.Mind {
		f.Basis = []finding.Basis{{Kind: finding.Practice, Reference: "common practice of the trade"}}
	}
	return f
}

// aside is add for a finding that does not decide.
func (n *notes) aside(id string, v finding.Verdict, params finding.Params) *finding.Finding {
	f := n.add(id, v, params)
	f.Decides = false
	return f
}

// manualFields is where the manual's steps stand in a rig.
func manualFields() []string { return []string{"/manual/steps"} }

// findings says what keeps a list from being complete or from being used.
func findings(r *rig.Rig, l List) notes {
	var n notes
	n.aside("words_follow_manual", finding.Mind, nil)
	switch l {
	case HookUp:
		n.hookUp(r)
	case Unhook:
		n.unhook(r)
	case StopCheck:
		if engineRunWanted(*r) && r.Manual.Phase(rig.EngineRun) == nil {
			n.add("no_engine_run_steps", finding.FindOut, nil).Fields = manualFields()
		}
	}
	if l == SetUp {
		n.setUp(r)
		return n
	}
	if fields := uncounted(r.Coupling); fields != nil {
		n.aside("not_counted", finding.FindOut, nil).Fields = fields
	}
	return n
}

func (n *notes) hookUp(r *rig.Rig) {
	permission := []string{"/permission/manual_says"}
	if refused(r.Permission) {
		f := n.add("forbidden", finding.NoGo, nil)
		f.Area, f.Fields = finding.Permission, permission
		f.Basis = []finding.Basis{{Kind: finding.Rating, Reference: permission[0]}}
		return
	}
	if r.Permission.ManualSays != rig.Allowed {
		f := n.add("no_permission", finding.FindOut, nil)
		f.Area, f.Fields = finding.Permission, permission
	}
	free := first(r.Manual, rig.DrivetrainFree)
	brakeOff := first(r.Manual, rig.ParkingBrakeOff)
	powerOff := first(r.Manual, rig.BatteryOff, rig.PullsFuse)
	if free < 0 {
		n.add("no_free_step", finding.FindOut, nil).Fields = manualFields()
	}
	if brakeOff >= 0 && free > brakeOff {
		n.add("brake_before_free", finding.Mind, nil).Fields = manualFields()
	}
	if powerOff >= 0 && free > powerOff {
		n.aside("power_before_free", finding.Mind, nil).Fields = manualFields()
	}
	if powerOff >= 0 && brakeOff < 0 {
		n.aside("power_and_parking_brake", finding.Mind, nil).Fields = manualFields()
	}
}

// setUp: without a unit there is nothing to test.
func (n *notes) setUp(r *rig.Rig) {
	switch fitted := r.BrakeUnit.Fitted; {
	case fitted == nil:
		n.add("no_unit_known", finding.FindOut, nil).Fields = []string{"/brake_unit/fitted"}
	case *fitted && r.BrakeUnit.Actuation == "":
		n.aside("unit_type_unknown", finding.FindOut, nil).Fields = []string{"/brake_unit/actuation"}
	}
}

// unhook: what hook-up changed must be changed back.
func (n *notes) unhook(r *rig.Rig) {
	if first(r.Manual, rig.DrivetrainFree) >= 0 && r.Manual.Tagged(rig.Unhook, rig.DrivetrainRestore) == nil {
		n.add("no_restore_step", finding.FindOut, nil).Fields = manualFields()
	}
	if first(r.Manual, rig.BatteryOff, rig.PullsFuse) >= 0 && r.Manual.Tagged(rig.Unhook, rig.PowerBack) == nil {
		n.add("no_power_back_step", finding.FindOut, nil).Fields = manualFields()
	}
}

// first is the place in the hook-up order of the first step with one of the
// tags, -1 where there is none.
func first(m rig.Manual, tags ...rig.StepTag) int {
	return slices.IndexFunc(m.Phase(rig.HookUp), func(id string) bool { return slices.Contains(tags, m.Steps[id].Tag) })
}
