package brakes

import (
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

func ptr[T any](v T) *T { return &v }

// sound is a rig with a brake unit that nothing contradicts.
func sound() rig.Rig {
	return rig.Rig{
		Towing: rig.Towing{BrakeKind: rig.HydraulicBrakes},
		Towed:  rig.Towed{Booster: rig.VacuumBooster, Battery: rig.BatteryConnected, Actual: rig.Weight{Weight: ptr(unit.LB(4000))}},
		BrakeUnit: rig.BrakeUnit{
			Fitted: ptr(true), Actuation: rig.PortableInertia, PoweredFrom: rig.FromCarBattery,
			PressesPedal: ptr(true), CabMonitor: ptr(true), MaxTowedWeight: ptr(unit.LB(4000)),
		},
	}
}

// passed is every set-up test that applies, passed.
func passed(r rig.Rig) map[string]rig.SetUpTest {
	all := map[string]rig.SetUpTest{}
	for _, s := range SetUp(r) {
		all[s.ID] = rig.SetUpTest{Passed: ptr(true)}
	}
	return all
}

func TestCheck(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(*rig.Rig)
		verdict finding.Verdict
		id      string
		is      finding.Verdict
	}{
		"OK":                   {func(*rig.Rig) {}, finding.OK, "label", finding.OK},
		"OKFit":                {func(*rig.Rig) {}, finding.OK, "fit", finding.OK},
		"NoUnitDoesNotDecide":  {func(r *rig.Rig) { r.BrakeUnit = rig.BrakeUnit{Fitted: ptr(false)} }, finding.OK, "unit", finding.Mind},
		"UnknownDoesNotDecide": {func(r *rig.Rig) { r.BrakeUnit = rig.BrakeUnit{} }, finding.OK, "unit", finding.FindOut},
		"ErrBatteryOff":        {func(r *rig.Rig) { r.Towed.Battery = rig.BatteryDisconnected }, finding.NoGo, "power", finding.NoGo},
		"ErrFuseOut":           {func(r *rig.Rig) { r.Towed.Battery = rig.FuseRemoved }, finding.NoGo, "power", finding.NoGo},
		"ErrBatteryUnknown":    {func(r *rig.Rig) { r.Towed.Battery = "" }, finding.FindOut, "power", finding.FindOut},
		"OwnBatteryBatteryOff": {func(r *rig.Rig) {
			r.Towed.Battery, r.BrakeUnit.PoweredFrom = rig.BatteryDisconnected, rig.FromOwnBattery
		}, finding.OK, "power", finding.OK},
		"ErrStepTakesCableOff": {func(r *rig.Rig) {
			r.Towed.Battery = ""
			r.Manual.Steps = map[string]rig.Step{"a": {Phase: rig.HookUp, Text: "x", Tag: rig.BatteryOff}}
		}, finding.NoGo, "power", finding.NoGo},
		"PowerUnknown":          {func(r *rig.Rig) { r.BrakeUnit.PoweredFrom = "" }, finding.OK, "power", finding.FindOut},
		"ErrOverLabel":          {func(r *rig.Rig) { r.Towed.Actual.Weight = ptr(unit.LB(4000.001)) }, finding.NoGo, "label", finding.NoGo},
		"OKLabelInKilograms":    {func(r *rig.Rig) { r.BrakeUnit.MaxTowedWeight = ptr(unit.KG(1814.37)) }, finding.OK, "label", finding.OK},
		"ErrOverLabelKilograms": {func(r *rig.Rig) { r.BrakeUnit.MaxTowedWeight = ptr(unit.KG(1814.369)) }, finding.NoGo, "label", finding.NoGo},
		"LabelUnread":           {func(r *rig.Rig) { r.BrakeUnit.MaxTowedWeight = nil }, finding.OK, "label", finding.FindOut},
		"NotWeighed":            {func(r *rig.Rig) { r.Towed.Actual = rig.Weight{} }, finding.OK, "label", finding.FindOut},
		"ElectricBooster":       {func(r *rig.Rig) { r.Towed.Booster = rig.ElectricBooster }, finding.OK, "electric-booster", finding.Mind},
		"NoMonitor":             {func(r *rig.Rig) { r.BrakeUnit.CabMonitor = ptr(false) }, finding.OK, "monitor", finding.Mind},
		"MonitorUnknown":        {func(r *rig.Rig) { r.BrakeUnit.CabMonitor = nil }, finding.OK, "monitor", finding.FindOut},
		"ActuationUnknown":      {func(r *rig.Rig) { r.BrakeUnit.Actuation = "" }, finding.OK, "fit", finding.FindOut},
		"ErrBrakeKindUnknown":   {func(r *rig.Rig) { r.BrakeUnit.Actuation, r.Towing.BrakeKind = rig.AirOnPedal, "" }, finding.FindOut, "fit", finding.FindOut},
		"ErrBoosterUnknown":     {func(r *rig.Rig) { r.BrakeUnit.Actuation, r.Towed.Booster = rig.OwnVacuum, "" }, finding.FindOut, "fit", finding.FindOut},
		"ErrTapRefused": {func(r *rig.Rig) {
			r.BrakeUnit.Actuation, r.Towing.BrakeKind, r.Towing.TapAllowed = rig.AirOnPedal, rig.AirBrakes, ptr(false)
		}, finding.NoGo, "tap", finding.NoGo},
		"TapAllowed": {func(r *rig.Rig) {
			r.BrakeUnit.Actuation, r.Towing.BrakeKind, r.Towing.TapAllowed = rig.AirOnPedal, rig.AirBrakes, ptr(true)
		}, finding.OK, "tap", finding.OK},
		"SetUpOpen":     {func(*rig.Rig) {}, finding.OK, "set-up", finding.FindOut},
		"SetUpPassed":   {func(r *rig.Rig) { r.BrakeUnit.SetUp = passed(*r) }, finding.OK, "set-up", finding.OK},
		"ErrSetUpFail":  {func(r *rig.Rig) { r.BrakeUnit.SetUp = map[string]rig.SetUpTest{"slow": {Passed: ptr(false)}} }, finding.NoGo, "set-up", finding.NoGo},
		"TapNeedsLeave": {func(r *rig.Rig) { r.BrakeUnit.Actuation, r.Towing.BrakeKind = rig.AirOnPedal, rig.AirBrakes }, finding.OK, "tap", finding.Mind},
	} {
		t.Run(name, func(t *testing.T) {
			r := sound()
			c.change(&r)
			report := Check(rig.Input{Rig: &r})
			if report.Verdict != c.verdict {
				t.Errorf("verdict %s, want %s", report.Verdict, c.verdict)
			}
			if !slices.ContainsFunc(report.Findings, func(f finding.Finding) bool { return f.ID == "brakes."+c.id && f.Verdict == c.is }) {
				t.Errorf("no %s that is %s in %v", c.id, c.is, report.Findings)
			}
			for _, f := range report.Findings {
				if f.Verdict == finding.OK && len(f.Basis) == 0 || f.Verdict == finding.FindOut && len(f.Fields) == 0 {
					t.Errorf("%s lacks its basis or its fields", f.ID)
				}
				if strings.ContainsAny(f.Says.Sentence, "{}") || f.Says.Sentence == f.Says.ID {
					t.Errorf("%s says %q", f.ID, f.Says.Sentence)
				}
			}
		})
	}
}

