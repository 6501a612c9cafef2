package rules

import (
	"math"
	"slices"
	"strings"

	"pintail/api/rig"
	"pintail/api/unit"
)

// Row is one requirement of one jurisdiction; the package comment describes
// each member.
type Row struct {
	ID           string     `json:"id"`
	Jurisdiction string     `json:"jurisdiction"`
	Subject      Subject    `json:"subject"`
	Covers       Covers     `json:"covers"`
	Says         Says       `json:"says,omitzero"`
	ExemptsFrom  Subject    `json:"exempts_from,omitzero"`
	JoinedWith   string     `json:"joined_with,omitzero"`
	When         *Condition `json:"when,omitzero"`
	Value        *float64   `json:"value,omitzero"`
	Unit         string     `json:"unit,omitzero"`
	Crossed      bool       `json:"crossed,omitzero"`
	Requirement  string     `json:"requirement"`
	Doubt        string     `json:"doubt,omitzero"`
	From         unit.Date  `json:"from,omitzero"`
	Until        unit.Date  `json:"until,omitzero"`
	Citation     string     `json:"citation,omitzero"`
	URL          string     `json:"url,omitzero"`
	TextYear     int        `json:"text_year,omitzero"`
	SourceKind   SourceKind `json:"source_kind"`
	Known        Known      `json:"known"`
	VerifiedOn   unit.Date  `json:"verified_on,omitzero"`
	Note         string     `json:"note,omitzero"`
}

// unitsOf are the units a subject's value may have.
func unitsOf(s Subject) []string {
	switch s {
	case Breakaway:
		return []string{"min"}
	case SafetyChain:
		return []string{"chain"}
	case TailLamps, StopLamps, TurnSignals, PlateLamp, ClearanceLamps:
		return []string{"lamp"}
	case Reflectors:
		return []string{"reflector"}
	case TowedUnits:
		return []string{"unit"}
	case CouplingLength, CombinationLength, StoppingDistance:
		return []string{"ft", "m"}
	case Speed:
		return []string{"mph", "km_h"}
	}
	return nil
}

// limits reports whether the subject's value is a most, not a least.
func (s Subject) limits() bool {
	return s == CouplingLength || s == CombinationLength || s == StoppingDistance || s == TowedUnits || s == Speed
}

// Bounds of what a row may say, in characters and years.
const (
	longestID   = 64
	longestText = 2_000
	longestNote = 5_000
	firstYear   = 1900
	lastYear    = 2199
	mostValue   = 100_000
)

// check records what is not possible in the row; c stands at the row.
// Everything that reads rows goes through here: the file compiled in, a
// workspace's changes and an import.
func (r *Row) check(c rig.Checker, known func(jurisdiction string) bool) {
	required(c, "jurisdiction", r.Jurisdiction)
	required(c, "subject", r.Subject)
	required(c, "covers", r.Covers)
	required(c, "requirement", r.Requirement)
	required(c, "source_kind", r.SourceKind)
	required(c, "known", r.Known)
	rig.Choice(c, "subject", r.Subject)
	rig.Choice(c, "covers", r.Covers)
	rig.Choice(c, "says", r.Says)
	rig.Choice(c, "exempts_from", r.ExemptsFrom)
	rig.Choice(c, "source_kind", r.SourceKind)
	rig.Choice(c, "known", r.Known)
	if r.Jurisdiction != "" && !known(r.Jurisdiction) {
		c.In("jurisdiction").Bad("%q is not known, want an ISO 3166-2 code such as US-VA", r.Jurisdiction)
	}
	r.checkID(c)
	r.checkValue(c)
	r.checkSource(c)
	plainText(c, "requirement", r.Requirement, longestText)
	plainText(c, "doubt", r.Doubt, longestText)
	plainText(c, "note", r.Note, longestNote)
	c.Date("from", r.From)
	c.Date("until", r.Until)
	if r.From != "" && r.Until != "" && r.Until <= r.From {
		c.In("until").Bad("is not after from, %s", r.From)
	}
	if r.When != nil {
		r.When.check(c.In("when"), 1)
		switch {
		case r.circular():
			c.In("when").Bad("follows the duty that it is part of")
		case r.JoinedWith != "":
			c.In("when").Bad("the condition of a joined row stands in %s", r.JoinedWith)
		}
	}
}

func required[T ~string](c rig.Checker, name string, v T) {
	if v == "" {
		c.In(name).Bad("missing")
	}
}

