package rules

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pintail/api/unit"
)

// A condition that stands in words only is never evaluated. So every weight,
// share, date, and every word such as night, disabled or unladen in a row's
// sentence or note is also in a field: of that row, or of one beside it on the
// same subject. What is not stands here, with the reason why no field holds it.
var inWordsOnly = map[string][]string{
	"it says which wheels, or who works the brakes, not when they are owed": {
		"US-CT.brakes.1 8,000 lb", "US-VT.brakes.1 6,000 lb", "US-TN.brakes.1 7,500 lb", "US-TN.brakes.1 GVWR", "US-TN.breakaway.1 7,500 lb",
		"US-TN.breakaway.1 GVWR", "CA-BC.brakes.1 2,800 kg",
	},
	"it is about camp, house, cabin or pole trailers, which no car is": {
		"US-NC.brakes.1 1,000 lb", "US-NE.brakes.1 6,500 lb", "US-NH.brakes.1 1,500 lb", "US-FL.breakaway.1 made 1972",
	},
	"it is about trailers only, and the row says what a motor vehicle needs at any weight": {
		"US-ID.stop_lamps.1 3,000 lb", "US-ND.turn_signals.1 3,000 lb", "US-AR.reflectors.1 3,000 lb", "US-FL.reflectors.1 3,000 lb",
	},
	"it is about a second trailer or one on a fifth wheel, which is not joined by a tow bar": {
		"US-AZ.towed_units.1 3,000 lb", "US-SC.towed_units.1 3,000 lb", "US-SD.towed_units.1 3,000 lb",
	},
	"it is about the sale of new trailers, whose wheels must all have brakes, as a car's do": {
		"US-AR.brakes.1 1,500 lb", "US-LA.brakes.1 1,500 lb", "US-LA.brakes.1 made 1962",
	},
	"it is about a vehicle alone or a commercial one, not a motorhome with a car": {
		"US-AK.stopping_distance.1 10,000 lb", "US-AK.stopping_distance.1 GVWR", "US-KY.stopping_distance.1 10,000 lb",
		"US-NV.stopping_distance.1 10,000 lb", "US-WA.speed.1 10,000 lb",
	},
	"it is about what the towing vehicle is, and no motorhome is so light": {
		"US-CA.towed_units.1 4,000 lb", "US-CA.towed_units.1 6,000 lb", "US-CA.towed_units.1 unladen", "US-TX.safety_chain.1 2,000 lb", "US-TX.safety_chain.1 rated",
	},
	"it is another figure from another source, recalled or second hand, that nothing settles": {
		"CA-SK.breakaway.1 1,360 kg", "US-AL.brakes.1 3,000 lb", "US-DE.brakes.1 3,000 lb", "US-MA.brakes.1 3,000 lb", "US-MI.brakes.1 15,001 lb",
		"US-MI.breakaway.1 15,001 lb", "US-ND.brakes.1 3,000 lb", "US-NH.safety_chain.1 3,000 lb", "US-NM.safety_chain.1 3,000 lb",
		"US-NV.breakaway.1 3,000 lb", "US-TX.breakaway.1 3,000 lb", "US-HI.safety_chain.1 10,000 lb", "US-NC.stop_lamps.1 made 1970", "US-AK.brakes.1 GVWR",
	},
	"it is a rule of performance or of scope in another paragraph or rule, which was not read": {
		"US-NV.brakes.1 3,000 lb", "US-WA.safety_chain.1 10,000 lb", "US-SD.stopping_distance.1 driveaway",
	},
	"it is from where a lamp must be seen, or of what surface, not whether it is owed": {
		"US-CA.tail_lamps.1 made 1969", "US-MT.stop_lamps.1 made 1964", "US-WA.stop_lamps.1 made 1964", "US-OR.stop_lamps.1 by day", "US-CO.stopping_distance.1 1 percent",
	},
	"it is about flags and lamps on a long or soft link, which is no subject here": {
		"US-AL.coupling_length.1 night", "US-AL.coupling_length.1 by day", "US-PA.coupling_length.1 night", "US-SD.combination_length.1 night",
		"US-SD.combination_length.1 by day", "US-AK.safety_chain.1 disabled",
	},
	"it tells that the section is not about this": {
		"US-DE.towed_units.1 disabled", "US-CA.safety_chain.1 driveaway", "US-CA.stop_lamps.2 driveaway", "US-CA.turn_signals.1 driveaway",
		"US-MN.safety_chain.2 driveaway", "US-IN.combination_length.1 driveaway",
	},
	"only the heading was read, and the row is too weak to decide": {
		"US-NM.stop_lamps.1 since 1954", "US-NM.turn_signals.1 since 1954",
	},
	"the row asks it of all: of whatever is drawn, by night and by day, or because a hand signal cannot be seen past a motorhome": {
		"US-MO.reflectors.1 registered 1966", "US-NY.reflectors.1 night", "US-VA.turn_signals.1 made 1955",
	},
}

