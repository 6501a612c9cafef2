package rules

import (
	"errors"
	"fmt"

	"pintail/api/unit"
)

// Weight names one of the weights that laws ask about.
type Weight string

// The weights. Those of the towed car come first.
const (
	Gross      Weight = "gross"      // as loaded on the road
	GVWR       Weight = "gvwr"       // rated
	Unladen    Weight = "unladen"    // empty
	Carried    Weight = "carried"    // the load alone
	Registered Weight = "registered" // the gross weight on the registration

	TowingGross       Weight = "towing_gross"
	TowingGVWR        Weight = "towing_gvwr"
	TowingEmpty       Weight = "towing_empty"
	TowingAxleRatings Weight = "towing_axle_ratings" // the sum of its axles' ratings
	TowingLicensed    Weight = "towing_licensed"     // the net weight on the licence
	TowingUnstated    Weight = "towing_unstated"     // the source does not say which
	PairGross         Weight = "pair_gross"          // both together, as loaded
	PairGVWR          Weight = "pair_gvwr"           // both ratings together
)

// Values lists the weights.
func (Weight) Values() []string {
	return []string{"gross", "gvwr", "unladen", "carried", "registered", "towing_gross", "towing_gvwr", "towing_empty",
		"towing_axle_ratings", "towing_licensed", "towing_unstated", "pair_gross", "pair_gvwr"}
}

// Condition is when a row applies: All or Any of several conditions, or one
// test. A test that the facts cannot answer is unknown, never no.
type Condition struct {
	All []Condition `json:"all,omitzero"`
	Any []Condition `json:"any,omitzero"`

	// Weight with exactly one of the next seven: against a weight in the law's
	// own unit, or against a percentage of the weight Of.
	Weight     Weight     `json:"weight,omitzero"`
	Over       *unit.Mass `json:"over,omitzero"`
	AtLeast    *unit.Mass `json:"at_least,omitzero"`
	Under      *unit.Mass `json:"under,omitzero"`
	UpTo       *unit.Mass `json:"up_to,omitzero"`
	OverPct    *int64     `json:"over_pct,omitzero"`
	AtLeastPct *int64     `json:"at_least_pct,omitzero"`
	UnderPct   *int64     `json:"under_pct,omitzero"`
	Of         Weight     `json:"of,omitzero"`

	// BuiltAfter is the last day of building that is not caught.
	BuiltAfter     unit.Date    `json:"built_after,omitzero"`
	WidthOver      *unit.Length `json:"width_over,omitzero"`
	WidthAtLeast   *unit.Length `json:"width_at_least,omitzero"`
	PairLengthOver *unit.Length `json:"pair_length_over,omitzero"`
	SpeedOver      *unit.Speed  `json:"speed_over,omitzero"`
	UnitsAtLeast   *int         `json:"units_at_least,omitzero"`
	UnitsUpTo      *int         `json:"units_up_to,omitzero"`
	// StopsWithin is a measured stop of the pair from 20 mph.
	StopsWithin *unit.Length `json:"stops_within,omitzero"`
	// Fitted and NotFitted name brakes, breakaway or safety_chain.
	Fitted    Subject `json:"fitted,omitzero"`
	NotFitted Subject `json:"not_fitted,omitzero"`
	// Duty: where this jurisdiction's own rule on that subject applies. Fails:
	// where the rig does not meet it.
	Duty  Subject `json:"duty,omitzero"`
	Fails Subject `json:"fails,omitzero"`
	// Link is rigid or flexible. The coupling chain of a rig is a tow bar: rigid.
	Link  string `json:"link,omitzero"`
	Night bool   `json:"night,omitzero"`
	// RegisteredHere, Driveaway (moved as goods) and Stated (a circumstance in
	// words) are asked by laws and answered by no fact.
	RegisteredHere bool   `json:"registered_here,omitzero"`
	Driveaway      bool   `json:"driveaway,omitzero"`
	Stated         string `json:"stated,omitzero"`
}

// check reports a condition that is not exactly one thing.
func (c *Condition) check() error {
	tests := 0
	for _, set := range []bool{
		c.All != nil, c.Any != nil, c.Weight != "", c.BuiltAfter != "", c.WidthOver != nil, c.WidthAtLeast != nil,
		c.PairLengthOver != nil, c.SpeedOver != nil, c.UnitsAtLeast != nil, c.UnitsUpTo != nil, c.StopsWithin != nil,
		c.Fitted != "", c.NotFitted != "", c.Duty != "", c.Fails != "", c.Link != "", c.Night, c.RegisteredHere, c.Driveaway, c.Stated != "",
	} {
		if set {
			tests++
		}
	}
	operators := 0
	for _, set := range []bool{c.Over != nil, c.AtLeast != nil, c.Under != nil, c.UpTo != nil, c.OverPct != nil, c.AtLeastPct != nil, c.UnderPct != nil} {
		if set {
			operators++
		}
	}
	shares := c.OverPct != nil || c.AtLeastPct != nil || c.UnderPct != nil
	switch {
	case tests != 1:
		return fmt.Errorf("a condition is one test, this one is %d", tests)
	case c.Weight != "" && operators != 1 || c.Weight == "" && operators != 0:
		return errors.New("a weight is tested with one operator")
	case shares != (c.Of != ""):
		return errors.New("a share is of a weight")
	case !known(c.Weight) || !known(c.Of):
		return errors.New("unknown weight")
	case c.BuiltAfter != "" && !c.BuiltAfter.Valid():
		return errors.New("not a date")
	case c.Link != "" && c.Link != "rigid" && c.Link != "flexible":
		return fmt.Errorf("unknown link %q", c.Link)
	}
	return c.checkParts()
}

