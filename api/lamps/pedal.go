package lamps

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// condition is one of the things that together hide the turn signal.
type condition struct {
	is    *bool
	field string
}

// turnMasked judges the second source of stop current: the car's own stop
// switch, closed when the brake unit moves the pedal. It lights the lamp in the
// dark half of the flash, so that followers see no turn signal under braking.
func turnMasked(r rig.Rig) *finding.Finding {
	h := r.Harness
	conditions := []condition{
		{unitMovesPedal(r.BrakeUnit), "/brake_unit/presses_pedal"},
		{h.CarStopLampsLive, "/harness/car_stop_lamps_live"},
		{negated(h.StopSwitchInterrupted), "/harness/stop_switch_interrupted"},
		{carSwitchReachesTurn(h, r.Towed), "/harness/approach"},
	}
	var unknown []string
	for _, c := range conditions {
		switch {
		case rig.Is(c.is, false):
			return nil
		case c.is == nil:
			unknown = append(unknown, c.field)
		}
	}
	f := &finding.Finding{
		ID: "lamps.turn-masked", Area: finding.Lamps, Verdict: finding.NoGo, Decides: true,
		Says: finding.Say("lamps.turn_masked", nil), Remedy: finding.Advise("lamps.turn_masked.remedy", nil),
		Basis:  []finding.Basis{solvedCircuit, opticallyCombined},
		Fields: []string{"/harness/stop_switch_interrupted", "/harness/approach"},
	}
	if unknown != nil {
		f.Verdict, f.Decides = finding.FindOut, false
		f.Says = finding.Say("lamps.turn_masked_unknown", nil)
		f.Remedy = finding.Advise("lamps.turn_masked_unknown.remedy", nil)
		f.Fields = unknown
	}
	return f
}

func unitMovesPedal(b rig.BrakeUnit) *bool {
	if rig.Is(b.Fitted, false) {
		return b.Fitted
	}
	return b.PressesPedal
}

func negated(b *bool) *bool {
	if b == nil {
		return nil
	}
	n := !*b
	return &n
}

// carSwitchReachesTurn reports whether the lamp that shows the motorhome's turn
// signal is one that the car's own stop switch lights.
func carSwitchReachesTurn(h rig.Harness, t rig.Towed) *bool {
	yes, no := true, false
	if h.Approach == rig.SeparateBulbs || h.Approach == rig.RemovableLamps || h.Approach == rig.RelayBypass {
		return &no
	}
	way, _ := route(h, t)
	switch {
	case h.Approach == "" || t.RearLamps == "" || way == notKnown && t.RearLamps != rig.CombinedLamps:
		return nil
	case t.RearLamps == rig.CombinedLamps:
		return &yes
	}
	// Combined signals on the red lamps of a car that keeps them apart.
	red := way == shared || way == merged
	return &red
}

// interrupted reminds what a cut stop switch costs.
func interrupted(r rig.Rig) *finding.Finding {
	if !rig.Is(r.Harness.StopSwitchInterrupted, true) {
		return nil
	}
	f := &finding.Finding{
		ID: "lamps.interrupter", Area: finding.Lamps, Verdict: finding.Mind,
		Says: finding.Say("lamps.interrupter", nil), Remedy: finding.Advise("lamps.interrupter.remedy", nil),
		Basis: []finding.Basis{practice}, Fields: []string{"/harness/stop_switch_interrupted"},
	}
	if rig.Is(r.BrakeUnit.CabMonitor, true) {
		f.Says = finding.Say("lamps.interrupter_monitor", nil)
		f.Fields = append(f.Fields, "/brake_unit/cab_monitor")
	}
	return f
}
