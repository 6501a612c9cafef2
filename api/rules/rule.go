package rules

import (
	"pintail/api/finding"
	"pintail/api/unit"
)

// rule is a row made ready for evaluation. It never changes once made.
type rule struct {
	Row
	length unit.Length // the value of a length subject, in the law's own unit
	speed  unit.Speed
	reach  reach
	index  uint8 // the subject's place in subjects
	// byBrakes is true for a duty that brakes on the car bring with them.
	byBrakes bool
	text     RowText
	basis    finding.Basis
	changes  [len(changeMessages)]*finding.Text // those that evaluation may say of the row
}

// reach is how surely a row's words cover a towed car.
type reach uint8

const (
	reachesNot reach = iota
	mayReach
	reaches
)

// newRule makes a rule of a row that passed check. Yours marks a row of the
// workspace's own.
func newRule(row Row, p *place, yours bool) (*rule, error) {
	r := &rule{Row: row, index: uint8(row.Subject.index())}
	r.reach = r.reaching(p.definition)
	r.byBrakes = r.When.asksFitted(Brakes)
	if err := r.parseValue(); err != nil {
		return nil, err
	}
	r.quote(p.Name)
	r.text.Yours = yours
	if !yours { // there may be ten thousand of those, and they are made for one answer
		r.sayChanges()
	}
	return r, nil
}

func (r *rule) parseValue() (err error) {
	switch r.Unit {
	case "ft", "m":
		r.length, err = unit.NewLength(*r.Value, r.Unit)
	case "mph", "km_h":
		r.speed, err = unit.NewSpeed(*r.Value, r.Unit)
	}
	return err
}

func (r *rule) reaching(d Definition) reach {
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

// quote makes what answers say of the row in the same words every time.
func (r *rule) quote(name string) {
	r.text = RowText{
		Requirement: r.Requirement, Citation: r.Citation, URL: r.URL, TextYear: r.TextYear, SourceKind: r.SourceKind, Known: r.Known,
		Covers: r.Covers, JoinedWith: r.JoinedWith, Doubt: r.Doubt, Note: r.Note, VerifiedOn: r.VerifiedOn,
	}
	r.basis = finding.Basis{Kind: r.SourceKind.basis(), Reference: name + ": " + citation(r), URL: r.URL, Year: r.TextYear, Known: string(r.Known)}
}

func (r *rule) sayChanges() {
	for how := range r.changes {
		if r.maySay(change(how)) {
			r.changes[how] = r.change(change(how), int(r.index))
		}
	}
}

// maySay reports whether a leg that the row governs may differ so from another.
func (r *rule) maySay(how change) bool {
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

// change is the sentence of a border at which the row begins to count on a
// subject, by its place in subjects.
func (r *rule) change(how change, subject int) *finding.Text {
	return finding.ValuesOf(finding.Params{"subject": finding.Word(subjectMessages[subject]), "requirement": finding.Plain(r.Requirement)}).Advise(changeMessages[how])
}

// stricter reports whether r asks for more than o, both of one subject.
func (r *rule) stricter(o *rule) bool {
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
