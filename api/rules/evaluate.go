package rules

import (
	"sync"

	"pintail/api/finding"
	"pintail/api/unit"
)

// Evaluation is the answer of rules/evaluate.
type Evaluation struct {
	finding.Stamp `json:",inline"`
	// Verdict is the worst deciding finding.
	Verdict   finding.Verdict   `json:"verdict"`
	Legs      []Leg             `json:"legs"`
	Strictest []Strictest       `json:"strictest"`
	Unread    []Unread          `json:"unread"`
	Findings  []finding.Finding `json:"findings"`
}

// Leg is one jurisdiction of the route.
type Leg struct {
	Jurisdiction string `json:"jurisdiction"`
	Name         string `json:"name"`
	Items        []Item `json:"items"`
	// Changes is what is different here from the leg before.
	Changes []finding.Text `json:"changes"`
}

// Item is what one jurisdiction makes of one subject.
type Item struct {
	*Judgement `json:",inline"`
	Rows       []RowRef `json:"rows"`
}

// Judgement is an Item without its rows. There are few, so answers share them.
type Judgement struct {
	Subject     Subject         `json:"subject"`
	Requirement Requirement     `json:"requirement"`
	Met         Met             `json:"met"`
	Verdict     finding.Verdict `json:"verdict"`
	Says        finding.Text    `json:"says"`
}

// RowRef is a row as an answer quotes it, with what the facts made of it.
type RowRef struct {
	ID       string      `json:"id"`
	Reading  Requirement `json:"reading"`
	Met      Met         `json:"met"`
	*RowText `json:",inline"`
}

// RowText is the part of a quoted row that is the same in every answer.
type RowText struct {
	Requirement string     `json:"requirement"`
	Citation    string     `json:"citation,omitzero"`
	URL         string     `json:"url,omitzero"`
	TextYear    int        `json:"text_year,omitzero"`
	SourceKind  SourceKind `json:"source_kind"`
	Known       Known      `json:"known"`
	Covers      Covers     `json:"covers,omitzero"`
	JoinedWith  string     `json:"joined_with,omitzero"`
	Doubt       string     `json:"doubt,omitzero"`
	Note        string     `json:"note,omitzero"`
	VerifiedOn  unit.Date  `json:"verified_on,omitzero"`
	// Yours is true for a row that the workspace added or changed.
	Yours bool `json:"yours,omitzero"`
}

// Strictest is the strictest line on one subject over the route, and who draws
// it. Requirement says whether it surely covers a towed car.
type Strictest struct {
	Subject      Subject     `json:"subject"`
	Jurisdiction string      `json:"jurisdiction"`
	Name         string      `json:"name"`
	Requirement  Requirement `json:"requirement"`
	Row          RowRef      `json:"row"`
	Value        *float64    `json:"value,omitzero"`
	Unit         string      `json:"unit,omitzero"`
}

// Evaluate judges the facts by the law read of each jurisdiction of the route.
// The input must have passed Validate.
func Evaluate(in EvaluateInput) Evaluation { return builtIn().with(in.RuleChanges).evaluate(in) }

// StrictestOn is the strictest line of one subject along the route, as in the
// answer of Evaluate, at a fraction of its cost; empty where no row draws one.
func StrictestOn(in EvaluateInput, s Subject) []Strictest {
	_, once := builtIn().with(in.RuleChanges).legs(&in)
	return strictestBy(once, s.index(), nil)
}

func (t *table) evaluate(in EvaluateInput) Evaluation {
	all, once := t.legs(&in)
	e := Evaluation{Legs: show(all), Strictest: strictestOf(once), Unread: t.unread(once)}
	e.Findings = t.findings(once, e.Unread)
	e.Verdict = finding.Worst(e.Findings)
	return e
}

