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

// findings says what keeps a list from being complete or from being used.
func findings(r rig.Rig, l List) []finding.Finding {
	fs := []finding.Finding{note("words_follow_manual", finding.Mind, "")}
	switch l {
	case HookUp:
		fs = append(fs, hookUpFindings(r)...)
	case Unhook:
		fs = append(fs, unhookFindings(r)...)
	case StopCheck:
		if engineRunWanted(r) && r.Manual.Phase(rig.EngineRun) == nil {
			fs = append(fs, deciding(note("no_engine_run_steps", finding.FindOut, "/manual/steps")))
		}
	}
	if fields := uncounted(r.Coupling); fields != nil {
		f := note("not_counted", finding.FindOut, "")
		f.Fields = fields
		fs = append(fs, f)
	}
	return fs
}

func hookUpFindings(r rig.Rig) []finding.Finding {
	if refused(r.Permission) {
		f := deciding(note("forbidden", finding.NoGo, "/permission/manual_says"))
		f.Area = finding.Permission
		f.Basis = []finding.Basis{{Kind: finding.Rating, Reference: "/permission/manual_says"}}
		return []finding.Finding{f}
	}
	var fs []finding.Finding
	if r.Permission.ManualSays != rig.Allowed {
		f := deciding(note("no_permission", finding.FindOut, "/permission/manual_says"))
		f.Area = finding.Permission
		fs = append(fs, f)
	}
	free := first(r.Manual, rig.DrivetrainFree)
	brakeOff := first(r.Manual, rig.ParkingBrakeOff)
	powerOff := first(r.Manual, rig.BatteryOff, rig.PullsFuse)
	if free < 0 {
		fs = append(fs, deciding(note("no_free_step", finding.FindOut, "/manual/steps")))
	}
	if brakeOff >= 0 && free > brakeOff {
		fs = append(fs, deciding(note("brake_before_free", finding.Mind, "/manual/steps")))
	}
	if powerOff >= 0 && free > powerOff {
		fs = append(fs, note("power_before_free", finding.Mind, "/manual/steps"))
	}
	if powerOff >= 0 && brakeOff < 0 {
		fs = append(fs, note("power_and_parking_brake", finding.Mind, "/manual/steps"))
	}
	return fs
}

// unhookFindings: what hook-up changed must be changed back.
func unhookFindings(r rig.Rig) []finding.Finding {
	var fs []finding.Finding
	if first(r.Manual, rig.DrivetrainFree) >= 0 && r.Manual.Tagged(rig.Unhook, rig.DrivetrainRestore) == nil {
		fs = append(fs, deciding(note("no_restore_step", finding.FindOut, "/manual/steps")))
	}
	if first(r.Manual, rig.BatteryOff, rig.PullsFuse) >= 0 && r.Manual.Tagged(rig.Unhook, rig.PowerBack) == nil {
		fs = append(fs, deciding(note("no_power_back_step", finding.FindOut, "/manual/steps")))
	}
	return fs
}

// first is the place in the hook-up order of the first step with one of the
// tags, -1 where there is none.
func first(m rig.Manual, tags ...rig.StepTag) int {
	return slices.IndexFunc(m.Phase(rig.HookUp), func(id string) bool { return slices.Contains(tags, m.Steps[id].Tag) })
}

func note(id string, v finding.Verdict, field string) finding.Finding {
	f := finding.Finding{ID: "walkround." + strings.ReplaceAll(id, "_", "-"), Area: finding.Trip, Verdict: v, Says: finding.Say("walkround."+id, nil)}
	if v == finding.Mind {
		f.Basis = []finding.Basis{{Kind: finding.Practice, Reference: "common practice of the trade"}}
	}
	if field != "" {
		f.Fields = []string{field}
	}
	return f
}

func deciding(f finding.Finding) finding.Finding {
	f.Decides = true
	return f
}
