package rules

import (
	"strconv"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Facts are what the law asks about a rig. A fact left out is not known.
type Facts struct {
	// The towed car as loaded on the road; its rating; empty.
	TowedGross   *unit.Mass `json:"towed_gross,omitzero"`
	TowedGVWR    *unit.Mass `json:"towed_gvwr,omitzero"`
	TowedUnladen *unit.Mass `json:"towed_unladen,omitzero"`
	// The motorhome likewise, and the sum of its axles' ratings.
	TowingGross       *unit.Mass `json:"towing_gross,omitzero"`
	TowingGVWR        *unit.Mass `json:"towing_gvwr,omitzero"`
	TowingEmpty       *unit.Mass `json:"towing_empty,omitzero"`
	TowingAxleRatings *unit.Mass `json:"towing_axle_ratings,omitzero"`
	// HasBrakes is whether a working supplemental brake works the car's brakes;
	// Breakaway whether a kit puts them on when the car parts.
	HasBrakes *bool `json:"has_brakes,omitzero"`
	Breakaway *bool `json:"breakaway,omitzero"`
	// HoldMinLow and HoldMinHigh are the band of minutes the kit holds.
	HoldMinLow  *float64 `json:"hold_min_low,omitzero"`
	HoldMinHigh *float64 `json:"hold_min_high,omitzero"`
	// StopFrom20MPH is the measured stop of the pair.
	StopFrom20MPH *unit.Length `json:"stop_from_20_mph,omitzero"`
	Cables        *int         `json:"cables,omitzero"`
	CablesCrossed *bool        `json:"cables_crossed,omitzero"`
	// Lamps at the rear of the car that the motorhome lights, counted.
	TailLamps      *int  `json:"tail_lamps,omitzero"`
	StopLamps      *int  `json:"stop_lamps,omitzero"`
	TurnSignals    *int  `json:"turn_signals,omitzero"`
	ClearanceLamps *int  `json:"clearance_lamps,omitzero"`
	Reflectors     *int  `json:"reflectors,omitzero"`
	PlateLamp      *bool `json:"plate_lamp,omitzero"`
	// CouplingLength is the gap between the two vehicles, CombinationLength the
	// whole pair.
	CouplingLength    *unit.Length `json:"coupling_length,omitzero"`
	CombinationLength *unit.Length `json:"combination_length,omitzero"`
	TowedUnits        *int         `json:"towed_units,omitzero"`
	TowedWidth        *unit.Length `json:"towed_width,omitzero"`
	PlannedSpeed      *unit.Speed  `json:"planned_speed,omitzero"`
	TowedYear         *int         `json:"towed_year,omitzero"`
}

func (f *Facts) check(c rig.Checker) {
	c.Mass("towed_gross", f.TowedGross, 400, 20_000)
	c.Mass("towed_gvwr", f.TowedGVWR, 400, 20_000)
	c.Mass("towed_unladen", f.TowedUnladen, 400, 20_000)
	c.Mass("towing_gross", f.TowingGross, 2_000, 150_000)
	c.Mass("towing_gvwr", f.TowingGVWR, 2_000, 150_000)
	c.Mass("towing_empty", f.TowingEmpty, 2_000, 150_000)
	c.Mass("towing_axle_ratings", f.TowingAxleRatings, 400, 180_000)
	c.Number("hold_min_low", f.HoldMinLow, 0, 1e6)
	c.Number("hold_min_high", f.HoldMinHigh, 0, 1e6)
	if f.HoldMinLow != nil && f.HoldMinHigh != nil && *f.HoldMinHigh < *f.HoldMinLow {
		c.In("hold_min_high").Bad("below hold_min_low")
	}
	c.Length("stop_from_20_mph", f.StopFrom20MPH, 5, 500)
	c.Count("cables", f.Cables, 0, 64)
	c.Count("tail_lamps", f.TailLamps, 0, 20)
	c.Count("stop_lamps", f.StopLamps, 0, 20)
	c.Count("turn_signals", f.TurnSignals, 0, 20)
	c.Count("clearance_lamps", f.ClearanceLamps, 0, 20)
	c.Count("reflectors", f.Reflectors, 0, 20)
	c.Length("coupling_length", f.CouplingLength, 0, 100)
	c.Length("combination_length", f.CombinationLength, 10, 200)
	c.Count("towed_units", f.TowedUnits, 1, 5)
	c.Length("towed_width", f.TowedWidth, 3, 9)
	c.Speed("planned_speed", f.PlannedSpeed)
	c.Count("towed_year", f.TowedYear, 1900, 2100)
}

// EvaluateInput is the input of rules/evaluate.
type EvaluateInput struct {
	// Route is the jurisdictions of the trip in order, as ISO 3166-2 codes.
	Route []string `json:"route"`
	// On is the day of the trip; without it, every row not known to have ended
	// counts.
	On    unit.Date `json:"on,omitzero"`
	Night *bool     `json:"night,omitzero"`
	Facts Facts     `json:"facts,omitzero"`
	// RuleChanges are a workspace's changes, laid over the rows built in.
	RuleChanges []Change `json:"rule_changes,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in EvaluateInput) Validate() *finding.Error {
	c := rig.NewChecker()
	CheckRoute(c.In("route"), in.Route)
	c.Date("on", in.On)
	in.Facts.check(c.In("facts"))
	CheckChanges(c.In("rule_changes"), in.RuleChanges)
	return c.Err()
}

// MaxLegs is the longest route.
const MaxLegs = 100

// CheckRoute records what is wrong with a route; c stands at the route itself.
func CheckRoute(c rig.Checker, route []string) {
	switch {
	case len(route) == 0:
		c.Bad("empty, want at least one jurisdiction")
	case len(route) > MaxLegs:
		c.Bad("%d jurisdictions, at most %d", len(route), MaxLegs)
	default:
		for i, code := range route {
			if builtIn().place(code) == nil {
				c.In(strconv.Itoa(i)).Bad("%q is not known, want the ISO 3166-2 code of a US state, the District of Columbia or a Canadian province, such as US-VA", code)
			}
		}
	}
}

// need is a set of facts that are not known and would settle something.
type need uint32

const (
	needTowedGross need = 1 << iota
	needTowedGVWR
	needTowedUnladen
	needTowingGross
	needTowingGVWR
	needTowingEmpty
	needTowingAxles
	needBrakes
	needBreakaway
	needHold
	needStop
	needCables
	needCrossed
	needTail
	needStopLamps
	needTurn
	needClearance
	needReflectors
	needPlate
	needGap
	needLength
	needWidth
	needYear
	needUnits
	needSpeed
	needNight
	needCircumstance
)

// places are JSON Pointers into the rig, in the order of the needs; the last
// four are no part of a rig.
var places = [...][]string{
	{"/towed/actual/weight"}, {"/towed/gvwr"}, {"/towed/curb"},
	{"/towing/actual/weight"}, {"/towing/gvwr"}, {"/towing/empty"}, {"/towing/front_axle/rating", "/towing/rear_axle/rating"},
	{"/brake_unit/fitted"}, {"/breakaway/fitted"}, {"/breakaway/battery"}, {"/stopping/pair_from_20_mph"},
	{"/coupling/cables"}, {"/coupling/cables_crossed"},
	{"/harness/lamps/tail"}, {"/harness/lamps/stop"}, {"/harness/lamps/turn"}, {"/harness/lamps/clearance"}, {"/harness/lamps/reflectors"}, {"/harness/lamps/plate"},
	{"/coupling/geometry/gap"}, {"/towing/length", "/towed/length", "/coupling/geometry/gap"}, {"/towed/width"}, {"/towed/variant/year"},
}

// fields are the places in the rig where the needed facts are entered.
func (n need) fields() []string {
	var f []string
	for i, p := range places {
		if n&(1<<i) != 0 {
			f = append(f, p...)
		}
	}
	return f
}

func fromBool(b *bool, missing need, out *need) answer {
	if b == nil {
		*out |= missing
		return unknown
	}
	return answered(*b)
}

// shows answers a test of one fact that is not a weight.
func (f *Facts) shows(c *Condition, out *need) answer {
	switch {
	case c.BuiltAfter != "":
		return f.builtAfter(c.BuiltAfter, out)
	case c.WidthOver != nil:
		return over(f.TowedWidth, *c.WidthOver, needWidth, out)
	case c.WidthAtLeast != nil:
		return under(f.TowedWidth, *c.WidthAtLeast, needWidth, out).not()
	case c.PairLengthOver != nil:
		return over(f.CombinationLength, *c.PairLengthOver, needLength, out)
	case c.SpeedOver != nil:
		return over(f.PlannedSpeed, *c.SpeedOver, needSpeed, out)
	case c.StopsWithin != nil:
		return over(f.StopFrom20MPH, *c.StopsWithin, needStop, out).not()
	case c.UnitsAtLeast != nil:
		return f.unitsOver(*c.UnitsAtLeast-1, out)
	case c.UnitsUpTo != nil:
		return f.unitsOver(*c.UnitsUpTo, out).not()
	case c.Fitted != "":
		return f.fitted(c.Fitted, out)
	default:
		return f.fitted(c.NotFitted, out).not()
	}
}

func over[D unit.Dimension](q *unit.Quantity[D], limit unit.Quantity[D], missing need, out *need) answer {
	if q == nil {
		*out |= missing
		return unknown
	}
	return answered(q.Over(limit))
}

func under[D unit.Dimension](q *unit.Quantity[D], limit unit.Quantity[D], missing need, out *need) answer {
	if q == nil {
		*out |= missing
		return unknown
	}
	return answered(limit.Over(*q))
}

func (f *Facts) unitsOver(n int, out *need) answer {
	if f.TowedUnits == nil {
		*out |= needUnits
		return unknown
	}
	return answered(*f.TowedUnits > n)
}

func (f *Facts) fitted(s Subject, out *need) answer {
	switch s {
	case Brakes:
		return fromBool(f.HasBrakes, needBrakes, out)
	case Breakaway:
		return fromBool(f.Breakaway, needBreakaway, out)
	}
	if f.Cables == nil {
		*out |= needCables
		return unknown
	}
	return answered(*f.Cables > 0)
}

// builtAfter answers by the model year: a car of model year Y is taken as built
// between 1 January of the year before and 31 December of Y.
func (f *Facts) builtAfter(day unit.Date, out *need) answer {
	if f.TowedYear == nil {
		*out |= needYear
		return unknown
	}
	last, err := strconv.Atoi(string(day[:4]))
	switch {
	case err != nil:
		return unknown
	case *f.TowedYear-1 > last, *f.TowedYear-1 == last && day[4:] < "-01-01":
		return yes
	case *f.TowedYear < last, *f.TowedYear == last && day[4:] >= "-12-31":
		return no
	}
	*out |= needYear
	return unknown
}
