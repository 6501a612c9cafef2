package battery

import (
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/rig"
)

func ptr[T any](v T) *T { return &v }

func steps(tags ...rig.StepTag) rig.Manual {
	m := rig.Manual{Steps: map[string]rig.Step{}}
	for i, tag := range tags {
		m.Steps[string(rune('a'+i))] = rig.Step{Phase: rig.HookUp, Order: i, Text: "x", Tag: tag}
	}
	return m
}

func TestCheck(t *testing.T) {
	line := func(to rig.ChargedSource) rig.Harness {
		return rig.Harness{ChargeLine: rig.ChargeLine{Fitted: ptr(true), To: to}}
	}
	bare := rig.Harness{ChargeLine: rig.ChargeLine{Fitted: ptr(false)}}
	run := map[string]rig.Step{"r": {Phase: rig.EngineRun, Text: "x", Tag: rig.RunsEngine}}
	kept := rig.Towed{Battery: rig.BatteryConnected, Ignition: rig.IgnitionOff}
	off := rig.Towed{Battery: rig.BatteryDisconnected, Ignition: rig.IgnitionOff}
	for name, c := range map[string]struct {
		rig     rig.Rig
		verdict finding.Verdict
		id      string
		is      finding.Verdict // empty: the finding must be absent
	}{
		"OK":                     {rig.Rig{Towed: kept, Harness: bare}, finding.OK, "draw", finding.OK},
		"OKCharged":              {rig.Rig{Towed: kept, Harness: line(rig.ToCarBattery)}, finding.OK, "charge-line", finding.OK},
		"NothingEntered":         {rig.Rig{}, finding.OK, "state", finding.FindOut},
		"ErrLineToDisconnected":  {rig.Rig{Towed: off, Harness: line(rig.ToCarBattery), Manual: steps(rig.BatteryOff)}, finding.NoGo, "charge-line", finding.NoGo},
		"ErrLineToTakenOff":      {rig.Rig{Harness: line(rig.ToCarBattery), Manual: steps(rig.BatteryOff)}, finding.NoGo, "charge-line", finding.NoGo},
		"LineToOtherBattery":     {rig.Rig{Towed: off, Harness: line(rig.ToBreakawayBattery), Manual: steps(rig.BatteryOff)}, finding.OK, "charge-line", ""},
		"LineWithFuseOut":        {rig.Rig{Towed: rig.Towed{Battery: rig.FuseRemoved}, Harness: line(rig.ToCarBattery), Manual: steps(rig.PullsFuse)}, finding.OK, "charge-line", finding.OK},
		"ErrLineStateUnknown":    {rig.Rig{Harness: line(rig.ToCarBattery)}, finding.FindOut, "charge-line", finding.FindOut},
		"LineToUnknown":          {rig.Rig{Towed: kept, Harness: line("")}, finding.OK, "charge-line", finding.FindOut},
		"ErrLineToUnknownOff":    {rig.Rig{Towed: off, Harness: line(""), Manual: steps(rig.BatteryOff)}, finding.FindOut, "charge-line", finding.FindOut},
		"ErrContradicted":        {rig.Rig{Towed: kept, Manual: steps(rig.BatteryOff)}, finding.FindOut, "state", finding.FindOut},
		"OffWithoutStep":         {rig.Rig{Towed: off}, finding.OK, "state", finding.FindOut},
		"OffWithStep":            {rig.Rig{Towed: off, Manual: steps(rig.BatteryOff)}, finding.OK, "state", ""},
		"Awake":                  {rig.Rig{Towed: rig.Towed{Battery: rig.BatteryConnected, Ignition: rig.IgnitionAccessory}, Harness: bare}, finding.OK, "draw", finding.Mind},
		"AwakeLineUnknown":       {rig.Rig{Towed: rig.Towed{Battery: rig.BatteryConnected, Ignition: rig.IgnitionOn}}, finding.OK, "draw", finding.FindOut},
		"AwakeCharged":           {rig.Rig{Towed: rig.Towed{Battery: rig.BatteryConnected, Ignition: rig.IgnitionOn}, Harness: line(rig.ToCarBattery)}, finding.OK, "draw", ""},
		"AwakeButOff":            {rig.Rig{Towed: rig.Towed{Battery: rig.BatteryDisconnected, Ignition: rig.IgnitionOn}, Manual: steps(rig.BatteryOff)}, finding.OK, "draw", ""},
		"IgnitionUnknown":        {rig.Rig{Towed: rig.Towed{Battery: rig.BatteryConnected}, Harness: bare}, finding.OK, "draw", finding.FindOut},
		"NoEngineRun":            {rig.Rig{Towed: kept}, finding.OK, "engine-run", ""},
		"ErrEngineRunNoSteps":    {rig.Rig{Towed: kept, Permission: rig.Permission{EngineRunEveryH: ptr(6.0), EngineRunMin: ptr(5.0)}}, finding.FindOut, "engine-run", finding.FindOut},
		"EngineRun":              {rig.Rig{Towed: kept, Permission: rig.Permission{EngineRunEveryH: ptr(6.0), EngineRunMin: ptr(5.0)}, Manual: rig.Manual{Steps: run}}, finding.OK, "engine-run", finding.Mind},
		"EngineRunWhen":          {rig.Rig{Towed: kept, Manual: rig.Manual{Steps: run}}, finding.OK, "engine-run", finding.FindOut},
		"ErrEngineRunOnlyLength": {rig.Rig{Towed: kept, Permission: rig.Permission{EngineRunMin: ptr(5.0)}}, finding.FindOut, "engine-run", finding.FindOut},
	} {
		t.Run(name, func(t *testing.T) {
			report := Check(rig.Input{Rig: &c.rig})
			if report.Verdict != c.verdict {
				t.Errorf("verdict %s, want %s", report.Verdict, c.verdict)
			}
			i := slices.IndexFunc(report.Findings, func(f finding.Finding) bool { return f.ID == "battery."+c.id })
			if (i >= 0) != (c.is != "") || i >= 0 && report.Findings[i].Verdict != c.is {
				t.Errorf("want %s to be %q in %v", c.id, c.is, report.Findings)
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
