package trace

import (
	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
)

// Report is the answer of lamps/trace.
type Report struct {
	finding.Stamp `json:",inline"`
	Outcome       Outcome      `json:"outcome"`
	Says          finding.Text `json:"says"`
	// Groups are causes that the evidence does not tell apart, the likeliest
	// group first. No cause of a group is likelier for standing before another.
	Groups []Group `json:"groups"`
	// Misfits are what does not agree with the best cause.
	Misfits []Why `json:"misfits,omitzero"`
	// Contradictions are entries that cannot both be true. Both are taken as
	// doubtful.
	Contradictions []Contradiction `json:"contradictions,omitzero"`
	// Next is the step or reading that tells most, absent where none tells more.
	Next     *Next        `json:"next,omitzero"`
	NextSays finding.Text `json:"next_says"`
	// Values are those that the model rests on.
	Values []wiring.Value `json:"values"`
}

// Outcome is how far the evidence leads.
type Outcome string

// The outcomes.
const (
	NoEvidence Outcome = "no_evidence" // nothing that says anything was given
	Sound      Outcome = "sound"       // all is as it should be
	One        Outcome = "one"         // one cause is left in the likeliest group
	Several    Outcome = "several"     // several causes are left
	NoModel    Outcome = "no_model"    // no modelled fault gives this
)

// Values lists the outcomes.
func (Outcome) Values() []string {
	return []string{"no_evidence", "sound", "one", "several", "no_model"}
}

// Limit is how far the rig may go with a fault.
type Limit string

// The limits.
const (
	DoNotMove Limit = "do_not_move"
	SafePlace Limit = "next_safe_place"
	MayGoOn   Limit = "may_go_on"
)

// Values lists the limits.
func (Limit) Values() []string { return []string{"do_not_move", "next_safe_place", "may_go_on"} }

func (l Limit) graver(than Limit) bool {
	values := Limit("").Values()
	return at(values, string(l)) < at(values, string(than))
}

// Group is causes that give the evidence alike.
type Group struct {
	// Share is how likely it is that the true cause is among them, 0 to 1.
	Share     float64        `json:"share"`
	Causes    []Cause        `json:"causes"`
	Places    []wiring.Place `json:"places,omitzero"`
	Limit     Limit          `json:"limit"`
	LimitSays finding.Text   `json:"limit_says"`
	// For is what speaks for the group against all others, Against what speaks
	// against it.
	For     []Why `json:"for,omitzero"`
	Against []Why `json:"against,omitzero"`
}

// Cause is one fault, two at once, or none.
type Cause struct {
	// Faults are ids of the fault catalogue in the likeliest size, none where
	// nothing is wrong; Also the same faults in other sizes that fit.
	Faults []string       `json:"faults"`
	Also   []string       `json:"also,omitzero"`
	Says   []finding.Text `json:"says"`
	Places []wiring.Place `json:"places,omitzero"`
	Share  float64        `json:"share"`
	// OhmLow and OhmHigh are the sizes that fit, where the fault is a resistance.
	OhmLow  *float64 `json:"ohm_low,omitzero"`
	OhmHigh *float64 `json:"ohm_high,omitzero"`
	// Ohm is what the readings make of it, absent where none tells.
	Ohm   *float64       `json:"ohm,omitzero"`
	Fix   []finding.Text `json:"fix"`
	Limit Limit          `json:"limit"`
}

// sizes widens the cause by faults of its site.
func (c *Cause) sizes(faults []*wiring.Fault) {
	for _, f := range faults {
		if at(c.Faults, f.ID) < 0 && at(c.Also, f.ID) < 0 {
			c.Also = append(c.Also, f.ID)
		}
		ohm := f.Ohm()
		if ohm == 0 {
			continue
		}
		if c.OhmLow == nil || ohm < *c.OhmLow {
			c.OhmLow = &ohm
		}
		if c.OhmHigh == nil || ohm > *c.OhmHigh {
			c.OhmHigh = &ohm
		}
	}
}

// Kind is what a piece of evidence is.
type Kind string

// The kinds.
const (
	IsPicture    Kind = "picture"
	IsComparison Kind = "comparison"
	IsReading    Kind = "reading"
)

// Values lists the kinds.
func (Kind) Values() []string { return []string{"picture", "comparison", "reading"} }

// Why is one piece of evidence and what it says.
type Why struct {
	// Kind and Index tell which entry of the input it is.
	Kind  Kind         `json:"kind"`
	Index int          `json:"index"`
	Says  finding.Text `json:"says"`
}

// Contradiction is two entries of one kind that cannot both be true.
type Contradiction struct {
	Kind   Kind         `json:"kind"`
	First  int          `json:"first"`
	Second int          `json:"second"`
	Says   finding.Text `json:"says"`
}

// Next is what to look at or measure now.
type Next struct {
	Step wiring.Step `json:"step"`
	// Point is where to measure; without it the lamps are looked at.
	Point string `json:"point,omitzero"`
	Amps  bool   `json:"amps,omitzero"`
	// Bits is the information expected, at least.
	Bits float64 `json:"bits"`
	// Expect is what each remaining cause would give.
	Expect []Expected `json:"expect"`
}

// Expected is what one cause gives in the next step.
type Expected struct {
	// Group and Cause are indices into the groups and the group's causes.
	Group int `json:"group"`
	Cause int `json:"cause"`
	// Low and High bound the reading in volts or amperes; Lit is what a test lamp
	// does, absent where it may do either.
	Low  *float64 `json:"low,omitzero"`
	High *float64 `json:"high,omitzero"`
	Lit  *bool    `json:"lit,omitzero"`
	// Looks are the lamps in which the causes differ.
	Looks []LampLook `json:"looks,omitzero"`
}

// LampLook is how one lamp looks.
type LampLook struct {
	Lamp          string `json:"lamp"`
	pictures.Look `json:",inline"`
}
