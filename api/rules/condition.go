package rules

import (
	"slices"
	"strconv"

	"pintail/api/finding"
	"pintail/api/rig"
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
	Day   bool   `json:"day,omitzero"` // only where the whole trip is by day
	// Disabled is a vehicle that is towed because it cannot go. A car towed for a
	// trip is not.
	Disabled bool `json:"disabled,omitzero"`
	// RegisteredHere, Driveaway (moved as goods) and Stated (a circumstance in
	// words) are asked by laws and answered by no fact.
	RegisteredHere bool   `json:"registered_here,omitzero"`
	Driveaway      bool   `json:"driveaway,omitzero"`
	Stated         string `json:"stated,omitzero"`
}

// Bounds of a condition: how deep it nests, how many parts one level joins.
const (
	deepest   = 4
	mostParts = 12
)

// check records what is not possible in the condition; c stands at it.
func (c *Condition) check(at rig.Checker, depth int) {
	operators := c.operators()
	switch {
	case c.tests() != 1:
		at.Bad("a condition is one test, or all or any of several; this is %d", c.tests())
	case c.Weight != "" && operators == 0:
		at.Bad("a weight without an operator: want over, at_least, under, up_to or a share")
	case c.Weight != "" && operators > 1:
		at.Bad("a weight is tested with one operator, this one has %d", operators)
	case c.Weight == "" && operators != 0:
		at.Bad("an operator without the weight it is for")
	case c.share() != (c.Of != ""):
		at.In("of").Bad("a share is of a weight")
	case c.Link != "" && c.Link != "rigid" && c.Link != "flexible":
		at.In("link").Bad("want rigid or flexible")
	}
	rig.Choice(at, "weight", c.Weight)
	rig.Choice(at, "of", c.Of)
	c.checkFigures(at)
	c.checkSubjects(at)
	c.checkParts(at, depth)
}

func (c *Condition) tests() (n int) {
	for _, set := range [...]bool{
		c.All != nil, c.Any != nil, c.Weight != "", c.BuiltAfter != "", c.WidthOver != nil, c.WidthAtLeast != nil,
		c.PairLengthOver != nil, c.SpeedOver != nil, c.UnitsAtLeast != nil, c.UnitsUpTo != nil, c.StopsWithin != nil,
		c.Fitted != "", c.NotFitted != "", c.Duty != "", c.Fails != "", c.Link != "", c.Night, c.Day, c.Disabled, c.RegisteredHere, c.Driveaway, c.Stated != "",
	} {
		if set {
			n++
		}
	}
	return n
}

func (c *Condition) operators() (n int) {
	for _, set := range [...]bool{c.Over != nil, c.AtLeast != nil, c.Under != nil, c.UpTo != nil, c.OverPct != nil, c.AtLeastPct != nil, c.UnderPct != nil} {
		if set {
			n++
		}
	}
	return n
}

func (c *Condition) share() bool { return c.OverPct != nil || c.AtLeastPct != nil || c.UnderPct != nil }

func (c *Condition) checkFigures(at rig.Checker) {
	at.Mass("over", c.Over, 0, 200_000)
	at.Mass("at_least", c.AtLeast, 0, 200_000)
	at.Mass("under", c.Under, 0, 200_000)
	at.Mass("up_to", c.UpTo, 0, 200_000)
	checkShare(at, "over_pct", c.OverPct)
	checkShare(at, "at_least_pct", c.AtLeastPct)
	checkShare(at, "under_pct", c.UnderPct)
	at.Date("built_after", c.BuiltAfter)
	at.Length("width_over", c.WidthOver, 0, 20)
	at.Length("width_at_least", c.WidthAtLeast, 0, 20)
	at.Length("pair_length_over", c.PairLengthOver, 0, 500)
	at.Length("stops_within", c.StopsWithin, 0, 500)
	at.Speed("speed_over", c.SpeedOver)
	at.Count("units_at_least", c.UnitsAtLeast, 1, 5)
	at.Count("units_up_to", c.UnitsUpTo, 1, 5)
	at.Text("stated", c.Stated, longestText)
}

func checkShare(at rig.Checker, name string, pct *int64) {
	if pct != nil && (*pct < 1 || *pct > 1000) {
		at.In(name).Bad("want 1 to 1000 per cent")
	}
}

func (c *Condition) checkSubjects(at rig.Checker) {
	if !oneOf(c.Fitted, "", Brakes, Breakaway, SafetyChain) {
		at.In("fitted").Bad("want brakes, breakaway or safety_chain")
	}
	if !oneOf(c.NotFitted, "", Brakes, Breakaway, SafetyChain) {
		at.In("not_fitted").Bad("want brakes, breakaway or safety_chain")
	}
	if !oneOf(c.Duty, "", Brakes, StoppingDistance) {
		at.In("duty").Bad("want brakes or stopping_distance")
	}
	if !oneOf(c.Fails, "", Brakes, StoppingDistance) {
		at.In("fails").Bad("want brakes or stopping_distance")
	}
}

func oneOf(s Subject, list ...Subject) bool { return slices.Contains(list, s) }

func (c *Condition) checkParts(at rig.Checker, depth int) {
	if c.All != nil {
		checkJoined(at.In("all"), c.All, depth)
	}
	if c.Any != nil {
		checkJoined(at.In("any"), c.Any, depth)
	}
}

func checkJoined(at rig.Checker, parts []Condition, depth int) {
	switch {
	case depth >= deepest:
		at.Bad("nested deeper than %d", deepest)
	case len(parts) < 2 || len(parts) > mostParts:
		at.Bad("joins two to %d conditions, this is %d", mostParts, len(parts))
	default:
		for i := range parts {
			parts[i].check(at.In(strconv.Itoa(i)), depth+1)
		}
	}
}

func known(w Weight) bool { return slices.Contains(w.Values(), string(w)) }

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

// asksFitted reports whether the condition asks if s is fitted.
func (c *Condition) asksFitted(s Subject) bool {
	if c == nil {
		return false
	}
	for _, parts := range [][]Condition{c.All, c.Any} {
		for i := range parts {
			if parts[i].asksFitted(s) {
				return true
			}
		}
	}
	return c.Fitted == s
}

// stated appends the circumstances that the condition names and no fact answers,
// in words.
func (c *Condition) stated(list []string) []string {
	for _, parts := range [][]Condition{c.All, c.Any} {
		for i := range parts {
			list = parts[i].stated(list)
		}
	}
	switch {
	case c.Stated != "":
		list = append(list, c.Stated)
	case c.RegisteredHere:
		list = append(list, finding.Sentence("law.word.registered_here"))
	}
	return list
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
	case c.Day:
		return byDay(l.night, need)
	case c.Disabled:
		return no
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

// byDay answers whether it is by day. A trip that is partly in the dark is
// partly by day as well, or not.
func byDay(night *bool, need *need) answer {
	if night != nil && !*night {
		return yes
	}
	if night == nil {
		*need |= needNight
	}
	return unknown
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

// fails answers whether the rig breaks the rule on s. What is missed of a rule
// that may not apply is not surely broken.
func (l *leg) fails(s Subject, need *need) answer {
	switch o := l.outcome(s.index()); {
	case o.duty == dutyRequired && o.fit == fitNotMet:
		return yes
	case o.fit == fitMet:
		return no
	default:
		*need |= o.need | needCircumstance
		return unknown
	}
}