// prose finds what reads like a condition.
var prose = struct{ mass, share, year *regexp.Regexp }{
	regexp.MustCompile(`(\d[\d,]*) (?:to ([\d,]+) )?(lb|kg)\b`),
	regexp.MustCompile(`(\d+) (?:percent|per cent)|\bhalf\b`),
	regexp.MustCompile(`\b(made|built|sold|registered|since)\b[^.;]{0,30}?\b((?:19|20)\d\d)\b`),
}

// proseWords are words of conditions, with the tests that hold them.
var proseWords = []struct {
	words *regexp.Regexp
	name  string
	held  func(*Condition) bool
}{
	{regexp.MustCompile(`\bnight\b|\bsunset\b`), "night", func(c *Condition) bool { return c.Night }},
	{regexp.MustCompile(`\bby day\b`), "by day", func(c *Condition) bool { return c.Day }},
	{regexp.MustCompile(`(?i)\bdisabled\b`), "disabled", func(c *Condition) bool { return c.Disabled }},
	{regexp.MustCompile(`(?i)\bdrive-?away\b`), "driveaway", func(c *Condition) bool { return c.Driveaway }},
	{regexp.MustCompile(`(?i)\bunladen\b`), "unladen", func(c *Condition) bool { return c.Weight == Unladen }},
	{regexp.MustCompile(`(?i)\bempty weight\b|lb( or more)? empty\b`), "empty", func(c *Condition) bool { return c.Weight == Unladen || c.Of == TowingEmpty }},
	{regexp.MustCompile(`\brated\b`), "rated", func(c *Condition) bool { return isRating(c.Weight) || isRating(c.Of) }},
	{regexp.MustCompile(`\bGVWR\b`), "GVWR", func(c *Condition) bool { return isRating(c.Weight) || isRating(c.Of) }},
	{regexp.MustCompile(`(?i)\bair or vacuum\b`), "air or vacuum", func(c *Condition) bool { return strings.Contains(c.Stated, "by air or by vacuum") }},
}

func isRating(w Weight) bool {
	return w == GVWR || w == TowingGVWR || w == PairGVWR || w == TowingAxleRatings
}

func TestNoConditionInWordsOnly(t *testing.T) {
	reasons := map[string]string{}
	for reason, list := range inWordsOnly {
		for _, what := range list {
			reasons[what] = reason
		}
	}
	used := map[string]bool{}
	for _, p := range builtIn().places {
		for _, r := range p.all {
			var held []*Condition
			for _, beside := range p.all {
				if beside.Subject == r.Subject || beside.ExemptsFrom == r.Subject || r.JoinedWith == beside.ID {
					held = beside.When.tested(held)
				}
			}
			for _, what := range inWords(r, held) {
				used[what] = true
				if reasons[what] == "" {
					t.Errorf("%s: in no field, and no reason is given\n%s\n%s", what, r.Requirement, r.Note)
				}
			}
		}
	}
	for what, reason := range reasons {
		if !used[what] {
			t.Errorf("%s: no longer there; excused because %s", what, reason)
		}
	}
}

// tested appends the single tests of a condition.
func (c *Condition) tested(list []*Condition) []*Condition {
	if c == nil {
		return list
	}
	for _, parts := range [][]Condition{c.All, c.Any} {
		for i := range parts {
			list = parts[i].tested(list)
		}
	}
	return append(list, c)
}

