package rules

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"pintail/api/finding"
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
	Note         string     `json:"note,omitzero"`

	length  unit.Length // the value of a length subject, in the law's own unit
	speed   unit.Speed
	reach   reach
	index   uint8 // the subject's place in subjects
	text    RowText
	basis   finding.Basis
	changes [len(changeMessages)]*finding.Text // those that evaluation may say of the row
}

// change is the sentence of a border at which the row begins to count on a
// subject, by its place in subjects.
func (r *Row) change(how change, subject int) *finding.Text {
	return finding.ValuesOf(finding.Params{"subject": finding.Word(subjectMessages[subject]), "requirement": finding.Plain(r.Requirement)}).Advise(changeMessages[how])
}

// reach is how surely a row's words cover a towed car.
type reach uint8

const (
	reachesNot reach = iota
	mayReach
	reaches
)

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

// prepare checks the row and works out what evaluation needs of it.
func (r *Row) prepare(definition Definition) error {
	switch {
	case r.Subject.index() < 0:
		return fmt.Errorf("unknown subject %q", r.Subject)
	case !strings.HasPrefix(r.ID, r.Jurisdiction+"."+string(r.Subject)+"."):
		return errors.New("the id does not begin with jurisdiction and subject")
	case !slices.Contains(r.Covers.Values(), string(r.Covers)):
		return fmt.Errorf("unknown covers %q", r.Covers)
	case !slices.Contains(r.Known.Values(), string(r.Known)):
		return fmt.Errorf("unknown grade %q", r.Known)
	case !slices.Contains(r.SourceKind.Values(), string(r.SourceKind)):
		return fmt.Errorf("unknown source %q", r.SourceKind)
	case r.Says != "" && !slices.Contains(r.Says.Values(), string(r.Says)):
		return fmt.Errorf("unknown says %q", r.Says)
	case r.ExemptsFrom != "" && r.ExemptsFrom.index() < 0:
		return fmt.Errorf("exempts from unknown subject %q", r.ExemptsFrom)
	case (r.Value == nil) != (r.Unit == ""):
		return errors.New("value and unit go together")
	case r.Value != nil && !slices.Contains(unitsOf(r.Subject), r.Unit):
		return fmt.Errorf("unknown unit %q for %s", r.Unit, r.Subject)
	case r.From != "" && r.Until != "" && r.Until <= r.From:
		return errors.New("until is not after from")
	case r.asks() && r.Value == nil && r.Subject.limits():
		return errors.New("a limit without a value")
	}
	if r.When != nil {
		if err := r.When.check(); err != nil {
			return err
		}
	}
	if r.circular() {
		return errors.New("the condition follows the duty it is part of")
	}
	r.reach = r.reaching(definition)
	r.index = uint8(r.Subject.index())
	return r.parseValue()
}

// quote makes what answers say of the row in the same words every time.
func (r *Row) quote(name string) {
	r.text = RowText{
		Requirement: r.Requirement, Citation: r.Citation, URL: r.URL, TextYear: r.TextYear, SourceKind: r.SourceKind, Known: r.Known,
		Covers: r.Covers, JoinedWith: r.JoinedWith, Doubt: r.Doubt, Note: r.Note,
	}
	r.basis = finding.Basis{Kind: r.SourceKind.basis(), Reference: name + ": " + citation(r), URL: r.URL, Year: r.TextYear, Known: string(r.Known)}
	for how := range r.changes {
		if r.maySay(change(how)) {
			r.changes[how] = r.change(change(how), int(r.index))
		}
	}
}

// maySay reports whether a leg that the row governs may differ so from another.
func (r *Row) maySay(how change) bool {
	switch {
	case !r.asks() || r.weak() || how == changeSilent:
		return false
	case how == changeDiffers:
		return true
	case how == changeNotRequired:
		return r.When != nil
	case r.reach == mayReach:
		return how == changeMayNotCover
	case how == changeDepends:
		return r.When != nil
	}
	return how == changeRequired
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

func (r *Row) parseValue() (err error) {
	switch r.Unit {
	case "ft", "m":
		r.length, err = unit.NewLength(*r.Value, r.Unit)
	case "mph", "km_h":
		r.speed, err = unit.NewSpeed(*r.Value, r.Unit)
	}
	return err
}

func (r *Row) reaching(d Definition) reach {
	switch {
	case r.Covers == OtherThing:
		return reachesNot
	case r.Doubt != "" || r.Covers == Unclear:
		return mayReach
	case r.Covers == Trailer && d.CoversMotorVehicles != DefinitionYes:
		return mayReach
	}
	return reaches
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

// stricter reports whether r asks for more than o, both of one subject.
func (r *Row) stricter(o *Row) bool {
	switch {
	case r.Subject == Speed:
		return o.speed.Over(r.speed)
	case r.Value == nil || o.Value == nil:
		if (r.Value == nil) != (o.Value == nil) {
			return r.Value != nil
		}
	case r.Subject == TowedUnits && *r.Value != *o.Value:
		return *r.Value < *o.Value
	case r.Subject.limits() && r.length.Compare(o.length) != 0:
		return o.length.Over(r.length)
	case !r.Subject.limits() && *r.Value != *o.Value:
		return *r.Value > *o.Value
	}
	if r.Crossed != o.Crossed {
		return r.Crossed
	}
	return o.When.lightest().Over(r.When.lightest())
}