// plainText wants a text that survives every table: not too long, no space at
// its ends, no control character but a new line.
func plainText(c rig.Checker, name, s string, longest int) {
	c.Text(name, s, longest)
	switch {
	case s != strings.TrimSpace(s):
		c.In(name).Bad("begins or ends with white space")
	case strings.IndexFunc(s, func(r rune) bool { return r < ' ' && r != '\n' || r == 0x7f }) >= 0:
		c.In(name).Bad("has a control character")
	}
}

// checkID wants jurisdiction.subject.name, the name of letters, digits, _ and -.
func (r *Row) checkID(c rig.Checker) {
	name, ok := strings.CutPrefix(r.ID, r.Jurisdiction+"."+string(r.Subject)+".")
	switch {
	case r.ID == "":
		c.In("id").Bad("missing")
	case !ok || !rig.PlainKey(name) || len(r.ID) > longestID:
		c.In("id").Bad("want %s.%s. and a name of its own of a-z, A-Z, 0-9, _ and -, at most %d in all", r.Jurisdiction, r.Subject, longestID)
	}
}

func (r *Row) checkValue(c rig.Checker) {
	units := unitsOf(r.Subject)
	switch {
	case r.Value != nil && r.Unit == "":
		c.In("unit").Bad("missing beside a value")
	case r.Value == nil && r.Unit != "":
		c.In("value").Bad("missing beside a unit")
	case r.Value != nil && len(units) == 0:
		c.In("value").Bad("%s has no value", r.Subject)
	case r.Value != nil && !slices.Contains(units, r.Unit):
		c.In("unit").Bad("%q is not known for %s, want %s", r.Unit, r.Subject, strings.Join(units, " or "))
	case r.Value == nil && r.asks() && r.Subject.limits():
		c.In("value").Bad("missing, %s is a limit", r.Subject)
	case r.Value != nil && !(*r.Value > 0 && *r.Value <= mostValue):
		c.In("value").Bad("want more than 0 and at most %d", mostValue)
	case r.Value != nil && countsThings(r.Unit) && *r.Value != math.Trunc(*r.Value):
		c.In("value").Bad("want a whole number of %ss", r.Unit)
	case r.Value != nil && math.Round(*r.Value*1000)/1000 != *r.Value:
		c.In("value").Bad("has more than three decimals")
	}
	if r.Crossed && r.Subject != SafetyChain {
		c.In("crossed").Bad("is for safety_chain")
	}
}

func countsThings(u string) bool {
	return u == "lamp" || u == "reflector" || u == "chain" || u == "unit"
}

// checkSource holds a row to what its source can carry.
func (r *Row) checkSource(c rig.Checker) {
	plainText(c, "citation", r.Citation, longestText)
	plainText(c, "url", r.URL, longestText)
	c.Date("verified_on", r.VerifiedOn)
	switch {
	case r.Citation == "" && r.Known != Low && r.SourceKind != OfficialSummary && r.SourceKind != Digest:
		c.In("citation").Bad("missing; a row without one is known: low")
	case r.URL != "" && !strings.HasPrefix(r.URL, "https://") && !strings.HasPrefix(r.URL, "http://"):
		c.In("url").Bad("want http:// or https://")
	case r.TextYear != 0 && (r.TextYear < firstYear || r.TextYear > lastYear):
		c.In("text_year").Bad("want a year of %d to %d", firstYear, lastYear)
	case r.Known == High && r.SourceKind != StatuteText:
		c.In("known").Bad("high is for a text that was read; a %s is medium or low", r.SourceKind)
	case r.SourceKind == FromMemory && r.Known != Low:
		c.In("known").Bad("what is from memory is low")
	}
}

// circular reports whether working out the condition would need its own result:
// brakes may follow the stopping rule, and everything else both.
func (r *Row) circular() bool {
	s := r.Subject
	if r.ExemptsFrom != "" {
		s = r.ExemptsFrom
	}
	switch s {
	case StoppingDistance:
		return r.When.follows(Brakes) || r.When.follows(StoppingDistance)
	case Brakes:
		return r.When.follows(Brakes)
	}
	return false
}

// asks reports whether the row asks for something by itself.
func (r *Row) asks() bool { return r.Says == "" && r.ExemptsFrom == "" && r.JoinedWith == "" }

// weak reports whether the row is too little known to decide anything.
func (r *Row) weak() bool { return r.Known == Low }

// inForce reports whether the row is law on the day. A row without days counts
// always; without a day asked for, every row not yet ended counts.
func (r *Row) inForce(on unit.Date) bool {
	if on == "" {
		return r.Until == ""
	}
	return r.From <= on && (r.Until == "" || on < r.Until)
}
