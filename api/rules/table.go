package rules

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"sync"

	"pintail/api/finding"
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

// place is everything known of one jurisdiction.
type place struct {
	named
	rows       perSubject[[]*Row] // those that ask, or say that nothing is asked
	joined     perSubject[[]*Row] // those whose condition stands in a row of the subject
	reliefs    perSubject[[]*Row] // those that excuse from the subject
	silent     perSubject[[]SilentSection]
	definition Definition
	judged     int // how many rows one evaluation judges, at most
}

// table is all the rows, indexed. It never changes once made.
type table struct {
	places []place
	byCode map[string]*place
	rows   []Row
	// strictest is the strictest rule on a subject known anywhere that surely
	// reaches a towed car and is well enough known to decide.
	strictest perSubject[*Row]
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
	t := &table{byCode: map[string]*place{}}
	if err := errors.Join(
		strictjson.Unmarshal(jurisdictions, &names), strictjson.Unmarshal(definitions, &defs),
		strictjson.Unmarshal(silent, &sections), strictjson.Unmarshal(rows, &t.rows),
	); err != nil {
		return nil, err
	}
	t.places = make([]place, len(names))
	for i, n := range names {
		t.places[i].named = n
		t.byCode[n.Code] = &t.places[i]
	}
	if err := errors.Join(t.define(defs), t.addSilent(sections), t.addRows()); err != nil {
		return nil, err
	}
	return t, nil
}

// place returns the jurisdiction, nil if there is none of that code.
func (t *table) place(code string) *place { return t.byCode[code] }

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

func (t *table) addRows() error {
	byID := map[string]*Row{}
	for i := range t.rows {
		r := &t.rows[i]
		p := t.place(r.Jurisdiction)
		if p == nil {
			return fmt.Errorf("row %s: unknown jurisdiction", r.ID)
		}
		if err := r.prepare(p.definition); err != nil {
			return fmt.Errorf("row %s: %w", r.ID, err)
		}
		r.quote(p.Name)
		if byID[r.ID] != nil {
			return fmt.Errorf("row %s stands twice", r.ID)
		}
		byID[r.ID] = r
	}
	for i := range t.rows {
		if err := t.file(&t.rows[i], byID); err != nil {
			return err
		}
	}
	for i := range t.places {
		t.places[i].count()
	}
	return nil
}

// count works out how many rows one evaluation judges.
func (p *place) count() {
	p.judged = 0
	for i := range subjects {
		p.judged += len(p.rows[i]) + len(p.joined[i]) + len(p.reliefs[relievedAs(uint8(i))])
	}
}

// file puts a row where evaluation looks for it.
func (t *table) file(r *Row, byID map[string]*Row) error {
	p, s := t.place(r.Jurisdiction), r.Subject.index()
	switch {
	case r.JoinedWith != "":
		with := byID[r.JoinedWith]
		if with == nil || with.Jurisdiction != r.Jurisdiction || with.JoinedWith != "" {
			return fmt.Errorf("row %s: joined with no row of its jurisdiction", r.ID)
		}
		w := with.Subject.index()
		p.joined[w] = append(p.joined[w], r)
	case r.ExemptsFrom != "":
		e := r.ExemptsFrom.index()
		p.reliefs[e] = append(p.reliefs[e], r)
	default:
		p.rows[s] = append(p.rows[s], r)
		known := r.asks() && !r.weak() && r.reach == reaches
		if known && (t.strictest[s] == nil || r.stricter(t.strictest[s])) {
			t.strictest[s] = r
		}
	}
	return nil
}
