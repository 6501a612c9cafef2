package brakes

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
)

// findings are what the choice comes to, and what on the rig contradicts it.
func (in ChoiceInput) findings(options []Option, places []MonitorPlace) []finding.Finding {
	r := *in.Rig
	fs := []finding.Finding{left(options)}
	for _, f := range []*finding.Finding{
		fitted(r, options), feed(r), breakawayFeed(r), chargeLine(r), priority(r), interrupter(r), absAsleep(r),
		controller(r), tapped(r, places), smallCar(r),
	} {
		if f != nil {
			fs = append(fs, *f)
		}
	}
	return fs
}

// left says how many types are left, or what must be found out first.
func left(options []Option) finding.Finding {
	f := finding.Finding{ID: "brakes.choice", Area: finding.Brakes, Decides: true, Basis: []finding.Basis{judgment}}
	count := map[Fit]int{}
	for _, o := range options {
		count[o.Fit]++
		for _, r := range o.Reasons {
			for _, field := range r.Fields {
				if o.Fit == NotKnown && !slices.Contains(f.Fields, field) {
					f.Fields = append(f.Fields, field)
				}
			}
		}
	}
	switch {
	case count[RuledOut] == len(options):
		f.Verdict, f.Says, f.Remedy = finding.NoGo, finding.Say("brakes.choice_none", nil), finding.Advise("brakes.choice_none.remedy", nil)
	case count[NotKnown] > 0:
		f.Verdict, f.Basis, f.Says = finding.FindOut, nil, finding.Say("brakes.choice_open", finding.Params{"count": whole(count[NotKnown])})
	default:
		f.Verdict = finding.OK
		f.Says = finding.Say("brakes.choice_left", finding.Params{"suits": whole(count[Suits]), "if": whole(count[SuitsIf]), "out": whole(count[RuledOut])})
	}
	return f
}

func whole(n int) finding.Param { return finding.Num(float64(n), "") }

// fitted holds the type that is recorded on the rig against the choice.
func fitted(r rig.Rig, options []Option) *finding.Finding {
	i := slices.IndexFunc(options, func(o Option) bool { return o.Actuation == r.BrakeUnit.Actuation })
	if i < 0 {
		return nil
	}
	o := options[i]
	f := &finding.Finding{ID: "brakes.choice-fitted", Area: finding.Brakes, Basis: []finding.Basis{judgment}, Fields: []string{"/brake_unit/actuation"}}
	name := finding.Params{"type": finding.Word(o.Name.ID), "count": whole(o.conditions())}
	switch o.Fit {
	case Suits:
		f.Verdict, f.Says = finding.OK, finding.Say("brakes.choice_fitted_suits", name)
	case SuitsIf:
		f.Verdict, f.Says = finding.Mind, finding.Say("brakes.choice_fitted_if", name)
	case NotKnown:
		f.Verdict, f.Basis, f.Says, f.Fields = finding.FindOut, nil, finding.Say("brakes.choice_fitted_open", name), o.Reasons[0].Fields
	case RuledOut:
		name["why"] = finding.Word(o.Reasons[0].Says.ID)
		f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("brakes.choice_fitted_out", name)
		f.Remedy = finding.Advise("brakes.ruled_out.remedy", nil)
	}
	return f
}

// off reports whether the car's power is cut while it is towed.
func off(r rig.Rig) bool {
	s := r.BatteryWhileTowed()
	return s == rig.BatteryDisconnected || s == rig.FuseRemoved
}

func contradiction(id, says string, fields ...string) *finding.Finding {
	return &finding.Finding{
		ID: "brakes." + id, Area: finding.Brakes, Verdict: finding.NoGo, Decides: true, Basis: []finding.Basis{practice},
		Says: finding.Say("brakes."+says, nil), Remedy: finding.Advise("brakes."+says+".remedy", nil), Fields: fields,
	}
}

// feed: a unit fed from a battery that is off.
func feed(r rig.Rig) *finding.Finding {
	if r.BrakeUnit.PoweredFrom == "" && !rig.Is(r.BrakeUnit.Fitted, true) {
		return nil
	}
	return power(r)
}

// breakawayFeed: the kit needs a store of its own, whatever the unit.
func breakawayFeed(r rig.Rig) *finding.Finding {
	switch from := r.Breakaway.PoweredFrom; {
	case rig.Is(r.Breakaway.Fitted, false):
		return &finding.Finding{
			ID: "brakes.breakaway", Area: finding.Breakaway, Verdict: finding.Mind, Basis: []finding.Basis{practice},
			Says: finding.Say("brakes.breakaway_none", nil), Fields: []string{"/breakaway/fitted"},
		}
	case from == rig.FromCarBattery && off(r):
		return contradiction("breakaway", "breakaway_cut", "/breakaway/powered_from", "/towed/battery")
	case from == rig.FromMotorhome:
		return contradiction("breakaway", "breakaway_parts", "/breakaway/powered_from")
	}
	return nil
}

// chargeLine: a line to a battery whose cable is off feeds the car again.
func chargeLine(r rig.Rig) *finding.Finding {
	line := r.Harness.ChargeLine
	if !rig.Is(line.Fitted, true) || line.To != rig.ToCarBattery || r.BatteryWhileTowed() != rig.BatteryDisconnected {
		return nil
	}
	return contradiction("charge-line", "charge_line_live", "/harness/charge_line/to", "/towed/battery")
}

