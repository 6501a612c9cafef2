package rules

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"sync"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

//go:embed data/rows.json
var rowsJSON []byte

//go:embed data/silent.json
var silentJSON []byte

//go:embed data/definitions.json
var definitionsJSON []byte

//go:embed data/jurisdictions.json
var jurisdictionsJSON []byte

// SilentSection is a section that was read in full and says nothing on a
// subject.
type SilentSection struct {
	Jurisdiction string     `json:"jurisdiction"`
	Subject      Subject    `json:"subject"`
	Citation     string     `json:"citation,omitzero"`
	URL          string     `json:"url,omitzero"`
	SourceKind   SourceKind `json:"source_kind"`
	Known        Known      `json:"known"`
	Note         string     `json:"note,omitzero"`

	id   string
	text RowText
}

// DefinitionYes is the definition under which a towed car is a trailer.
const DefinitionYes = "yes"

// Definition is whether a jurisdiction's word trailer covers a vehicle with
// motive power of its own: yes, no or unclear.
type Definition struct {
	Jurisdiction        string `json:"jurisdiction"`
	CoversMotorVehicles string `json:"covers_motor_vehicles"`
	Citation            string `json:"citation,omitzero"`
	URL                 string `json:"url,omitzero"`
	Known               Known  `json:"known"`
	Note                string `json:"note,omitzero"`
}

// named is one entry of jurisdictions.json.
type named struct {
	Code       string   `json:"code"`
	Name       string   `json:"name"`
	Neighbours []string `json:"neighbours"`
}

// perSubject holds one thing for each subject, in the order of subjects.
type perSubject[T any] [len(subjects)]T

// place is everything known of one jurisdiction. It never changes once made.
type place struct {
	named
	definition Definition
	silent     perSubject[[]SilentSection]
	all        []*rule             // in the order of the file
	rows       perSubject[[]*rule] // those that ask, or say that nothing is asked
	joined     perSubject[[]*rule] // those whose condition stands in a row of the subject
	reliefs    perSubject[[]*rule] // those that excuse from the subject
	judged     int                 // how many rows one evaluation judges, at most
}

// table is all the rows, indexed. It never changes once made.
type table struct {
	places []*place
	index  map[string]int // where a jurisdiction stands in places
	byID   map[string]*rule
	// strictest is the strictest rule on a subject known anywhere that surely
	// reaches a towed car and is well enough known to decide.
	strictest perSubject[*rule]
	laid      laid
}

// builtIn is the table compiled in, made once.
var builtIn = sync.OnceValue(func() *table {
	t, err := newTable(jurisdictionsJSON, definitionsJSON, silentJSON, rowsJSON)
	if err != nil {
		panic(err) // the files are compiled in; a test reads them all
	}
	return t
})

func newTable(jurisdictions, definitions, silent, rows []byte) (*table, error) {
	var names []named
	var defs []Definition
	var sections []SilentSection
	var list []Row
	if err := errors.Join(
		strictjson.Unmarshal(jurisdictions, &names), strictjson.Unmarshal(definitions, &defs),
		strictjson.Unmarshal(silent, &sections), strictjson.Unmarshal(rows, &list),
	); err != nil {
		return nil, err
	}
	t := &table{places: make([]*place, len(names)), index: map[string]int{}, byID: make(map[string]*rule, len(list))}
	for i, n := range names {
		t.places[i] = &place{named: n}
		t.index[n.Code] = i
	}
	if err := errors.Join(t.define(defs), t.addSilent(sections), t.addRows(list)); err != nil {
		return nil, err
	}
	return t, nil
}

// place returns the jurisdiction, nil if there is none of that code.
func (t *table) place(code string) *place {
	if i, ok := t.index[code]; ok {
		return t.places[i]
	}
	return nil
}

func (t *table) knows(code string) bool { return t.place(code) != nil }

func (t *table) define(defs []Definition) error {
	for _, d := range defs {
		p := t.place(d.Jurisdiction)
		if p == nil || !slices.Contains([]string{DefinitionYes, "no", "unclear"}, d.CoversMotorVehicles) {
			return fmt.Errorf("definition of %q: unknown jurisdiction or answer", d.Jurisdiction)
		}
		p.definition = d
	}
	return nil
}

func (t *table) addSilent(sections []SilentSection) error {
	for _, s := range sections {
		p, i := t.place(s.Jurisdiction), s.Subject.index()
		if p == nil || i < 0 {
			return fmt.Errorf("silent section of %q on %q: unknown jurisdiction or subject", s.Jurisdiction, s.Subject)
		}
		s.id = s.Jurisdiction + "." + string(s.Subject) + ".silent"
		s.text = RowText{
			Requirement: finding.Sentence("law.silent_section"), Citation: s.Citation, URL: s.URL, SourceKind: s.SourceKind, Known: s.Known, Note: s.Note,
		}
		p.silent[i] = append(p.silent[i], s)
	}
	return nil
}

func (t *table) addRows(list []Row) error {
	for i := range list {
		c := rig.NewChecker()
		list[i].check(c, t.knows)
		if err := c.Err(); err != nil {
			return fmt.Errorf("row %s: %w", list[i].ID, err)
		}
		p := t.place(list[i].Jurisdiction)
		r, err := newRule(list[i], p, false)
		if err != nil {
			return fmt.Errorf("row %s: %w", list[i].ID, err)
		}
		if t.byID[r.ID] != nil {
			return fmt.Errorf("row %s stands twice", r.ID)
		}
		t.byID[r.ID] = r
		p.all = append(p.all, r)
	}
	for _, p := range t.places {
		if lost := p.file(); lost != "" {
			return fmt.Errorf("row %s: joined with no row of its jurisdiction", lost)
		}
	}
	for i := range subjects {
		t.rank(i)
	}
	return nil
}

// file puts every row where evaluation looks for it. It returns the id of a row
// that is joined with none, which then counts for nothing.
func (p *place) file() (lost string) {
	p.rows, p.joined, p.reliefs = perSubject[[]*rule]{}, perSubject[[]*rule]{}, perSubject[[]*rule]{}
	for _, r := range p.all {
		switch {
		case r.JoinedWith != "":
			if with := p.row(r.JoinedWith); with != nil && with.JoinedWith == "" {
				p.joined[with.index] = append(p.joined[with.index], r)
			} else {
				lost = r.ID
			}
		case r.ExemptsFrom != "":
			e := r.ExemptsFrom.index()
			p.reliefs[e] = append(p.reliefs[e], r)
		default:
			p.rows[r.index] = append(p.rows[r.index], r)
		}
	}
	p.judged = 0
	for i := range subjects {
		p.judged += len(p.rows[i]) + len(p.joined[i]) + len(p.reliefs[relievedAs(uint8(i))])
	}
	return lost
}

func (p *place) row(id string) *rule {
	for _, r := range p.all {
		if r.ID == id {
			return r
		}
	}
	return nil
}

// rank finds the strictest rule on a subject known anywhere.
func (t *table) rank(subject int) {
	t.strictest[subject] = nil
	for _, p := range t.places {
		for _, r := range p.rows[subject] {
			known := r.asks() && !r.weak() && r.reach == reaches
			if best := t.strictest[subject]; known && (best == nil || r.stricter(best)) {
				t.strictest[subject] = r
			}
		}
	}
}
