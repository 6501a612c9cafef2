package rules

import (
	"pintail/api/finding"
	"pintail/api/unit"
)

// leg is one jurisdiction judged by one set of facts. Outcomes are worked out
// when first asked for, because some rules follow others: a breakaway duty the
// brake duty, a brake duty the stopping rule.
type leg struct {
	place    *place
	facts    *Facts
	night    *bool
	on       unit.Date
	outcomes perSubject[outcome]
	done     perSubject[bool]
}

// judged is one row with what the facts make of it.
type judged struct {
	row         *Row
	requirement Requirement
	met         Met
	need        need
}

// outcome is what one jurisdiction makes of one subject.
type outcome struct {
	subject     Subject
	requirement Requirement
	met         Met
	need        need
	// row governs: the one of most concern. Nil where nothing was read.
	row *Row
	// lead is a weak row that asks for something the rig is not known to meet.
	lead *Row
	// lifts excuses the car; mayLift would, in a circumstance no fact answers.
	lifts, mayLift *Row
	rows           []judged
}

// outcome returns what the leg makes of the subject at place i of subjects.
func (l *leg) outcome(i int) *outcome {
	if !l.done[i] {
		l.outcomes[i] = l.judge(i)
		l.done[i] = true
	}
	return &l.outcomes[i]
}

func (l *leg) judge(i int) outcome {
	o := outcome{subject: subjects[i], requirement: NotRead, met: None}
	if n := len(l.place.rows[i]) + len(l.place.reliefs[i]) + len(l.place.joined[i]); n > 0 {
		o.rows = make([]judged, 0, n)
	}
	silent := len(l.place.silent[i]) > 0
	for _, r := range l.place.rows[i] {
		if !r.inForce(l.on) {
			continue
		}
		j := l.read(r)
		o.rows = append(o.rows, j)
		silent = silent || j.requirement == Silent
		switch {
		case !r.weak():
			o.take(j)
		case (j.requirement == Required || j.requirement == Depends || j.requirement == MayNotCover) && j.met != IsMet && o.lead == nil:
			o.lead = r
		}
	}
	if o.row == nil && silent {
		o.requirement = Silent
	}
	l.relieve(&o)
	for _, r := range l.place.joined[i] {
		o.rows = append(o.rows, judged{row: r, requirement: o.requirement, met: o.met})
	}
	return o
}

// read judges one row by itself.
func (l *leg) read(r *Row) judged {
	j := judged{row: r, requirement: NotRead, met: None}
	switch {
	case r.Says == SaysNotFound:
		return j
	case r.Says == SaysSilent || r.reach == reachesNot:
		j.requirement = Silent
		return j
	}
	switch l.holds(r.When, &j.need) {
	case no:
		return judged{row: r, requirement: NotRequired, met: None}
	case unknown:
		j.requirement = Depends
	case yes:
		j.requirement = Required
	}
	if r.reach == mayReach {
		j.requirement = MayNotCover
	}
	j.met = l.facts.meets(r, &j.need)
	return j
}

// take lets a row govern the outcome if it is of more concern than the one
// that governs so far.
func (o *outcome) take(j judged) {
	if j.requirement == NotRead || j.requirement == Silent {
		return
	}
	if o.row != nil {
		more := concern(j.requirement, j.met) - concern(o.requirement, o.met)
		if more < 0 || more == 0 && !j.row.stricter(o.row) {
			return
		}
	}
	o.row, o.requirement, o.met, o.need = j.row, j.requirement, j.met, j.need
}

// concern orders rows so that the worst answer governs: what is surely broken,
// then what may be, then what is met.
func concern(r Requirement, m Met) int {
	open := m != IsMet
	switch {
	case r == Required && m == NotMet:
		return 7
	case r == Required && open:
		return 6
	case r == Depends && open:
		return 5
	case r == MayNotCover && open:
		return 4
	case r == Required:
		return 3
	case r == Depends:
		return 2
	case r == MayNotCover:
		return 1
	}
	return 0
}

// relieve applies the rows that excuse from the subject. Only a condition met
// by facts lifts a duty; a row whose own reach is in doubt never does.
func (l *leg) relieve(o *outcome) {
	s := o.subject
	// What excuses from brakes excuses from brakes owed by share as well.
	if s == BrakesShare {
		s = Brakes
	}
	for _, r := range l.place.reliefs[s.index()] {
		if !r.inForce(l.on) {
			continue
		}
		j := judged{row: r, requirement: NotRead, met: None}
		o.rows = append(o.rows, j)
		if r.weak() || r.reach != reaches {
			continue
		}
		var open need
		switch l.holds(r.When, &open) {
		case yes:
			o.lifts = r
		case unknown:
			o.mayLift = r
			o.need |= open
		}
	}
	// There must be a duty to lift; and a rig that meets it is better told so.
	asked := o.row != nil || o.lead != nil
	if o.lifts != nil && (!asked || o.met == IsMet) {
		o.lifts = nil
	}
	if o.lifts != nil {
		o.requirement, o.met, o.row, o.lead, o.need = NotRequired, None, o.lifts, nil, 0
	}
}

// verdict is what the outcome means for leaving, and whether it decides.
func (o *outcome) verdict(f *Facts) (finding.Verdict, bool) {
	switch {
	case o.requirement == NotRequired || o.met == IsMet:
		return finding.OK, false
	case o.requirement == Silent || o.requirement == NotRead:
		return finding.Mind, false // gathered for the whole route, see unread.go
	case o.subject == RestrictedRoads:
		return finding.Mind, true
	case o.subject == Speed && o.met == NotKnown:
		return finding.Mind, false // a limit is an instruction to the driver, not a figure to find out
	case o.requirement == MayNotCover:
		return finding.Mind, true
	case o.requirement == Required && o.met == NotMet && o.mayLift == nil:
		return finding.NoGo, true
	case o.subject == StoppingDistance && o.met == NotKnown && rigHasBrakes(f):
		// With brakes working on both vehicles an unmeasured stop is something
		// to measure, not a reason to stay. Without them the stopping rule is
		// the one thing that makes the pair lawful, so it decides.
		return finding.FindOut, false
	case o.subject == ClearanceLamps && o.need&needWidth != 0:
		// Hardly any car is built as wide as these rules ask.
		return finding.FindOut, false
	}
	return finding.FindOut, true
}

func rigHasBrakes(f *Facts) bool { return f.HasBrakes != nil && *f.HasBrakes }
