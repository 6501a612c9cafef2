package readiness

import (
	"slices"
	"strings"

	"pintail/api/battery"
	"pintail/api/brakes"
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/rules"
	"pintail/api/unit"
)

// stopping says how the pair stops, as measured or as reckoned, and where brakes
// on the car bring a shorter limit. Whether a limit is kept is for the law, so
// nothing here decides.
func stopping(in Input, asks rules.EvaluateInput, law rules.Evaluation) []finding.Finding {
	all := brakes.StopFindings(brakes.StoppingInput{Rig: in.Rig, Limits: stopLimits(in, asks, law)})
	fs := all[:0]
	for _, f := range all {
		if in.Rig.Stopping.PairFrom20MPH != nil && strings.HasPrefix(f.ID, "brakes.limit") {
			continue // the law holds the measured stop against its rows
		}
		f.Decides = false
		fs = append(fs, f)
	}
	return fs
}

// stopLimits are the limits of the jurisdictions in which brakes on the car make
// a difference, with and without; and where the pair was not measured from 20 mph,
// the shortest of the route as it is towed.
func stopLimits(in Input, asks rules.EvaluateInput, law rules.Evaluation) []brakes.StopLimit {
	var limits []brakes.StopLimit
	yes, no := true, false
	seen := map[string]bool{}
	for _, leg := range law.Legs {
		if seen[leg.Jurisdiction] || !severalStops(leg) {
			continue
		}
		seen[leg.Jurisdiction] = true
		with, without := stopIn(asks, leg.Jurisdiction, &yes), stopIn(asks, leg.Jurisdiction, &no)
		if with != nil && without != nil && without.Distance.Over(with.Distance) {
			with.Braked, without.Braked = &yes, &no
			limits = append(limits, *with, *without)
		}
	}
	if in.Rig.Stopping.PairFrom20MPH == nil {
		if l := shortest(law.Strictest); l != nil && !named(limits, l.Name) {
			limits = append(limits, *l)
		}
	}
	return limits
}

func named(limits []brakes.StopLimit, name string) bool {
	return slices.ContainsFunc(limits, func(l brakes.StopLimit) bool { return l.Name == name })
}

// severalStops reports whether a leg has more than one row on stopping.
func severalStops(leg rules.Leg) bool {
	for _, item := range leg.Items {
		if item.Subject == rules.StoppingDistance {
			return len(item.Rows) > 1
		}
	}
	return false
}

// stopIn is the limit of one jurisdiction for the rig with brakes on the car or
// without, nil where none was read.
func stopIn(asks rules.EvaluateInput, jurisdiction string, braked *bool) *brakes.StopLimit {
	asks.Route, asks.Facts.HasBrakes = []string{jurisdiction}, braked
	return shortest(rules.StrictestOn(asks, rules.StoppingDistance))
}

// shortest is the strictest stop from 20 mph, nil where none was read.
func shortest(strictest []rules.Strictest) *brakes.StopLimit {
	for _, s := range strictest {
		if s.Subject != rules.StoppingDistance || s.Value == nil || s.Unit != "ft" {
			continue
		}
		if distance, err := unit.NewLength(*s.Value, "ft"); err == nil {
			return &brakes.StopLimit{Name: s.Name, From: unit.MPH(20), Distance: distance}
		}
	}
	return nil
}

// descent is the steepest grade of the trip at the speed planned, where both are
// told.
func descent(in Input) []finding.Finding {
	if in.Trip.SteepestGradePct == nil || *in.Trip.SteepestGradePct == 0 || in.Trip.PlannedSpeed == nil {
		return nil
	}
	fs := brakes.Grade(brakes.GradeInput{Rig: in.Rig, GradePct: in.Trip.SteepestGradePct, Speed: in.Trip.PlannedSpeed}).Findings
	for i := range fs {
		fs[i].Decides = false // weights are asked for elsewhere
	}
	return fs
}

// day is the car's battery through the trip's hours of driving, taken as one
// piece. A figure that is missing does not keep the rig here; what the figures
// come to may.
func day(in Input) []finding.Finding {
	h := in.Trip.DrivingH
	if h == nil || *h < 0.01 || in.Rig.BatteryWhileTowed() == rig.BatteryDisconnected {
		return nil
	}
	drive := battery.Segment{State: battery.Driving, Hours: *h, Terrain: land(in.Trip.SteepestGradePct), Dark: in.Trip.Night}
	r := battery.Day(battery.DayInput{Rig: in.Rig, Day: []battery.Segment{drive}, Temperature: in.Trip.Coldest})
	for i := range r.Findings {
		if len(r.Curve) == 0 {
			r.Findings[i].Decides = false
		}
	}
	return r.Findings
}

// land is the terrain that a steepest grade, per cent, stands for: our judgment.
func land(steepest *float64) rig.Terrain {
	switch {
	case steepest == nil:
		return ""
	case *steepest < 3:
		return rig.Level
	case *steepest < 6:
		return rig.Hills
	}
	return rig.Mountains
}
