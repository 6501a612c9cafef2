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
	room     []judged // for the rows of the outcomes still to be worked out
}

// judged is one row with what the facts make of it.
type judged struct {
	row  *rule
	need need
	duty duty
	fit  fit
}

// outcome is what one jurisdiction makes of one subject.
type outcome struct {
	// row governs: the one of most concern. Nil where nothing was read.
	row *rule
	// lead is a weak row that asks for something the rig is not known to meet.
	lead *rule
	// lifts excuses the car; mayLift would, in a circumstance no fact answers.
	lifts, mayLift *rule
	rows           []judged
	need           need
	subject        uint8 // its place in subjects
	duty           duty
	fit            fit
}

func (o *outcome) is(s Subject) bool { return subjects[o.subject] == s }

// outcome returns what the leg makes of the subject at place i of subjects.
func (l *leg) outcome(i int) *outcome {
	o := &l.outcomes[i]
	if !l.done[i] {
		o.subject = uint8(i)
		l.judge(o)
		l.done[i] = true
	}
	return o
}

func (l *leg) judge(o *outcome) {
	rows, reliefs, joined := l.place.rows[o.subject], l.place.reliefs[relievedAs(o.subject)], l.place.joined[o.subject]
	if n := len(rows) + len(reliefs) + len(joined); n > 0 {
		o.rows, l.room = l.room[:0:n], l.room[n:]
	}
	silent := len(l.place.silent[o.subject]) > 0
	for _, r := range rows {
		if !r.inForce(l.on) {
			continue
		}
		j := l.read(r)
		o.rows = append(o.rows, j)
		silent = silent || j.duty == dutySilent
		switch {
		case !r.weak():
			o.take(j)
		case j.duty.asked() && j.fit != fitMet && o.lead == nil:
			o.lead = r
		}
	}
	if o.row == nil && silent {
		o.duty = dutySilent
	}
	l.relieve(o, reliefs)
	for _, r := range joined {
		if r.inForce(l.on) {
			o.rows = append(o.rows, judged{row: r, duty: o.duty, fit: o.fit})
		}
	}
}

// relievedAs is the subject whose reliefs count: what excuses from brakes
// excuses from brakes owed by share as well.
func relievedAs(subject uint8) uint8 {
	if subjects[subject] == BrakesShare {
		return uint8(Brakes.index())
	}
	return subject
}

// read judges one row by itself.
func (l *leg) read(r *rule) judged {
	j := judged{row: r}
	switch {
	case r.Says == SaysNotFound:
		return j
	case r.Says == SaysSilent || r.reach == reachesNot:
		j.duty = dutySilent
		return j
	}
	switch l.holds(r.When, &j.need) {
	case no:
		return judged{row: r, duty: dutyNotRequired}
	case unknown:
		j.duty = dutyDepends
	case yes:
		j.duty = dutyRequired
	}
	if r.reach == mayReach {
		j.duty = dutyMayNotCover
	}
	j.fit = l.facts.meets(r, &j.need)
	return j
}

// take lets a row govern the outcome if it is of more concern than the one
// that governs so far.
func (o *outcome) take(j judged) {
	if j.duty == dutyNotRead || j.duty == dutySilent {
		return
	}
	if o.row != nil {
		more := concern(j.duty, j.fit) - concern(o.duty, o.fit)
		if more < 0 || more == 0 && !j.row.stricter(o.row) {
			return
		}
	}
	o.row, o.duty, o.fit, o.need = j.row, j.duty, j.fit, j.need
}

// concern orders rows so that the worst answer governs: what is surely broken,
// then what may be, then what is met.
func concern(d duty, f fit) int {
	open := f != fitMet
	switch {
	case d == dutyRequired && f == fitNotMet:
		return 7
	case d == dutyRequired && open:
		return 6
	case d == dutyDepends && open:
		return 5
	case d == dutyMayNotCover && open:
		return 4
	case d == dutyRequired:
		return 3
	case d == dutyDepends:
		return 2
	case d == dutyMayNotCover:
		return 1
	}
	return 0
}

// relieve applies the rows that excuse from the subject. Only a condition met
// by facts lifts a duty; a row whose own reach is in doubt never does.
func (l *leg) relieve(o *outcome, reliefs []*rule) {
	for _, r := range reliefs {
		if !r.inForce(l.on) {
			continue
		}
		o.rows = append(o.rows, judged{row: r})
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
	if o.lifts != nil && (!asked || o.fit == fitMet) {
		o.lifts = nil
	}
	if o.lifts != nil {
		o.duty, o.fit, o.row, o.lead, o.need = dutyNotRequired, fitNone, o.lifts, nil, 0
	}
}

// verdict is what the outcome means for leaving, and whether it decides.
func (o *outcome) verdict(f *Facts) (finding.Verdict, bool) {
	switch {
	case o.duty == dutyNotRequired || o.fit == fitMet:
		return finding.OK, false
	case o.duty == dutySilent || o.duty == dutyNotRead:
		return finding.Mind, false // gathered for the whole route, see unread.go
	case o.is(RestrictedRoads):
		return finding.Mind, true
	case o.is(Speed) && o.fit == fitNotKnown:
		return finding.Mind, false // a limit is an instruction to the driver, not a figure to find out
	case o.duty == dutyMayNotCover:
		return finding.Mind, true
	case o.duty == dutyRequired && o.fit == fitNotMet && o.mayLift == nil:
		return finding.NoGo, true
	case o.is(StoppingDistance) && o.fit == fitNotKnown && rigHasBrakes(f):
		// With brakes working on both vehicles an unmeasured stop is something
		// to measure, not a reason to stay. Without them the stopping rule is
		// the one thing that makes the pair lawful, so it decides.
		return finding.FindOut, false
	case o.is(ClearanceLamps) && o.need&needWidth != 0:
		// Hardly any car is built as wide as these rules ask.
		return finding.FindOut, false
	}
	return finding.FindOut, true
}

func rigHasBrakes(f *Facts) bool { return f.HasBrakes != nil && *f.HasBrakes }