// inWords lists what a row says of conditions that none of the tests holds.
func inWords(r *rule, held []*Condition) []string {
	var open []string
	add := func(what string, is func(*Condition) bool) {
		what = r.ID + " " + what
		if !slices.ContainsFunc(held, is) && !slices.Contains(open, what) {
			open = append(open, what)
		}
	}
	words := r.Requirement + " " + r.Note
	for _, m := range prose.mass.FindAllStringSubmatch(words, -1) {
		n := m[1]
		if m[2] != "" {
			n = m[2]
		}
		add(n+" "+m[3], func(c *Condition) bool { return c.names(n, m[3]) })
	}
	for _, m := range prose.share.FindAllStringSubmatch(words, -1) {
		pct := m[1]
		if pct == "" {
			pct = "50"
		}
		add(m[0], func(c *Condition) bool {
			return slices.ContainsFunc([]*int64{c.OverPct, c.AtLeastPct, c.UnderPct}, func(p *int64) bool { return p != nil && strconv.FormatInt(*p, 10) == pct })
		})
	}
	for _, m := range prose.year.FindAllStringSubmatch(words, -1) {
		add(m[1]+" "+m[2], func(c *Condition) bool { return c.turnsIn(m[2]) })
	}
	for _, w := range proseWords {
		if w.words.MatchString(words) {
			add(w.name, w.held)
		}
	}
	return open
}

// names reports whether the test compares with just that weight.
func (c *Condition) names(number, in string) bool {
	v, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", ""), 64)
	if err != nil {
		return false
	}
	m, err := unit.NewMass(v, in)
	return err == nil && slices.ContainsFunc([]*unit.Mass{c.Over, c.AtLeast, c.Under, c.UpTo}, func(x *unit.Mass) bool { return x != nil && *x == m })
}

// turnsIn reports whether the last day not caught, or the first one caught, is
// of that year.
func (c *Condition) turnsIn(year string) bool {
	last, err := time.Parse(time.DateOnly, string(c.BuiltAfter))
	return err == nil && (fmt.Sprint(last.Year()) == year || fmt.Sprint(last.AddDate(0, 0, 1).Year()) == year)
}

// One pattern of statute is written one way: see the package comment.
func TestPatternsWrittenOneWay(t *testing.T) {
	for _, r := range rowsOf(builtIn()) {
		tests := r.When.tested(nil)
		has := func(is func(*Condition) bool) bool { return slices.ContainsFunc(tests, is) }
		switch {
		case r.ExemptsFrom == Brakes && has(func(c *Condition) bool { return c.Driveaway }) && r.Doubt == "":
			t.Errorf("%s: a driveaway clause without the doubt that a holiday tow is none", r.ID)
		case r.ExemptsFrom == Brakes && has(func(c *Condition) bool { return c.Driveaway }) && strings.Contains(r.Requirement, " if the ") && len(r.When.All) == 0:
			t.Errorf("%s: the clause has a condition of its own that is not a field", r.ID)
		case r.ExemptsFrom == "" && has(func(c *Condition) bool { return c.Driveaway }) && r.Covers != OtherThing:
			t.Errorf("%s: a duty of vehicles moved as goods counts for a car towed along", r.ID)
		case r.Subject == StoppingDistance && has(func(c *Condition) bool { return c.Fitted == Brakes }) && !stopsLonger(r):
			t.Errorf("%s: a shorter stop with brakes on all wheels, without the longer one beside it", r.ID)
		case r.Subject == Brakes && has(func(c *Condition) bool { return c.Fails == StoppingDistance }) && !has(func(c *Condition) bool { return c.OverPct != nil }):
			t.Errorf("%s: light trailers are excused on a stop but not on a share", r.ID)
		}
	}
}

// stopsLonger reports whether a longer stop without a condition stands beside.
func stopsLonger(r *rule) bool {
	return slices.ContainsFunc(builtIn().place(r.Jurisdiction).all, func(o *rule) bool {
		return o.Subject == StoppingDistance && o.When == nil && *o.Value > *r.Value
	})
}