func (c *Condition) checkParts() error {
	for _, part := range [][]Condition{c.All, c.Any} {
		if part != nil && len(part) < 2 {
			return errors.New("all and any join two or more")
		}
		for i := range part {
			if err := part[i].check(); err != nil {
				return err
			}
		}
	}
	for _, s := range []Subject{c.Fitted, c.NotFitted} {
		if s != "" && s != Brakes && s != Breakaway && s != SafetyChain {
			return fmt.Errorf("%q is not a thing fitted", s)
		}
	}
	for _, s := range []Subject{c.Duty, c.Fails} {
		if s != "" && s != Brakes && s != StoppingDistance {
			return fmt.Errorf("a condition cannot follow %q", s)
		}
	}
	return nil
}

func known(w Weight) bool {
	if w == "" {
		return true
	}
	for _, v := range w.Values() {
		if v == string(w) {
			return true
		}
	}
	return false
}

// lightest is the lightest weight the condition names: the lower it is, the
// more cars are caught. No condition catches all, so that is nothing; one that
// names no weight catches few, so that is the heaviest.
func (c *Condition) lightest() unit.Mass {
	if c == nil {
		return unit.Mass{}
	}
	least := heaviest
	for _, m := range []*unit.Mass{c.Over, c.AtLeast} {
		if m != nil {
			least = *m
		}
	}
	for _, parts := range [][]Condition{c.All, c.Any} {
		for i := range parts {
			if m := parts[i].lightest(); least.Over(m) {
				least = m
			}
		}
	}
	return least
}

// heaviest stands above every weight a law names.
var heaviest = unit.LB(500_000)

// follows reports whether the condition asks about another duty, s.
func (c *Condition) follows(s Subject) bool {
	if c == nil {
		return false
	}
	for _, parts := range [][]Condition{c.All, c.Any} {
		for i := range parts {
			if parts[i].follows(s) {
				return true
			}
		}
	}
	return c.Duty == s || c.Fails == s
}

// answer is yes, no, or not known.
type answer uint8

const (
	unknown answer = iota
	no
	yes
)

func answered(b bool) answer {
	if b {
		return yes
	}
	return no
}

func (a answer) not() answer {
	switch a {
	case yes:
		return no
	case no:
		return yes
	}
	return unknown
}

// holds answers a condition by the facts, and adds to need the facts that would
// answer what they leave open.
func (l *leg) holds(c *Condition, need *need) answer {
	switch {
	case c == nil:
		return yes
	case c.All != nil:
		return l.joined(c.All, no, need)
	case c.Any != nil:
		return l.joined(c.Any, yes, need)
	case c.Weight != "":
		return l.facts.weighs(c, need)
	case c.Duty != "":
		return l.dutyApplies(c.Duty, need)
	case c.Fails != "":
		return l.fails(c.Fails, need)
	case c.Night:
		return fromBool(l.night, needNight, need)
	case c.Link != "":
		return answered(c.Link == "rigid")
	case c.RegisteredHere || c.Driveaway || c.Stated != "":
		*need |= needCircumstance
		return unknown
	}
	return l.facts.shows(c, need)
}

// joined is the answer of all (decided by a no) or any (decided by a yes).
func (l *leg) joined(parts []Condition, decider answer, out *need) answer {
	result := decider.not()
	var open need
	for i := range parts {
		switch l.holds(&parts[i], &open) {
		case decider:
			return decider
		case unknown:
			result = unknown
		}
	}
	if result == unknown {
		*out |= open
	}
	return result
}

func (l *leg) dutyApplies(s Subject, need *need) answer {
	switch o := l.outcome(s.index()); o.duty {
	case dutyRequired, dutyMayNotCover:
		return yes
	case dutyNotRequired:
		return no
	default:
		*need |= o.need | needCircumstance
		return unknown
	}
}

func (l *leg) fails(s Subject, need *need) answer {
	switch o := l.outcome(s.index()); {
	case o.fit == fitNotMet:
		return yes
	case o.fit == fitMet:
		return no
	default:
		*need |= o.need | needCircumstance
		return unknown
	}
}
