package readiness

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/rules"
)

// ImpactInput is the input of readiness/impact: rigs and trips as they are
// saved, the changes of law rows in force, and the changes that are tried.
type ImpactInput struct {
	Rigs  map[string]rig.Rig   `json:"rigs"`
	Trips map[string]SavedTrip `json:"trips"`
	// RuleChanges are in force already; Changes are laid over them.
	RuleChanges []rules.Change `json:"rule_changes,omitzero"`
	Changes     []rules.Change `json:"changes"`
}

// SavedTrip is a trip of one of the rigs.
type SavedTrip struct {
	Rig  string `json:"rig"`
	Trip *Trip  `json:"trip"`
}

// mostSaved is how many rigs and how many trips one question takes.
const mostSaved = 64

// Validate returns what is not possible in the input, nil if nothing.
func (in ImpactInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rigs := c.In("rigs")
	for _, key := range keys(rigs, in.Rigs) {
		r := in.Rigs[key]
		rig.Required(rigs.In(key), &r)
	}
	trips := c.In("trips")
	for _, key := range keys(trips, in.Trips) {
		in.Trips[key].check(trips.In(key))
	}
	rules.CheckChanges(c.In("rule_changes"), in.RuleChanges)
	changes := c.In("changes")
	if in.Changes == nil {
		changes.Bad("missing")
	}
	rules.CheckChanges(changes, in.Changes)
	return c.Err()
}

// keys are the keys of a map in order; what is wrong with them is recorded, and
// those are left out.
func keys[V any](c rig.Checker, m map[string]V) []string {
	if m == nil {
		c.Bad("missing")
	}
	if len(m) > mostSaved {
		c.Bad("%d entries, at most %d", len(m), mostSaved)
		return nil
	}
	good := make([]string, 0, len(m))
	for _, key := range rig.Keys(m) {
		if !rig.PlainKey(key) {
			c.In(key).Bad("a key is 1 to 64 of a-z, A-Z, 0-9, _ and -")
			continue
		}
		good = append(good, key)
	}
	return good
}

func (s SavedTrip) check(c rig.Checker) {
	if s.Rig == "" {
		c.In("rig").Bad("missing")
	}
	c.Text("rig", s.Rig, 64)
	if s.Trip == nil {
		c.In("trip").Bad("missing")
		return
	}
	s.Trip.check(c.In("trip"))
}

// ImpactReport says which trips would be answered otherwise.
type ImpactReport struct {
	finding.Stamp `json:",inline"`
	// Flips is how many trips get another verdict, Moves how many keep theirs and
	// have another finding.
	Flips int          `json:"flips"`
	Moves int          `json:"moves"`
	Trips []TripImpact `json:"trips"`
}

// TripImpact is one trip before and after the changes.
type TripImpact struct {
	Trip string `json:"trip"`
	Rig  string `json:"rig"`
	// Before and After are absent where the rig is not among those given.
	Before finding.Verdict `json:"before,omitzero"`
	After  finding.Verdict `json:"after,omitzero"`
	Flips  bool            `json:"flips"`
	// Moved are the findings of the law that come, go or say something else.
	Moved []Moved `json:"moved"`
}

// Moved is one finding that is not the same before and after; absent is not
// there.
type Moved struct {
	ID     string           `json:"id"`
	Before *finding.Finding `json:"before,omitzero"`
	After  *finding.Finding `json:"after,omitzero"`
}

// Impact answers every trip twice, without and with the changes tried.
func Impact(in ImpactInput) ImpactReport {
	out := ImpactReport{Trips: make([]TripImpact, 0, len(in.Trips))}
	tried := append(append(make([]rules.Change, 0, len(in.RuleChanges)+len(in.Changes)), in.RuleChanges...), in.Changes...)
	for _, key := range rig.Keys(in.Trips) {
		s := in.Trips[key]
		t := TripImpact{Trip: key, Rig: s.Rig, Moved: []Moved{}}
		if r, ok := in.Rigs[s.Rig]; ok {
			t.compare(
				Evaluate(Input{Rig: &r, Trip: s.Trip, RuleChanges: in.RuleChanges}),
				Evaluate(Input{Rig: &r, Trip: s.Trip, RuleChanges: tried}),
			)
		}
		switch {
		case t.Flips:
			out.Flips++
		case len(t.Moved) > 0:
			out.Moves++
		}
		out.Trips = append(out.Trips, t)
	}
	return out
}

func (t *TripImpact) compare(before, after Report) {
	t.Before, t.After, t.Flips = before.Verdict, after.Verdict, before.Verdict != after.Verdict
	there := map[string]*finding.Finding{}
	for i := range before.Findings {
		if f := &before.Findings[i]; f.Area == finding.Law {
			there[f.ID] = f
		}
	}
	for i := range after.Findings {
		f := &after.Findings[i]
		if f.Area != finding.Law {
			continue
		}
		if b := there[f.ID]; b == nil || !same(b, f) {
			t.Moved = append(t.Moved, Moved{ID: f.ID, Before: b, After: f})
		}
		delete(there, f.ID)
	}
	for _, id := range rig.Keys(there) {
		t.Moved = append(t.Moved, Moved{ID: id, Before: there[id]})
	}
}

// same reports whether a reader of two findings would see no difference.
func same(a, b *finding.Finding) bool {
	return a.Verdict == b.Verdict && a.Decides == b.Decides && a.Says.Sentence == b.Says.Sentence
}
