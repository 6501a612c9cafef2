// Package trouble answers "something is wrong": the failures that happen to a
// flat-towed car and its coupling, what to do about each where it happens, what
// to test again, and whether the trip may go on. The table is data. Whatever
// concerns the car's own drivetrain comes only from the owner's manual as typed
// in the rig, and the table says so.
package trouble

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
)

// Input is the input of trouble/list.
type Input struct {
	// Symptom keeps only what a person may look for under it.
	Symptom Symptom `json:"symptom,omitzero"`
	// Rig marks what cannot happen to this rig.
	Rig *rig.Rig `json:"rig,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Choice(c, "symptom", in.Symptom)
	if in.Rig != nil {
		in.Rig.Check(c.In("rig"))
	}
	return c.Err()
}

// Sense is how a person notices something.
type Sense string

// The senses.
const (
	See     Sense = "see"
	Hear    Sense = "hear"
	Smell   Sense = "smell"
	Feel    Sense = "feel"
	Lamp    Sense = "lamp"
	Monitor Sense = "monitor"
	AtRest  Sense = "at_rest" // while the rig stands
)

// Values lists the senses.
func (Sense) Values() []string {
	return []string{"see", "hear", "smell", "feel", "lamp", "monitor", "at_rest"}
}

// Symptom is what a person looks under.
type Symptom string

// Values lists the symptoms.
func (Symptom) Values() []string {
	return []string{"smoke", "wheel", "sway", "loose", "other_driver", "noise", "smell", "hot_wheel", "feel_pull", "feel_push", "feel_jerk",
		"lamp", "monitor", "tire_alarm", "no_power", "stuck", "test"}
}

// SymptomGroup is a symptom in words, with how many failures show it.
type SymptomGroup struct {
	Symptom Symptom      `json:"symptom"`
	Sense   Sense        `json:"sense"`
	Says    finding.Text `json:"says"`
	// Failures is how many of the table are found under it, whatever the rig.
	Failures int `json:"failures"`
}

// Halt says when to come to rest.
type Halt string

// When to halt, most urgent first.
const (
	Now              Halt = "now"                 // at the first place where it is safe, and no farther
	NextSafePlace    Halt = "next_safe_place"     // carefully to the next place where one can work
	BeforeNextHookUp Halt = "before_next_hook_up" // the rig stands already
)

// Values lists when to halt, most urgent first.
func (Halt) Values() []string { return []string{"now", "next_safe_place", "before_next_hook_up"} }

// GoOn says whether the trip may go on.
type GoOn string

// Whether the trip may go on; the condition in words stands beside it.
const (
	Yes      GoOn = "yes"
	AfterFix GoOn = "after_fix" // after the fix and the tests
	No       GoOn = "no"        // not with the car on the bar
)

// Values lists whether the trip may go on.
func (GoOn) Values() []string { return []string{"yes", "after_fix", "no"} }

// Applies says whether a failure can happen to the rig.
type Applies string

// Whether it can happen.
const (
	CanHappen    Applies = "can_happen"
	CannotHappen Applies = "cannot_happen"
	NotKnown     Applies = "not_known" // the rig does not say
)

// Values lists whether it can happen.
func (Applies) Values() []string { return []string{"can_happen", "cannot_happen", "not_known"} }

// TestAgain names steps of a walk-round list to do again after the fix.
type TestAgain struct {
	// List is hook_up or stop_check.
	List  string   `json:"list"`
	Steps []string `json:"steps"`
}

// Failure is one thing that goes wrong.
type Failure struct {
	// ID is stable across versions.
	ID       string       `json:"id"`
	Symptoms []Symptom    `json:"symptoms"`
	Name     finding.Text `json:"name"`
	// Signs are what is noticed, Cause is what is usually behind it.
	Signs finding.Text `json:"signs"`
	Cause finding.Text `json:"cause"`
	Halt  Halt         `json:"halt"`
	// Stand is where the people stand meanwhile.
	Stand finding.Text `json:"stand"`
	// Do is the fix in the field, in order; Never what must not be done.
	Do        []finding.Text `json:"do"`
	Never     []finding.Text `json:"never"`
	TestAgain []TestAgain    `json:"test_again,omitzero"`
	GoOn      GoOn           `json:"go_on"`
	// Condition says in words when the trip may go on.
	Condition finding.Text `json:"condition"`
	// Applies is absent where no rig was given.
	Applies Applies         `json:"applies,omitzero"`
	Because *finding.Text   `json:"because,omitzero"`
	Basis   []finding.Basis `json:"basis"`
}

// TestsAfter are the tests to do again after a failure was mended in the field,
// none for one that is not known or ends the trip.
func TestsAfter(failure string) []TestAgain {
	for i := range table() {
		if e := &table()[i]; e.ID == failure {
			return slices.Clone(e.TestAgain)
		}
	}
	return nil
}

// Name is what a failure is called, and whether it is known.
func Name(failure string) (finding.Text, bool) {
	for i := range table() {
		if e := &table()[i]; e.ID == failure {
			return finding.Say(e.Name, nil), true
		}
	}
	return finding.Text{}, false
}

// Report is the answer of trouble/list.
type Report struct {
	finding.Stamp `json:",inline"`
	Findings      []finding.Finding `json:"findings"`
	// Always belongs to every failure.
	Always   []finding.Text `json:"always"`
	Symptoms []SymptomGroup `json:"symptoms"`
	// Failures are most urgent first; those that cannot happen to the rig last.
	Failures []*Failure `json:"failures"`
}

// List lists what may be wrong.
func List(in Input) Report {
	r := Report{Findings: []finding.Finding{}, Symptoms: groups(), Failures: []*Failure{}, Always: []finding.Text{
		finding.Say("trouble.always_explain", nil), finding.Say("trouble.always_held", nil), finding.Say("trouble.always_test", nil),
	}}
	var fields []string
	var cannot []*Failure
	for i := range table() { // the most urgent stand first in the table
		e := &table()[i]
		if in.Symptom != "" && !slices.Contains(e.Symptoms, in.Symptom) {
			continue
		}
		f := e.failure()
		if in.Rig != nil {
			fields = append(fields, f.mark(e, in.Rig)...)
		}
		if f.Applies == CannotHappen {
			cannot = append(cannot, f)
		} else {
			r.Failures = append(r.Failures, f)
		}
	}
	r.Failures = append(r.Failures, cannot...)
	if fields != nil {
		slices.Sort(fields)
		r.Findings = append(r.Findings, finding.Finding{
			ID: "trouble.rig-not-described", Area: finding.Trip, Verdict: finding.FindOut, Says: finding.Say("trouble.rig_not_described", nil), Fields: slices.Compact(fields),
		})
	}
	return r
}

// mark says whether the failure can happen to the rig, and returns the fields
// that would tell where that is not known.
func (f *Failure) mark(e *entry, r *rig.Rig) (fields []string) {
	f.Applies = CanHappen
	for _, c := range e.When {
		can, known, field := c.in(r)
		switch {
		case known && !can:
			f.Applies, f.Because = CannotHappen, finding.Advise("trouble.not_this_rig", nil)
			return nil
		case !known:
			f.Applies = NotKnown
			fields = append(fields, field)
		}
	}
	return fields
}