// legs are the legs of the route, and each jurisdiction once, in the order of
// its first leg.
func (t *table) legs(in *EvaluateInput) (all []*leg, once []leg) {
	all, once = make([]*leg, 0, len(in.Route)), make([]leg, 0, min(len(in.Route), len(t.places)))
	rows := 0
route:
	for _, code := range in.Route {
		p := t.place(code)
		for i := range once {
			if once[i].place == p {
				all = append(all, &once[i])
				continue route
			}
		}
		once = append(once, leg{place: p, facts: &in.Facts, night: in.Night, on: in.On})
		all = append(all, &once[len(once)-1])
		rows += p.judged
	}
	room := make([]judged, rows)
	for i := range once {
		once[i].room, room = room[:once[i].place.judged], room[once[i].place.judged:]
	}
	return all, once
}

// shown reports whether a leg lists the subject: always, but for those that
// only say something where there is a row, or where a row closes a road to the rig.
func (o *outcome) shown() bool {
	switch subjects[o.subject] {
	case BrakesShare:
		return o.duty != dutyNotRead || o.lead != nil
	case RestrictedRoads:
		return o.duty.asked() || o.lead != nil
	case TowedBrakeExempt:
		return false
	}
	return true
}

// show turns the legs into what the answer lists. Items and rows of all legs
// stand in one piece each.
func show(legs []*leg) []Leg {
	items, refs := 0, 0
	for _, l := range legs {
		n, r := l.shown()
		items, refs = items+n, refs+r
	}
	shown, room := make([]Leg, len(legs)), listRoom{make([]Item, 0, items), make([]RowRef, 0, refs)}
	for i, l := range legs {
		shown[i] = Leg{Jurisdiction: l.place.Code, Name: l.place.Name, Items: room.list(l), Changes: []finding.Text{}}
		if i > 0 {
			shown[i].Changes = changes(legs[i-1], l)
		}
	}
	return shown
}

// shown counts what the leg lists: subjects and rows.
func (l *leg) shown() (items, refs int) {
	for i := range subjects {
		if o := l.outcome(i); o.shown() {
			items, refs = items+1, refs+len(o.rows)+len(l.place.silent[i])
		}
	}
	return items, refs
}

type listRoom struct {
	items []Item
	refs  []RowRef
}

// list appends the leg's items to the room and returns them.
func (r *listRoom) list(l *leg) []Item {
	first := len(r.items)
	for i := range subjects {
		if o := l.outcome(i); o.shown() {
			v, _ := o.verdict(l.facts)
			r.items = append(r.items, Item{judgement(o, v), r.rows(l, o)})
		}
	}
	return r.items[first:len(r.items):len(r.items)]
}

func (r *listRoom) rows(l *leg, o *outcome) []RowRef {
	first := len(r.refs)
	for i := range o.rows {
		r.refs = append(r.refs, o.rows[i].ref())
	}
	for i := range l.place.silent[o.subject] {
		s := &l.place.silent[o.subject][i]
		r.refs = append(r.refs, RowRef{ID: s.id, Reading: Silent, Met: None, RowText: &s.text})
	}
	return r.refs[first:len(r.refs):len(r.refs)]
}

func judgement(o *outcome, v finding.Verdict) *Judgement {
	list := &judgements()[o.subject][o.duty][o.fit]
	for i := range list {
		if list[i].Verdict == v {
			return &list[i]
		}
	}
	panic("rules: a verdict of no known word")
}

// judgements are all there can be, made once.
var judgements = sync.OnceValue(func() *perSubject[[dutyRequired + 1][fitMet + 1][4]Judgement] {
	var all perSubject[[dutyRequired + 1][fitMet + 1][4]Judgement]
	for d := range dutyRequired + 1 {
		for f := range fitMet + 1 {
			says := finding.Say("law.item."+string(d.word())+"."+string(f.word()), nil)
			for i, s := range subjects {
				for k, v := range finding.OK.Values() {
					all[i][d][f][k] = Judgement{s, d.word(), f.word(), finding.Verdict(v), says}
				}
			}
		}
	}
	return &all
})

func (j *judged) ref() RowRef {
	return RowRef{ID: j.row.ID, Reading: j.duty.word(), Met: j.fit.word(), RowText: &j.row.text}
}

// asks reports whether the row bears on this rig.
func (j *judged) asks() bool { return j.duty.asked() && !j.row.weak() && j.row.asks() }

