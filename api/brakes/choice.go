package brakes

import (
	"cmp"
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/sorting"
)

// ChoiceInput is the input of brakes/choice: a rig, and what it is for.
type ChoiceInput struct {
	Rig *rig.Rig `json:"rig"`
	// Cars and Motorhomes are how many the unit is to serve.
	Cars       *int        `json:"cars,omitzero"`
	Motorhomes *int        `json:"motorhomes,omitzero"`
	Terrain    rig.Terrain `json:"terrain,omitzero"`
	RoughRoads *bool       `json:"rough_roads,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in ChoiceInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	c.Count("cars", in.Cars, 1, 20)
	c.Count("motorhomes", in.Motorhomes, 1, 20)
	rig.Choice(c, "terrain", in.Terrain)
	return c.Err()
}

// Fit says whether something suits.
type Fit string

// The answers, best first.
const (
	Suits    Fit = "suits"
	SuitsIf  Fit = "suits_if"  // only under the conditions named
	NotKnown Fit = "not_known" // a fact that could rule it out is not recorded
	RuledOut Fit = "ruled_out"
)

// Values lists the answers, best first.
func (Fit) Values() []string { return []string{"suits", "suits_if", "not_known", "ruled_out"} }

func (f Fit) rank() int { return slices.Index(f.Values(), string(f)) }

// Reason is one thing that speaks for or against.
type Reason struct {
	Fit    Fit          `json:"fit"`
	Says   finding.Text `json:"says"`
	Fields []string     `json:"fields,omitzero"`
}

// Option is one actuation type, judged for this rig.
type Option struct {
	Actuation rig.Actuation `json:"actuation"`
	Name      finding.Text  `json:"name"`
	Fit       Fit           `json:"fit"`
	// Reasons has every reason, worst first.
	Reasons []Reason `json:"reasons"`
	// Controllers are what the car's braking can follow.
	Controllers []rig.Controller `json:"controllers"`
	NeedsTowing []finding.Text   `json:"needs_towing"`
	NeedsTowed  []finding.Text   `json:"needs_towed"`
	// Tests are the ids of the set-up tests that apply.
	Tests []string `json:"tests"`
}

// ChoiceReport is the answer of brakes/choice.
type ChoiceReport struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Options are the actuation types, those that suit first.
	Options []Option `json:"options"`
	// Monitor are the places where the cab monitor may be tapped.
	Monitor []MonitorPlace `json:"monitor"`
	// Tests are the set-up tests, for the unit fitted or for any.
	Tests     []SetUpStep  `json:"tests"`
	Breakaway finding.Text `json:"breakaway"`
}

// Choose judges each actuation type for a rig. The table behind it is
// engineering judgment, and every reason is given.
func Choose(in ChoiceInput) ChoiceReport {
	t := actuations()
	r := ChoiceReport{Options: make([]Option, 0, len(t.Actuations)), Breakaway: finding.Say("brakes.breakaway_always", nil)}
	for _, a := range t.Actuations {
		r.Options = append(r.Options, in.option(t, a))
	}
	sorting.By(r.Options, func(a, b Option) int {
		return cmp.Or(cmp.Compare(a.Fit.rank(), b.Fit.rank()), cmp.Compare(a.conditions(), b.conditions()))
	})
	r.Monitor = monitorPlaces(*in.Rig)
	r.Tests = SetUp(*in.Rig)
	r.Findings = in.findings(r.Options, r.Monitor)
	finding.Sort(r.Findings)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

// conditions counts the reasons that are conditions.
func (o Option) conditions() int {
	n := 0
	for _, r := range o.Reasons {
		if r.Fit == SuitsIf {
			n++
		}
	}
	return n
}

// option judges one type by every row that touches it.
func (in ChoiceInput) option(t *table, a actuation) Option {
	o := Option{
		Actuation: a.ID, Name: finding.Say("brakes.actuation."+string(a.ID), nil), Controllers: a.Controllers,
		NeedsTowing: needs(a.Towing), NeedsTowed: needs(append(a.Towed[:len(a.Towed):len(a.Towed)], "breakaway")),
		Tests: testIDs(*in.Rig, a),
	}
	open := map[fact]bool{}
	for _, row := range t.Rows {
		fit, reason, touches := row.cell(a.ID)
		if !touches {
			continue
		}
		switch holds, known := in.is(row.Fact, row.Is); {
		case holds:
			o.add(Reason{Fit: fit, Says: finding.Say(reasonID(fit, reason), nil)})
		case !known && fit == RuledOut && !open[row.Fact]:
			open[row.Fact] = true
			o.add(unsettled(row.Fact))
		}
	}
	if a.ID == rig.SurgeOnCoupling {
		o.Reasons = append(o.Reasons, surgeYardstick(*in.Rig)...)
	}
	if o.Reasons == nil {
		o.add(Reason{Fit: Suits, Says: finding.Say("brakes.why.nothing_against", nil)})
	}
	o.Fit = Suits
	for _, r := range o.Reasons {
		if r.Fit.rank() > o.Fit.rank() {
			o.Fit = r.Fit
		}
	}
	sorting.By(o.Reasons, func(a, b Reason) int { return cmp.Compare(b.Fit.rank(), a.Fit.rank()) })
	return o
}

// add keeps a reason once.
func (o *Option) add(r Reason) {
	if !slices.ContainsFunc(o.Reasons, func(have Reason) bool { return have.Says.ID == r.Says.ID }) {
		o.Reasons = append(o.Reasons, r)
	}
}

// unsettled is the reason of a fact that nobody entered and that could rule the
// type out. What the rig is to be used for is a condition, not a gap.
func unsettled(f fact) Reason {
	if field := f.field(); field != "" {
		return Reason{Fit: NotKnown, Says: finding.Say("brakes.unsettled."+string(f), nil), Fields: []string{field}}
	}
	return Reason{Fit: SuitsIf, Says: finding.Say("brakes.unsettled."+string(f), nil)}
}

func needs(endings []string) []finding.Text {
	texts := make([]finding.Text, 0, len(endings))
	for _, e := range endings {
		texts = append(texts, finding.Say("brakes.need."+e, nil))
	}
	return texts
}
