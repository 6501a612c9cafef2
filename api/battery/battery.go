// Package battery judges what towing asks of the towed car's battery.
package battery

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Report is the answer of battery/check.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
}

// Check judges the towed car's battery: what the manual wants of it against
// what is connected to it, and the engine runs the manual asks for.
func Check(in rig.Input) Report {
	fs := []finding.Finding{}
	for _, judge := range []func(rig.Rig) *finding.Finding{state, chargeLine, draw, engineRun} {
		if f := judge(*in.Rig); f != nil {
			fs = append(fs, *f)
		}
	}
	finding.Sort(fs)
	return Report{Verdict: finding.Worst(fs), Findings: fs}
}

// state holds what is recorded of the battery against the manual's steps.
func state(r rig.Rig) *finding.Finding {
	f := &finding.Finding{ID: "battery.state", Area: finding.Battery, Verdict: finding.FindOut, Fields: []string{"/towed/battery"}}
	cable := r.Manual.Tagged(rig.HookUp, rig.BatteryOff) != nil
	fuse := r.Manual.Tagged(rig.HookUp, rig.PullsFuse) != nil
	recorded := r.Towed.Battery
	switch {
	case r.BatteryWhileTowed() == "":
		f.Says = finding.Say("battery.state_unknown", nil)
	case recorded == rig.BatteryConnected && (cable || fuse),
		recorded == rig.FuseRemoved && cable:
		f.Decides, f.Says = true, finding.Say("battery.state_contradicted", nil)
		f.Fields = append(f.Fields, "/manual/steps")
	case recorded == rig.BatteryDisconnected && !cable, recorded == rig.FuseRemoved && !fuse:
		f.Says = finding.Say("battery.state_no_step", nil)
		f.Fields = []string{"/manual/steps"}
	default:
		return nil
	}
	return f
}

// chargeLine: a line to a battery whose cable is off re-energises the car
// through the battery post and the body.
func chargeLine(r rig.Rig) *finding.Finding {
	line, off := r.Harness.ChargeLine, r.BatteryWhileTowed() == rig.BatteryDisconnected
	f := &finding.Finding{ID: "battery.charge-line", Area: finding.Battery, Basis: []finding.Basis{practice}}
	switch {
	case rig.Is(line.Fitted, true) && line.To == rig.ToCarBattery && off:
		f.Verdict, f.Decides = finding.NoGo, true
		f.Says, f.Remedy = finding.Say("battery.charge_line_reconnects", nil), finding.Advise("battery.charge_line_reconnects.remedy", nil)
		f.Fields = []string{"/harness/charge_line/to", "/towed/battery"}
	case rig.Is(line.Fitted, true) && line.To == rig.ToCarBattery && r.BatteryWhileTowed() == "":
		f.Verdict, f.Decides = finding.FindOut, true
		f.Says, f.Fields = finding.Say("battery.charge_line_state_unknown", nil), []string{"/towed/battery"}
	case rig.Is(line.Fitted, true) && line.To == "":
		f.Verdict, f.Decides = finding.FindOut, off
		f.Says, f.Fields = finding.Say("battery.charge_line_to_unknown", nil), []string{"/harness/charge_line/to"}
	case charges(line):
		f.Verdict, f.Says = finding.OK, finding.Say("battery.charge_line_feeds", nil)
	default:
		return nil
	}
	return f
}

func charges(line rig.ChargeLine) bool {
	return rig.Is(line.Fitted, true) && line.To == rig.ToCarBattery
}

// draw judges an ignition that stays on over the day. How long the battery
// lasts is not guessed: the draw must be measured.
func draw(r rig.Rig) *finding.Finding {
	if r.BatteryWhileTowed() == rig.BatteryDisconnected || charges(r.Harness.ChargeLine) {
		return nil
	}
	f := &finding.Finding{ID: "battery.draw", Area: finding.Battery, Basis: []finding.Basis{practice}}
	awake := r.Towed.Ignition == rig.IgnitionAccessory || r.Towed.Ignition == rig.IgnitionOn
	switch {
	case r.Towed.Ignition == "":
		f.Verdict, f.Says, f.Fields = finding.FindOut, finding.Say("battery.ignition_unknown", nil), []string{"/towed/ignition"}
	case !awake:
		f.Verdict, f.Says = finding.OK, finding.Say("battery.asleep", nil)
	case r.Harness.ChargeLine.Fitted == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("battery.awake_line_unknown", nil)
		f.Fields, f.Remedy = []string{"/harness/charge_line/fitted"}, finding.Advise("battery.awake.remedy", nil)
	default:
		f.Verdict, f.Says = finding.Mind, finding.Say("battery.awake", nil)
		f.Fields, f.Remedy = []string{"/harness/charge_line", "/towed/ignition"}, finding.Advise("battery.awake.remedy", nil)
	}
	return f
}

// engineRun holds the manual's engine runs against its steps.
func engineRun(r rig.Rig) *finding.Finding {
	every, minutes := r.Permission.EngineRunEveryH, r.Permission.EngineRunMin
	steps := r.Manual.Phase(rig.EngineRun)
	f := &finding.Finding{ID: "battery.engine-run", Area: finding.Battery}
	switch {
	case every == nil && minutes == nil && steps == nil:
		return nil
	case steps == nil:
		f.Verdict, f.Decides = finding.FindOut, true
		f.Says, f.Fields = finding.Say("battery.engine_run_no_steps", nil), []string{"/manual/steps"}
	case every == nil || minutes == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("battery.engine_run_when", nil)
		if every == nil {
			f.Fields = append(f.Fields, "/permission/engine_run_every_h")
		}
		if minutes == nil {
			f.Fields = append(f.Fields, "/permission/engine_run_min")
		}
	default:
		f.Verdict = finding.Mind
		f.Says = finding.Say("battery.engine_run", finding.Params{"every": finding.Num(*every, "h"), "minutes": finding.Num(*minutes, "min")})
		f.Basis = []finding.Basis{{Kind: finding.Rating, Reference: "/permission/engine_run_every_h"}}
		f.Figures = []finding.Figure{
			{Label: "battery.figure.every", Value: finding.Num(*every, "h"), Entered: true},
			{Label: "battery.figure.minutes", Value: finding.Num(*minutes, "min"), Entered: true},
		}
	}
	return f
}

var practice = finding.Basis{Kind: finding.Practice, Reference: "common practice of the trade"}