// priority: the car's own stop switch lights the lamp that should flash.
func priority(r rig.Rig) *finding.Finding {
	h := r.Harness
	shared := r.Towed.RearLamps == rig.CombinedLamps && (h.Approach == rig.SteeringDiodes || h.Approach == rig.SplicedOn)
	if !shared || !pressesPedal(r.BrakeUnit) || rig.Is(h.CarStopLampsLive, false) || rig.Is(h.StopSwitchInterrupted, true) {
		return nil
	}
	if h.CarStopLampsLive == nil || h.StopSwitchInterrupted == nil {
		f := &finding.Finding{ID: "brakes.priority", Area: finding.Brakes, Verdict: finding.FindOut, Says: finding.Say("brakes.priority_open", nil)}
		if h.CarStopLampsLive == nil {
			f.Fields = append(f.Fields, "/harness/car_stop_lamps_live")
		}
		if h.StopSwitchInterrupted == nil {
			f.Fields = append(f.Fields, "/harness/stop_switch_interrupted")
		}
		return f
	}
	return contradiction("priority", "priority", "/harness/stop_switch_interrupted")
}

// pressesPedal is whether the unit moves the pedal: as recorded, else as its
// type does.
func pressesPedal(b rig.BrakeUnit) bool {
	if b.PressesPedal != nil {
		return *b.PressesPedal
	}
	for _, a := range actuations().Actuations {
		if a.ID == b.Actuation {
			return a.Pedal
		}
	}
	return false
}

// interrupter: what is tapped behind a cut stop switch sees nothing.
func interrupter(r rig.Rig) *finding.Finding {
	if !rig.Is(r.Harness.StopSwitchInterrupted, true) || !pressesPedal(r.BrakeUnit) {
		return nil
	}
	return &finding.Finding{
		ID: "brakes.interrupter", Area: finding.Brakes, Verdict: finding.Mind, Basis: []finding.Basis{practice},
		Says: finding.Say("brakes.interrupter", nil), Remedy: finding.Advise("brakes.interrupter.remedy", nil),
		Fields: []string{"/harness/stop_switch_interrupted"},
	}
}

func absAsleep(r rig.Rig) *finding.Finding {
	if r.Towed.ABSAsleep != nil && !*r.Towed.ABSAsleep {
		return nil
	}
	f := &finding.Finding{
		ID: "brakes.abs", Area: finding.Brakes, Verdict: finding.FindOut, Says: finding.Say("brakes.abs_unknown", nil), Fields: []string{"/towed/abs_asleep"},
		Remedy: finding.Advise("brakes.abs.remedy", nil),
	}
	if r.Towed.ABSAsleep != nil {
		f.Verdict, f.Says, f.Basis = finding.Mind, finding.Say("brakes.abs_asleep", nil), []finding.Basis{practice}
	}
	return f
}

// controller holds what is in the cab against what the type can follow.
func controller(r rig.Rig) *finding.Finding {
	for _, a := range actuations().Actuations {
		c := r.BrakeUnit.Controller
		if a.ID != r.BrakeUnit.Actuation || c == "" || c == rig.NoController || slices.Contains(a.Controllers, c) {
			continue
		}
		return &finding.Finding{
			ID: "brakes.controller", Area: finding.Brakes, Verdict: finding.FindOut, Decides: true,
			Says:   finding.Say("brakes.controller_other", finding.Params{"controller": finding.Word("brakes.controller." + string(c)), "type": finding.Word("brakes.actuation." + string(a.ID))}),
			Remedy: finding.Advise("brakes.controller_other.remedy", nil),
			Fields: []string{"/brake_unit/controller", "/brake_unit/actuation"},
		}
	}
	return nil
}

// tapped holds the monitor's tap against what it can see there.
func tapped(r rig.Rig, places []MonitorPlace) *finding.Finding {
	for _, p := range places {
		if p.Tap != r.BrakeUnit.MonitorTap || p.Fit != RuledOut {
			continue
		}
		return &finding.Finding{
			ID: "brakes.monitor-tap", Area: finding.Brakes, Verdict: finding.Mind, Decides: true, Basis: []finding.Basis{practice},
			Says:   finding.Say("brakes.monitor_blind", finding.Params{"place": finding.Word("brakes.monitor_place." + string(p.Tap)), "why": finding.Word(p.Says.ID)}),
			Remedy: finding.Advise("brakes.monitor_tap.remedy", nil), Fields: []string{"/brake_unit/monitor_tap"},
		}
	}
	return nil
}

// blind is tapped where a tap is recorded.
func blind(r rig.Rig) *finding.Finding {
	if r.BrakeUnit.MonitorTap == "" {
		return nil
	}
	return tapped(r, monitorPlaces(r))
}

// smallCar: the driver of a heavy motorhome hardly feels the car.
func smallCar(r rig.Rig) *finding.Finding {
	car, towing := r.Towed.Actual.Weight, r.Towing.Actual.Weight
	if car == nil || towing == nil || rig.Is(r.BrakeUnit.CabMonitor, true) || atLeastShare(*car, *towing, smallShare) {
		return nil
	}
	return &finding.Finding{
		ID: "brakes.small-car", Area: finding.Brakes, Verdict: finding.Mind, Basis: []finding.Basis{judgment},
		Says: finding.Say("brakes.small_car", nil), Fields: []string{"/brake_unit/cab_monitor"},
	}
}