// The pairs ruled out, and no other: our engineering judgment, from how each
// actuation type works.
func TestRuledOut(t *testing.T) {
	out := map[rig.Actuation][]string{
		rig.AirOnPedal:       {"hydraulic", "by_wire"},
		rig.AirBehindBooster: {"hydraulic", "by_wire", "+electric"},
		rig.HydraulicSensing: {"air", "air_over_hydraulic", "by_wire"},
		rig.OwnVacuum:        {"+hydroboost", "+electric", "+none"},
		rig.SignalTriggered:  {"+electric"},
	}
	for _, a := range rig.Actuation("").Values() {
		for _, k := range rig.BrakeKind("").Values() {
			for _, b := range rig.Booster("").Values() {
				r := sound()
				r.BrakeUnit.Actuation, r.Towing.BrakeKind, r.Towed.Booster = rig.Actuation(a), rig.BrakeKind(k), rig.Booster(b)
				want := slices.Contains(out[rig.Actuation(a)], k) || slices.Contains(out[rig.Actuation(a)], "+"+b) || a == "car_by_wire"
				f := fit(r)
				if got := f.Verdict == finding.NoGo; got != want {
					t.Errorf("%s, %s brakes, booster %s: ruled out %v, want %v", a, k, b, got, want)
				}
				if f.Says.Sentence == f.Says.ID {
					t.Errorf("the catalogue lacks %s", f.Says.ID)
				}
			}
		}
	}
}
