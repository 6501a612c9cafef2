// Package breakaway judges the switch, lanyard and battery that put the car's
// brakes on when it parts from the motorhome, and how long they hold.
package breakaway

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// WantedMin is how many minutes the brakes of a parted vehicle must stay on.
//
// Source: S.D. Codified Laws 32-18-17 and D.C. Mun. Regs. 18-721 (read);
// 49 CFR 393.43(d) (from memory), which binds carriers only. Which state asks it
// of a towed car is for the law.
const WantedMin = 15.0

// Report is the answer of Check.
type Report struct {
	Verdict  finding.Verdict   `json:"verdict"`
	Findings []finding.Finding `json:"findings"`
}

// Check judges a rig's breakaway kit: where it is fastened, what feeds it, and
// how long it was seen to hold. Hold computes how long it should.
func Check(in rig.Input) Report {
	r := *in.Rig
	fs := []finding.Finding{}
	if rig.Is(r.Breakaway.Fitted, true) {
		fs = append(fs, lanyard(r.Breakaway), switchPlace(r.Breakaway), feed(r), seen(r.Breakaway), care())
	} else {
		fs = append(fs, absent(r.Breakaway))
	}
	finding.Sort(fs)
	return Report{Verdict: finding.Worst(fs), Findings: fs}
}

// absent never decides: which car needs a kit is for the law of the route.
func absent(k rig.Breakaway) finding.Finding {
	f := newFinding("kit", "fitted")
	if k.Fitted == nil {
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.kit_unknown", nil), nil
	} else {
		f.Verdict, f.Says = finding.Mind, finding.Say("breakaway.kit_none", nil)
	}
	return f
}

// lanyard: it must hang on what stays with the motorhome when the coupling
// fails. Receivers, bars and plates are what fails.
func lanyard(k rig.Breakaway) finding.Finding {
	f := newFinding("lanyard", "lanyard_on")
	switch k.LanyardOn {
	case rig.Frame:
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("breakaway.lanyard_frame", nil), nil
	case rig.ReceiverPoint, rig.OnTowBar, rig.OnBasePlate:
		f.Verdict, f.Decides = finding.NoGo, true
		f.Says = finding.Say("breakaway.lanyard_fails_with", place(k.LanyardOn))
		f.Remedy = finding.Advise("breakaway.lanyard.remedy", nil)
	case rig.OnCable, rig.OnBumper:
		f.Verdict, f.Decides = finding.Mind, true
		f.Says = finding.Say("breakaway.lanyard_weak", place(k.LanyardOn))
		f.Remedy = finding.Advise("breakaway.lanyard.remedy", nil)
	default:
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.lanyard_unknown", nil), nil
	}
	return f
}

// switchPlace: it must stay with the car when plate or bumper come off.
func switchPlace(k rig.Breakaway) finding.Finding {
	f := newFinding("switch", "switch_on")
	switch k.SwitchOn {
	case rig.Frame:
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("breakaway.switch_frame", nil), nil
	case rig.OnTowBar, rig.OnBasePlate, rig.OnCable, rig.ReceiverPoint:
		f.Verdict, f.Decides = finding.NoGo, true
		f.Says = finding.Say("breakaway.switch_fails_with", place(k.SwitchOn))
		f.Remedy = finding.Advise("breakaway.switch.remedy", nil)
	case rig.OnBumper:
		f.Verdict, f.Decides = finding.Mind, true
		f.Says = finding.Say("breakaway.switch_fails_with", place(k.SwitchOn))
		f.Remedy = finding.Advise("breakaway.switch.remedy", nil)
	default:
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.switch_unknown", nil), nil
	}
	return f
}

