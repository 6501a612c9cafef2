// Package brakes judges the supplemental brake of the towed car: what on the
// rig contradicts it. It selects no brake and knows no law.
package brakes

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Report is the answer of brakes/check.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
}

// Check judges a rig's supplemental brake.
func Check(in rig.Input) Report {
	r := *in.Rig
	judges := [...]func(rig.Rig) *finding.Finding{power, label, fit, tap, electricBooster, monitor, absAsleep, controller, blind, setUp}
	fs := make([]finding.Finding, 0, len(judges))
	if rig.Is(r.BrakeUnit.Fitted, true) {
		for _, judge := range judges {
			if f := judge(r); f != nil {
				fs = append(fs, *f)
			}
		}
	} else {
		fs = append(fs, absent(r.BrakeUnit))
	}
	finding.Sort(fs)
	return Report{Verdict: finding.Worst(fs), Findings: fs}
}

// absent never decides: whether this car needs brakes is for the law of the
// route and the chassis maker's limit.
func absent(b rig.BrakeUnit) finding.Finding {
	f := finding.Finding{ID: "brakes.unit", Area: finding.Brakes, Fields: []string{"/brake_unit/fitted"}}
	if b.Fitted == nil {
		f.Verdict, f.Says = finding.FindOut, finding.Say("brakes.unit_unknown", nil)
	} else {
		f.Verdict, f.Says, f.Basis = finding.Mind, finding.Say("brakes.unit_none", nil), []finding.Basis{practice}
	}
	return f
}

// power holds the unit's supply against what the manual wants of the battery.
func power(r rig.Rig) *finding.Finding {
	state, from := r.BatteryWhileTowed(), r.BrakeUnit.PoweredFrom
	off := state == rig.BatteryDisconnected || state == rig.FuseRemoved
	f := &finding.Finding{ID: "brakes.power", Area: finding.Brakes, Basis: []finding.Basis{practice}}
	switch {
	case from == "":
		f.Verdict, f.Decides = finding.FindOut, off
		f.Says = finding.Say("brakes.power_unknown", nil)
		f.Fields = []string{"/brake_unit/powered_from"}
	case from == rig.FromCarBattery && off:
		f.Verdict, f.Decides = finding.NoGo, true
		f.Says = finding.Say("brakes.power_cut", finding.Params{"state": finding.Word("brakes.battery." + string(state))})
		f.Remedy = finding.Advise("brakes.power_cut.remedy", nil)
		f.Fields = []string{"/brake_unit/powered_from", "/towed/battery"}
	case from == rig.FromCarBattery && state == "":
		f.Verdict, f.Decides = finding.FindOut, true
		f.Says = finding.Say("brakes.power_battery_unknown", nil)
		f.Fields = []string{"/towed/battery"}
	default:
		f.Verdict, f.Says = finding.OK, finding.Say("brakes.power_kept", nil)
	}
	return f
}

// label holds the unit's label against the car on the scale.
func label(r rig.Rig) *finding.Finding {
	limit, actual := r.BrakeUnit.MaxTowedWeight, r.Towed.Actual.Weight
	f := &finding.Finding{ID: "brakes.label", Area: finding.Brakes}
	switch {
	case limit == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("brakes.label_unread", nil)
		f.Fields = []string{"/brake_unit/max_towed_weight"}
		return f
	case actual == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("brakes.label_no_weight", nil)
		f.Fields = []string{"/towed/actual/weight"}
		return f
	}
	f.Decides = true
	f.Basis = []finding.Basis{{Kind: finding.Rating, Reference: "/brake_unit/max_towed_weight"}}
	f.Figures = []finding.Figure{
		{Label: "brakes.figure.label", Value: finding.MassOf(*limit), Entered: true},
		{Label: "brakes.figure.car", Value: finding.MassOf(*actual), Entered: true},
	}
	params := finding.Params{"limit": finding.MassOf(*limit), "car": finding.MassOf(*actual)}
	if actual.Over(*limit) {
		f.Verdict, f.Says = finding.NoGo, finding.Say("brakes.label_over", params)
		f.Remedy = finding.Advise("brakes.label_over.remedy", nil)
		f.Fields = []string{"/brake_unit/max_towed_weight", "/towed/actual/weight"}
	} else {
		f.Verdict, f.Says = finding.OK, finding.Say("brakes.label_enough", params)
	}
	return f
}

// tap reminds whose leave a tap into the motorhome's brakes needs.
func tap(r rig.Rig) *finding.Finding {
	switch r.BrakeUnit.Actuation {
	case rig.AirOnPedal, rig.AirBehindBooster, rig.HydraulicSensing:
	default:
		return nil
	}
	f := &finding.Finding{ID: "brakes.tap", Area: finding.Brakes, Basis: []finding.Basis{practice}, Fields: []string{"/towing/tap_allowed"}}
	switch allowed := r.Towing.TapAllowed; {
	case allowed == nil:
		f.Verdict, f.Says = finding.Mind, finding.Say("brakes.tap", nil)
	case *allowed:
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("brakes.tap_allowed", nil), nil
		f.Basis = []finding.Basis{{Kind: finding.Rating, Reference: "/towing/tap_allowed"}}
	default:
		f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("brakes.ruled_out.tap_refused", nil)
		f.Remedy = finding.Advise("brakes.ruled_out.remedy", nil)
		f.Basis = []finding.Basis{{Kind: finding.Rating, Reference: "/towing/tap_allowed"}}
	}
	return f
}

// electricBooster warns that pumping does not take the assist away.
func electricBooster(r rig.Rig) *finding.Finding {
	if r.Towed.Booster != rig.ElectricBooster || rig.Is(r.BrakeUnit.PressesPedal, false) {
		return nil
	}
	return &finding.Finding{
		ID: "brakes.electric-booster", Area: finding.Brakes, Verdict: finding.Mind,
		Says: finding.Say("brakes.electric_booster", nil), Remedy: finding.Advise("brakes.electric_booster.remedy", nil),
		Basis: []finding.Basis{judgment}, Fields: []string{"/towed/booster"},
	}
}

func monitor(r rig.Rig) *finding.Finding {
	f := &finding.Finding{ID: "brakes.monitor", Area: finding.Brakes, Fields: []string{"/brake_unit/cab_monitor"}}
	switch {
	case r.BrakeUnit.CabMonitor == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("brakes.monitor_unknown", nil)
	case !*r.BrakeUnit.CabMonitor:
		f.Verdict, f.Says, f.Basis = finding.Mind, finding.Say("brakes.monitor_none", nil), []finding.Basis{practice}
	default:
		return nil
	}
	return f
}

var practice = finding.Basis{Kind: finding.Practice, Reference: "common practice of the trade"}
