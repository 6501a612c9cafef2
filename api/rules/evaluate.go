package rules

import (
	"sync"

	"pintail/api/finding"
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
	Subject     Subject         `json:"subject"`
	Requirement Requirement     `json:"requirement"`
	Met         Met             `json:"met"`
	Verdict     finding.Verdict `json:"verdict"`
	Says        finding.Text    `json:"says"`
	Rows        []RowRef        `json:"rows"`
}

// RowRef is a row as an answer quotes it, with what the facts made of it.
type RowRef struct {
	ID          string      `json:"id"`
	Reading     Requirement `json:"reading"`
	Met         Met         `json:"met"`
	Requirement string      `json:"requirement"`
	Citation    string      `json:"citation,omitzero"`
	URL         string      `json:"url,omitzero"`
	TextYear    int         `json:"text_year,omitzero"`
	SourceKind  SourceKind  `json:"source_kind"`
	Known       Known       `json:"known"`
	Covers      Covers      `json:"covers,omitzero"`
	JoinedWith  string      `json:"joined_with,omitzero"`
	Doubt       string      `json:"doubt,omitzero"`
	Note        string      `json:"note,omitzero"`
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
func Evaluate(in EvaluateInput) Evaluation { return builtIn().evaluate(in) }

func (t *table) evaluate(in EvaluateInput) Evaluation {
	e := Evaluation{Legs: make([]Leg, 0, len(in.Route)), Unread: []Unread{}}
	legs, once := t.legs(in)
	for i, l := range legs {
		shown := l.show()
		if i > 0 {
			shown.Changes = changes(legs[i-1], l)
		}
		e.Legs = append(e.Legs, shown)
	}
	e.Strictest = strictestOf(once)
	e.Unread = t.unread(once)
	e.Findings = findings(once, e.Unread)
	e.Verdict = finding.Worst(e.Findings)
	return e
}

// legs are the legs of the route, and each jurisdiction once, in the order of
// its first leg.
func (t *table) legs(in EvaluateInput) (all, once []*leg) {
	seen := make(map[string]*leg, len(in.Route))
	for _, code := range in.Route {
		l := seen[code]
		if l == nil {
			l = &leg{place: t.place(code), facts: &in.Facts, night: in.Night, on: in.On}
			seen[code] = l
			once = append(once, l)
		}
		all = append(all, l)
	}
	return all, once
}

// shown reports whether a leg lists the subject: always, but for those that
// only say something where there is a row.
func (o *outcome) shown() bool {
	switch o.subject {
	case BrakesShare, RestrictedRoads:
		return o.requirement != NotRead || o.lead != nil
	}
	return o.subject != TowedBrakeExempt
}

func (l *leg) show() Leg {
	shown := Leg{Jurisdiction: l.place.Code, Name: l.place.Name, Items: make([]Item, 0, len(subjects)), Changes: []finding.Text{}}
	for i, s := range subjects {
		o := l.outcome(i)
		if !o.shown() {
			continue
		}
		v, _ := o.verdict(l.facts)
		shown.Items = append(shown.Items, Item{
			Subject: s, Requirement: o.requirement, Met: o.met, Verdict: v,
			Says: itemTexts()[o.requirement][o.met],
			Rows: l.refs(o, i),
		})
	}
	return shown
}

// itemTexts are the sentences of the items, made once.
var itemTexts = sync.OnceValue(func() map[Requirement]map[Met]finding.Text {
	texts := map[Requirement]map[Met]finding.Text{}
	for _, r := range Requirement("").Values() {
		texts[Requirement(r)] = map[Met]finding.Text{}
		for _, m := range Met("").Values() {
			texts[Requirement(r)][Met(m)] = finding.Say("law.item."+r+"."+m, nil)
		}
	}
	return texts
})

func (l *leg) refs(o *outcome, s int) []RowRef {
	refs := make([]RowRef, 0, len(o.rows)+len(l.place.silent[s]))
	for _, j := range o.rows {
		refs = append(refs, j.ref())
	}
	for _, x := range l.place.silent[s] {
		refs = append(refs, RowRef{
			ID: x.Jurisdiction + "." + string(x.Subject) + ".silent", Reading: Silent, Met: None,
			Requirement: finding.Say("law.silent_section", nil).Sentence,
			Citation:    x.Citation, URL: x.URL, SourceKind: x.SourceKind, Known: x.Known, Note: x.Note,
		})
	}
	return refs
}

func (j judged) ref() RowRef {
	r := j.row
	return RowRef{
		ID: r.ID, Reading: j.requirement, Met: j.met, Requirement: r.Requirement, Citation: r.Citation, URL: r.URL, TextYear: r.TextYear,
		SourceKind: r.SourceKind, Known: r.Known, Covers: r.Covers, JoinedWith: r.JoinedWith, Doubt: r.Doubt, Note: r.Note,
	}
}

// asks reports whether the row bears on this rig.
func (j judged) asks() bool {
	return !j.row.weak() && j.row.asks() && (j.requirement == Required || j.requirement == Depends || j.requirement == MayNotCover)
}

// strictestOf finds, for each subject, the strictest row that bears on the rig;
// the first on the route of equal ones.
func strictestOf(legs []*leg) []Strictest {
	lines := make([]Strictest, 0, len(subjects))
	for i, s := range subjects {
		var best *judged
		var at *leg
		for _, l := range legs {
			o := l.outcome(i)
			if o.lifts != nil {
				continue
			}
			for k := range o.rows {
				if j := &o.rows[k]; j.asks() && (best == nil || j.stricter(best)) {
					best, at = j, l
				}
			}
		}
		if best != nil {
			lines = append(lines, Strictest{
				Subject: s, Jurisdiction: at.place.Code, Name: at.place.Name, Requirement: best.requirement,
				Row: best.ref(), Value: best.row.Value, Unit: best.row.Unit,
			})
		}
	}
	return lines
}

// stricter orders what surely applies before what may, then by what is asked.
func (j *judged) stricter(o *judged) bool {
	if a, b := firmness(j.requirement), firmness(o.requirement); a != b {
		return a > b
	}
	return j.row.stricter(o.row)
}

func firmness(r Requirement) int {
	switch r {
	case Required:
		return 2
	case Depends:
		return 1
	}
	return 0
}

// changes says what is different in one leg from the leg before. What is not
// read from here on stands in one sentence.
func changes(before, here *leg) []finding.Text {
	texts := make([]finding.Text, 0, len(subjects))
	var unread []string
	for i, s := range subjects {
		b, h := before.outcome(i), here.outcome(i)
		if !h.shown() {
			continue
		}
		switch id := change(b, h); {
		case id == "":
		case h.requirement == NotRead:
			unread = append(unread, subjectWords(s))
		default:
			texts = append(texts, h.changeParams().Say(id))
		}
	}
	if unread != nil {
		texts = append(texts, finding.Say("law.change.not_read", finding.Params{"subjects": listed(unread)}))
	}
	return texts
}

// changeParams are what the sentence of a difference names. A row's own are the
// same in every answer and made once, with the table; nobody changes them.
func (o *outcome) changeParams() finding.Values {
	switch {
	case o.row == nil:
		return finding.ValuesOf(finding.Params{"subject": finding.Word(o.subject.message())})
	case o.row.Subject == o.subject:
		return o.row.named
	}
	return o.row.namedUnder(o.subject) // a row that excuses from another subject
}

// change is the message for a difference, empty if there is none.
func change(b, h *outcome) string {
	asked := h.requirement == Required || h.requirement == Depends || h.requirement == MayNotCover
	switch {
	case h.requirement != b.requirement:
		return "law.change." + string(h.requirement)
	case asked && (b.row.stricter(h.row) || h.row.stricter(b.row)):
		return "law.change.differs"
	}
	return ""
}