// strictestOf finds, for each subject, the strictest row that bears on the rig;
// the first on the route of equal ones.
func strictestOf(legs []leg) []Strictest {
	var room [len(subjects)]Strictest
	lines := room[:0]
	for i := range subjects {
		lines = strictestBy(legs, i, lines)
	}
	return append(make([]Strictest, 0, len(lines)), lines...)
}

// strictestBy appends the strictest row on the subject at a place of subjects.
func strictestBy(legs []leg, subject int, lines []Strictest) []Strictest {
	var best *judged
	var at *leg
	for i := range legs {
		o := legs[i].outcome(subject)
		if o.lifts != nil {
			continue
		}
		for k := range o.rows {
			if j := &o.rows[k]; j.asks() && (best == nil || j.stricter(best)) {
				best, at = j, &legs[i]
			}
		}
	}
	if best == nil {
		return lines
	}
	return append(lines, Strictest{
		Subject: subjects[subject], Jurisdiction: at.place.Code, Name: at.place.Name, Requirement: best.duty.word(),
		Row: best.ref(), Value: best.row.Value, Unit: best.row.Unit,
	})
}

// stricter orders what surely applies before what may, then by what is asked.
func (j *judged) stricter(o *judged) bool {
	if a, b := firmness(j.duty), firmness(o.duty); a != b {
		return a > b
	}
	return j.row.stricter(o.row)
}

func firmness(d duty) int {
	switch d {
	case dutyRequired:
		return 2
	case dutyDepends:
		return 1
	}
	return 0
}

// changes says what is different in one leg from the leg before. What is not
// read from here on stands in one sentence.
func changes(before, here *leg) []finding.Text {
	var words [len(subjects)]string
	var room [len(subjects)]*finding.Text
	unread, texts := words[:0], room[:0]
	for i, s := range subjects {
		b, h := before.outcome(i), here.outcome(i)
		if !h.shown() || !differs(b, h) {
			continue
		}
		if h.duty == dutyNotRead {
			unread = append(unread, subjectWords(s))
			continue
		}
		texts = append(texts, h.change(h.duty == b.duty))
	}
	n := len(texts)
	if len(unread) > 0 {
		n++
	}
	all := make([]finding.Text, 0, n)
	for _, t := range texts {
		all = append(all, *t)
	}
	if len(unread) > 0 {
		all = append(all, finding.Say("law.change.not_read", finding.Params{"subjects": listed(unread)}))
	}
	return all
}

// differs reports whether two jurisdictions make something different of one
// subject: another answer, or another line.
func differs(b, h *outcome) bool {
	return h.duty != b.duty || h.duty.asked() && (b.row.stricter(h.row) || h.row.stricter(b.row))
}

// change is the sentence of a difference. A built-in row's own are the same in
// every answer and made once, with the table.
func (o *outcome) change(sameDuty bool) *finding.Text {
	how := changeOf(o.duty)
	if sameDuty {
		how = changeDiffers
	}
	switch {
	case o.row == nil:
		return silentChanges()[o.subject] // what nothing governs was read and says nothing
	case o.row.index == o.subject && o.row.changes[how] != nil:
		return o.row.changes[how]
	}
	// A row that excuses from another subject, or one of the workspace's own.
	return o.row.change(how, int(o.subject))
}

// silentChanges are the sentences of borders behind which the law says nothing,
// made once.
var silentChanges = sync.OnceValue(func() *perSubject[*finding.Text] {
	var texts perSubject[*finding.Text]
	for i, message := range subjectMessages {
		texts[i] = finding.ValuesOf(finding.Params{"subject": finding.Word(message)}).Advise(changeMessages[changeSilent])
	}
	return &texts
})

// change is how one leg may differ from the one before.
type change uint8

const (
	changeRequired change = iota
	changeDepends
	changeMayNotCover
	changeNotRequired
	changeSilent
	changeDiffers
)

var changeMessages = [...]string{
	"law.change.required", "law.change.depends", "law.change.may_not_cover", "law.change.not_required", "law.change.silent", "law.change.differs",
}

func changeOf(d duty) change {
	return [...]change{dutySilent: changeSilent, dutyNotRequired: changeNotRequired, dutyMayNotCover: changeMayNotCover, dutyDepends: changeDepends, dutyRequired: changeRequired}[d]
}
