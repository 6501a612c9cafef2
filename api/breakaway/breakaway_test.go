package breakaway

import (
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/rig"
)

// Where a kit is fastened and what feeds it: common practice after failures that
// happened.
func TestCheck(t *testing.T) {
	sound := func(change func(*rig.Rig)) rig.Rig {
		r := rig.Rig{Towed: rig.Towed{Battery: rig.BatteryConnected}, Breakaway: rig.Breakaway{
			Fitted: ptr(true), LanyardOn: rig.Frame, SwitchOn: rig.Frame, PoweredFrom: rig.FromOwnBattery,
			Battery: rig.StoredPower{ChargedBy: rig.FromMotorhome}, MeasuredHoldMin: ptr(20.0),
		}}
		change(&r)
		return r
	}
	for name, c := range map[string]struct {
		change  func(*rig.Rig)
		verdict finding.Verdict
		id      string
		is      finding.Verdict
	}{
		"OK":                   {func(*rig.Rig) {}, finding.OK, "measured", finding.OK},
		"NoKitDoesNotDecide":   {func(r *rig.Rig) { r.Breakaway = rig.Breakaway{Fitted: ptr(false)} }, finding.OK, "kit", finding.Mind},
		"UnknownDoesNotDecide": {func(r *rig.Rig) { r.Breakaway = rig.Breakaway{} }, finding.OK, "kit", finding.FindOut},
		"ErrLanyardOnReceiver": {func(r *rig.Rig) { r.Breakaway.LanyardOn = rig.ReceiverPoint }, finding.NoGo, "lanyard", finding.NoGo},
		"ErrLanyardOnBar":      {func(r *rig.Rig) { r.Breakaway.LanyardOn = rig.OnTowBar }, finding.NoGo, "lanyard", finding.NoGo},
		"MindLanyardOnCable":   {func(r *rig.Rig) { r.Breakaway.LanyardOn = rig.OnCable }, finding.Mind, "lanyard", finding.Mind},
		"LanyardUnknown":       {func(r *rig.Rig) { r.Breakaway.LanyardOn = "" }, finding.OK, "lanyard", finding.FindOut},
		"ErrSwitchOnPlate":     {func(r *rig.Rig) { r.Breakaway.SwitchOn = rig.OnBasePlate }, finding.NoGo, "switch", finding.NoGo},
		"ErrSwitchOnArms":      {func(r *rig.Rig) { r.Breakaway.SwitchOn = rig.OnTowBar }, finding.NoGo, "switch", finding.NoGo},
		"MindSwitchOnBumper":   {func(r *rig.Rig) { r.Breakaway.SwitchOn = rig.OnBumper }, finding.Mind, "switch", finding.Mind},
		"SwitchUnknown":        {func(r *rig.Rig) { r.Breakaway.SwitchOn = rig.OtherPlace }, finding.OK, "switch", finding.FindOut},
		"ErrFedFromMotorhome":  {func(r *rig.Rig) { r.Breakaway.PoweredFrom = rig.FromMotorhome }, finding.NoGo, "supply", finding.NoGo},
		"ErrFedFromBatteryOff": {func(r *rig.Rig) {
			r.Breakaway.PoweredFrom, r.Towed.Battery = rig.FromCarBattery, rig.BatteryDisconnected
		}, finding.NoGo, "supply", finding.NoGo},
		"ErrFedFromUnknown": {func(r *rig.Rig) { r.Breakaway.PoweredFrom, r.Towed.Battery = rig.FromCarBattery, "" }, finding.FindOut, "supply", finding.FindOut},
		"MindShared":        {func(r *rig.Rig) { r.Breakaway.PoweredFrom = rig.FromCarBattery }, finding.OK, "supply", finding.Mind},
		"SupplyUnknown":     {func(r *rig.Rig) { r.Breakaway.PoweredFrom = "" }, finding.OK, "supply", finding.FindOut},
		"SupplyUnknownOff":  {func(r *rig.Rig) { r.Breakaway.PoweredFrom, r.Towed.Battery = "", rig.FuseRemoved }, finding.FindOut, "supply", finding.FindOut},
		"NothingCharges":    {func(r *rig.Rig) { r.Breakaway.Battery.ChargedBy = rig.NoPowerNeeded }, finding.OK, "supply", finding.Mind},
		"ChargedFromBatteryOff": {func(r *rig.Rig) {
			r.Breakaway.Battery.ChargedBy, r.Towed.Battery = rig.FromCarBattery, rig.BatteryDisconnected
		}, finding.OK, "supply", finding.Mind},
		"NeverTimed": {func(r *rig.Rig) { r.Breakaway.MeasuredHoldMin = nil }, finding.OK, "measured", finding.FindOut},
	} {
		t.Run(name, func(t *testing.T) {
			r := sound(c.change)
			report := Check(rig.Input{Rig: &r})
			if report.Verdict != c.verdict || !has(report.Findings, c.id, c.is) {
				t.Errorf("verdict %s, want %s with %s %s: %v", report.Verdict, c.verdict, c.id, c.is, report.Findings)
			}
			for _, f := range report.Findings {
				if f.Verdict == finding.OK && len(f.Basis) == 0 {
					t.Errorf("%s is OK without a basis", f.ID)
				}
				if f.Verdict == finding.FindOut && len(f.Fields) == 0 {
					t.Errorf("%s does not say what to find out", f.ID)
				}
				if strings.ContainsAny(f.Says.Sentence, "{}") || f.Says.Sentence == f.Says.ID {
					t.Errorf("%s says %q", f.ID, f.Says.Sentence)
				}
			}
		})
	}
}

// The manual's own step that takes the cable off counts like the recorded state.
func TestCheckReadsTheManual(t *testing.T) {
	r := rig.Rig{
		Breakaway: rig.Breakaway{Fitted: ptr(true), PoweredFrom: rig.FromCarBattery},
		Manual:    rig.Manual{Steps: map[string]rig.Step{"a": {Phase: rig.HookUp, Text: "x", Tag: rig.BatteryOff}}},
	}
	if !has(Check(rig.Input{Rig: &r}).Findings, "supply", finding.NoGo) {
		t.Error("a kit on a battery that a step disconnects is not dead")
	}
}