// feed holds what feeds the kit against what is left after parting, and
// against what the manual wants of the car's battery.
func feed(r rig.Rig) finding.Finding {
	f := newFinding("supply", "powered_from")
	state := r.BatteryWhileTowed()
	off := state == rig.BatteryDisconnected || state == rig.FuseRemoved
	switch from := r.Breakaway.PoweredFrom; {
	case from == rig.FromMotorhome:
		f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("breakaway.supply_parts", nil)
		f.Remedy = finding.Advise("breakaway.supply.remedy", nil)
	case from == rig.FromCarBattery && off:
		f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("breakaway.supply_cut", nil)
		f.Remedy = finding.Advise("breakaway.supply.remedy", nil)
		f.Fields = append(f.Fields, "/towed/battery")
	case from == rig.FromCarBattery && state == "":
		f.Verdict, f.Decides, f.Says = finding.FindOut, true, finding.Say("breakaway.supply_state_unknown", nil)
		f.Fields = []string{"/towed/battery"}
	case from == rig.FromCarBattery:
		f.Verdict, f.Says = finding.Mind, finding.Say("breakaway.supply_shared", nil)
		f.Remedy = finding.Advise("breakaway.supply.remedy", nil)
	case from == rig.FromOwnBattery:
		return ownBattery(r.Breakaway, off)
	case from == rig.NoPowerNeeded:
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("breakaway.supply_none_needed", nil), nil
	default:
		f.Verdict, f.Decides, f.Says, f.Basis = finding.FindOut, off, finding.Say("breakaway.supply_unknown", nil), nil
	}
	return f
}

// ownBattery: a store of its own holds only if something keeps it charged.
func ownBattery(k rig.Breakaway, carOff bool) finding.Finding {
	f := newFinding("supply", "battery/charged_by")
	switch by := k.Battery.ChargedBy; {
	case by == "":
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.charge_unknown", nil), nil
	case by == rig.NoPowerNeeded, by == rig.FromCarBattery && carOff:
		f.Verdict, f.Says = finding.Mind, finding.Say("breakaway.charge_none", nil)
		f.Remedy = finding.Advise("breakaway.charge_none.remedy", nil)
	default:
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("breakaway.charge_kept", nil), nil
	}
	return f
}

// seen judges a hold that somebody timed on this car. It speaks for the
// temperature and the battery of that day.
func seen(k rig.Breakaway) finding.Finding {
	f := newFinding("measured", "measured_hold_min")
	if k.MeasuredHoldMin == nil {
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.measured_never", nil), nil
		return f
	}
	f.Decides = true
	f.Basis = []finding.Basis{{Kind: finding.Measured, Reference: "/breakaway/measured_hold_min"}, fifteenMinutes}
	f.Figures = []finding.Figure{
		{Label: "breakaway.figure.measured", Value: finding.Num(*k.MeasuredHoldMin, "min"), Entered: true},
		{Label: "breakaway.figure.wanted", Value: finding.Num(WantedMin, "min")},
	}
	params := finding.Params{"held": finding.Num(*k.MeasuredHoldMin, "min"), "wanted": finding.Num(WantedMin, "min")}
	if *k.MeasuredHoldMin < WantedMin {
		f.Verdict, f.Says = finding.NoGo, finding.Say("breakaway.measured_short", params)
		f.Remedy = finding.Advise("breakaway.measured_short.remedy", nil)
	} else {
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("breakaway.measured_held", params), nil
	}
	return f
}

func care() finding.Finding {
	f := newFinding("care", "")
	f.Verdict, f.Says = finding.Mind, finding.Say("breakaway.care", nil)
	return f
}

func newFinding(id, field string) finding.Finding {
	f := finding.Finding{ID: "breakaway." + id, Area: finding.Breakaway, Basis: []finding.Basis{practice}}
	if field != "" {
		f.Fields = []string{"/breakaway/" + field}
	}
	return f
}

func place(p rig.AnchorPlace) finding.Params {
	return finding.Params{"place": finding.Word("breakaway.place." + string(p))}
}

var (
	practice       = finding.Basis{Kind: finding.Practice, Reference: "common practice of the trade, after failures that happened"}
	fifteenMinutes = finding.Basis{Kind: finding.Standard, Reference: "15 minutes: S.D. Codified Laws 32-18-17 and D.C. Mun. Regs. 18-721; 49 CFR 393.43(d), a yard-stick for carriers"}
)
