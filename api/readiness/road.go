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

// Road is what the trip asks of brakes and battery, as brakes/stopping and
// battery/day take it.
type Road struct {
	// StopLimits are the limits read of each jurisdiction of the route, in its
	// order: two of one name where brakes on the car make a difference.
	StopLimits []brakes.StopLimit `json:"stop_limits"`
	// NoStopLimit names the jurisdictions for which none is known, in the order of
	// the route.
	NoStopLimit []string `json:"no_stop_limit"`
	// Day is the driving of the trip in one piece, empty where its hours are not
	// told.
	Day []battery.Segment `json:"day"`
}

// stopping says how the pair stops, as measured or as reckoned, and where brakes
// on the car bring a shorter limit. Whether a limit is kept is for the law, so
// nothing here decides.
func stopping(in Input, limits []brakes.StopLimit, law rules.Evaluation) []finding.Finding {
	all := brakes.StopFindings(brakes.StoppingInput{Rig: in.Rig, Limits: telling(in, limits, law)})
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

// road gathers what the trip asks. Each jurisdiction counts once.
func road(t Trip, asks rules.EvaluateInput, law rules.Evaluation) Road {
	r := Road{StopLimits: []brakes.StopLimit{}, NoStopLimit: []string{}, Day: driving(t)}
	seen := map[string]bool{}
	for _, leg := range law.Legs {
		if seen[leg.Jurisdiction] {
			continue
		}
		seen[leg.Jurisdiction] = true
		limits := limitsIn(asks, leg)
		r.StopLimits = append(r.StopLimits, limits...)
		if len(limits) == 0 {
			r.NoStopLimit = append(r.NoStopLimit, leg.Name)
		}
	}
	return r
}

// limitsIn are the limits of one leg: one as the pair is towed, or with brakes on
// the car and without where they differ, or none.
func limitsIn(asks rules.EvaluateInput, leg rules.Leg) []brakes.StopLimit {
	rows := stopRows(leg)
	if rows == 0 {
		return nil
	}
	yes, no := true, false
	with := stopIn(asks, leg.Jurisdiction, &yes)
	without := with
	if rows > 1 {
		without = stopIn(asks, leg.Jurisdiction, &no)
	}
	if with != nil && without != nil && with.Distance.Compare(without.Distance) == 0 {
		return []brakes.StopLimit{*with}
	}
	var limits []brakes.StopLimit
	if with != nil {
		with.Braked = &yes
		limits = append(limits, *with)
	}
	if without != nil {
		without.Braked = &no
		limits = append(limits, *without)
	}
	return limits
}

// telling are the limits worth a finding: those that brakes on the car tighten,
// and where the pair was not measured from 20 mph, the shortest of the route as
// it is towed.
func telling(in Input, limits []brakes.StopLimit, law rules.Evaluation) []brakes.StopLimit {
	var told []brakes.StopLimit
	for i := 1; i < len(limits); i++ {
		if with, without := limits[i-1], limits[i]; with.Name == without.Name && without.Distance.Over(with.Distance) {
			told = append(told, with, without)
		}
	}
	if in.Rig.Stopping.PairFrom20MPH == nil {
		if l := shortest(law.Strictest); l != nil && !named(told, l.Name) {
			told = append(told, *l)
		}
	}
	return told
}

func named(limits []brakes.StopLimit, name string) bool {
	return slices.ContainsFunc(limits, func(l brakes.StopLimit) bool { return l.Name == name })
}

// stopRows is how many rows on stopping a leg has.
func stopRows(leg rules.Leg) int {
	for _, item := range leg.Items {
		if item.Subject == rules.StoppingDistance {
			return len(item.Rows)
		}
	}
	return 0
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

// driving is the trip's hours of driving, taken as one piece; empty where they
// are not told.
func driving(t Trip) []battery.Segment {
	if t.DrivingH == nil || *t.DrivingH < 0.01 {
		return []battery.Segment{}
	}
	return []battery.Segment{{State: battery.Driving, Hours: *t.DrivingH, Terrain: land(t.SteepestGradePct), Dark: t.Night}}
}

// day is the car's battery through the trip's driving. A figure that is missing
// does not keep the rig here; what the figures come to may.
func day(in Input, driving []battery.Segment) []finding.Finding {
	if len(driving) == 0 || in.Rig.BatteryWhileTowed() == rig.BatteryDisconnected {
		return nil
	}
	r := battery.Day(battery.DayInput{Rig: in.Rig, Day: driving, Temperature: in.Trip.Coldest})
	for i := range r.Findings {
		if len(r.Curve) == 0 {
			r.Findings[i].Decides = false
		}
	}
	return ofTrip(r.Findings)
}

// ofTrip names the trip's fields where a room names those of its own input.
func ofTrip(fs []finding.Finding) []finding.Finding {
	for _, f := range fs {
		for i, field := range f.Fields {
			if field == "/temperature" || field == "/coldest" {
				f.Fields[i] = "/trip/coldest"
			}
		}
	}
	return fs
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
