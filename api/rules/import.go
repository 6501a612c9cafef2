package rules

import (
	"errors"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

// Format is how rows are written in a file.
type Format string

// The formats.
const (
	FormatCSV  Format = "csv"
	FormatJSON Format = "json"
)

// Values lists the formats.
func (Format) Values() []string { return []string{"csv", "json"} }

// MaxFile is the largest file of rows, in bytes.
const MaxFile = 10 << 20

// ImportInput is the input of rules/import: a file, and the changes that the
// workspace has already.
type ImportInput struct {
	Format      Format   `json:"format"`
	Text        string   `json:"text"`
	RuleChanges []Change `json:"rule_changes,omitzero"`
	// By, At and Reason go into every change that comes of it.
	By         string    `json:"by"`
	At         int64     `json:"at"`
	Reason     string    `json:"reason"`
	VerifiedOn unit.Date `json:"verified_on,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing. What is
// wrong inside the file is for the answer.
func (in ImportInput) Validate() *finding.Error {
	c := rig.NewChecker()
	checkFormat(c, in.Format)
	required(c, "text", in.Text)
	if len(in.Text) > MaxFile {
		c.In("text").Bad("the file is larger than 10 MiB")
	}
	required(c, "by", in.By)
	required(c, "reason", in.Reason)
	c.Text("by", in.By, longestBy)
	c.Text("reason", in.Reason, longestReason)
	c.Date("verified_on", in.VerifiedOn)
	checkMoment(c, in.At)
	checkChanges(c.In("rule_changes"), in.RuleChanges, MaxRows)
	return c.Err()
}

func checkFormat(c rig.Checker, f Format) {
	required(c, "format", f)
	rig.Choice(c, "format", f)
}

func checkMoment(c rig.Checker, at int64) {
	if at < 1 || at > lastMoment {
		c.In("at").Bad("want milliseconds of the Unix epoch, 1 to %d", int64(lastMoment))
	}
}

// Imported is the answer of rules/import. It is what an import would do; whoever
// keeps the changes makes it so. All or nothing: with a problem there are no
// changes.
type Imported struct {
	finding.Stamp `json:",inline"`
	Counts        ImportCounts    `json:"counts"`
	Problems      []ImportProblem `json:"problems"`
	// More is how many problems are not listed.
	More    int      `json:"more"`
	Changes []Change `json:"changes"`
}

// ImportCounts is what the rows of a file come to.
type ImportCounts struct {
	Rows      int `json:"rows"`
	Same      int `json:"same"` // as they stand already
	Added     int `json:"added"`
	Changed   int `json:"changed"`
	Withdrawn int `json:"withdrawn"`
	Restored  int `json:"restored"` // as built in again
}

// ImportProblem is one thing wrong in a file.
type ImportProblem struct {
	// Line counts from 1, the line that names the columns among them.
	Line int `json:"line"`
	// Column is the column of a sheet or the member of a row, empty where it is
	// the whole line.
	Column string `json:"column,omitzero"`
	Reason string `json:"reason"`
}

// mostProblems is how many problems an answer lists.
const mostProblems = 100

// Import reads a file of rows and says what changes it comes to.
func Import(in ImportInput) Imported {
	im := &importing{in: in, now: builtIn().with(in.RuleChanges), last: make(map[string]*Change, len(in.RuleChanges)), out: Imported{Problems: []ImportProblem{}, Changes: []Change{}}}
	for i := range in.RuleChanges {
		im.last[in.RuleChanges[i].Row] = &in.RuleChanges[i]
	}
	var entries []entry
	switch line := badLine(in.Text); {
	case line > 0:
		im.report(line, "", "not text in UTF-8; save the file as UTF-8")
	case in.Format == FormatCSV:
		entries = readSheet(in.Text, im.report)
	default:
		entries = readList(in.Text, im.report)
	}
	im.out.Counts.Rows = len(entries)
	im.check(entries)
	if len(im.out.Problems) > 0 {
		im.out.Counts = ImportCounts{Rows: len(entries)}
		return im.out
	}
	for i := range entries {
		im.take(&entries[i])
	}
	return im.out
}

// badLine is the first line with bytes that are no UTF-8, 0 if there is none.
func badLine(text string) int {
	if utf8.ValidString(text) {
		return 0
	}
	for i, r := range text {
		if r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd") {
			return 1 + strings.Count(text[:i], "\n")
		}
	}
	return 0
}

type importing struct {
	in   ImportInput
	now  *table
	last map[string]*Change // what was said of a row last, a restoring among it
	out  Imported
}

func (im *importing) report(line int, column, reason string) {
	if len(im.out.Problems) == mostProblems {
		im.out.More++
		return
	}
	p := finding.NewProblem(finding.InvalidValue, "", reason) // cuts what goes on and on
	im.out.Problems = append(im.out.Problems, ImportProblem{Line: line, Column: column, Reason: p.Detail})
}

// check judges every row by itself and beside the others.
func (im *importing) check(entries []entry) {
	ids, contents := make(map[string]int, len(entries)), make(map[string]int, len(entries))
	for i := range entries {
		e := &entries[i]
		c := rig.NewChecker()
		e.Row.check(c, builtIn().knows)
		if err := c.Err(); err != nil {
			for _, p := range err.Problems {
				im.report(e.line, member(p.Pointer), inside(p.Pointer)+p.Detail)
			}
			continue
		}
		if first, twice := ids[e.Row.ID]; twice {
			im.report(e.line, "id", "the row stands in line "+strconv.Itoa(first)+" already")
			continue
		}
		ids[e.Row.ID] = e.line
		content := e.Row.content()
		if first, twice := contents[content]; twice {
			im.report(e.line, "", "says the same as line "+strconv.Itoa(first))
			continue
		}
		contents[content] = e.line
	}
	im.checkBesideOthers(contents, ids)
	for i := range entries {
		if with := entries[i].Row.JoinedWith; with != "" && ids[with] == 0 && im.now.lacks(with) {
			im.report(entries[i].line, "joined_with", cut(with)+" is no row here or in the file")
		}
	}
}

// checkBesideOthers refuses a row that says what another one says already, which
// counts and of which the file says nothing.
func (im *importing) checkBesideOthers(contents, ids map[string]int) {
	if len(contents) == 0 {
		return
	}
	for _, p := range im.now.places {
		for _, r := range p.all {
			if ids[r.ID] != 0 {
				continue
			}
			if line := contents[r.Row.content()]; line != 0 {
				im.report(line, "", "says the same as the row "+r.ID)
			}
		}
	}
}

// lacks reports whether no row of that id counts.
func (t *table) lacks(id string) bool {
	code, _, _ := strings.Cut(id, ".")
	p := t.place(code)
	return p == nil || p.row(id) == nil
}

// content is the row without its id: two rows of one content are one row twice.
func (r *Row) content() string {
	c := *r
	c.ID = ""
	b, err := strictjson.Marshal(c)
	if err != nil {
		return r.ID
	}
	return string(b)
}

// member is the first name of a pointer, inside the rest of it.
func member(pointer string) string {
	name, _, _ := strings.Cut(strings.TrimPrefix(pointer, "/"), "/")
	return name
}

func inside(pointer string) string {
	_, rest, deep := strings.Cut(strings.TrimPrefix(pointer, "/"), "/")
	if !deep {
		return ""
	}
	return rest + ": "
}

// take turns one row of the file into a change, if it is one.
func (im *importing) take(e *entry) {
	id := e.Row.ID
	before, built := im.now.laid.changes[id], builtIn().byID[id]
	ch := Change{Row: id, By: im.in.By, At: im.in.At, Reason: im.in.Reason, VerifiedOn: im.in.VerifiedOn, Seen: im.last[id].seenBy()}
	asBuilt := built != nil && sameRow(&e.Row, &built.Row)
	if !asBuilt {
		ch.Yours = &e.Row
	}
	if built != nil {
		ch.Was = &built.Row
	}
	n := &im.out.Counts
	switch {
	case e.Standing == StandingWithdrawn:
		ch.Withdrawn = true
		if built == nil && before == nil || before != nil && before.Withdrawn && sameYours(before, &ch) {
			n.Same++ // a row that is not there is withdrawn already
			return
		}
		n.Withdrawn++
	case asBuilt && before == nil, !asBuilt && before != nil && !before.Withdrawn && sameYours(before, &ch):
		n.Same++
		return
	case asBuilt:
		ch.Was = nil
		n.Restored++
	case built == nil:
		n.Added++
	default:
		n.Changed++
	}
	im.out.Changes = append(im.out.Changes, ch)
}

func sameYours(a, b *Change) bool {
	if a.Yours == nil || b.Yours == nil {
		return a.Yours == b.Yours
	}
	return sameRow(a.Yours, b.Yours)
}

// listed is one row of a JSON file.
type listedRow struct {
	Standing Standing `json:"standing,omitzero"`
	Row      Row      `json:"row"`
}

// readList reads a JSON file: an array of {standing, row}.
func readList(text string, report func(line int, column, reason string)) []entry {
	text = strings.TrimPrefix(text, byteOrderMark)
	dec := jsontext.NewDecoder(strings.NewReader(text))
	at := lines{text: text}
	if t, err := dec.ReadToken(); err != nil || t.Kind() != jsontext.KindBeginArray {
		report(1, "", "want a JSON array of rows")
		return nil
	}
	var entries []entry
	for dec.PeekKind() != jsontext.KindEndArray {
		raw, err := dec.ReadValue()
		if err != nil {
			reportMalformed(err, &at, report)
			return entries
		}
		line := at.line(dec.InputOffset() - int64(len(raw)))
		if len(entries) == MaxRows {
			report(line, "", tooManyRows)
			return entries
		}
		var l listedRow
		if err := strictjson.UnmarshalEntered(raw, &l); err != nil {
			reportFault(err, line, report)
			continue
		}
		e := entry{RowAt{Row: l.Row}, line}
		if l.Standing != "" {
			if reason := e.setStanding(string(l.Standing)); reason != "" {
				report(line, "standing", reason)
				continue
			}
		}
		entries = append(entries, e)
	}
	if _, err := dec.ReadToken(); err != nil {
		reportMalformed(err, &at, report)
	} else if _, err := dec.ReadToken(); err != io.EOF {
		report(at.line(dec.InputOffset()), "", "something stands after the array")
	}
	return entries
}

func reportMalformed(err error, at *lines, report func(line int, column, reason string)) {
	offset := int64(len(at.text))
	var s *jsontext.SyntacticError
	if errors.As(err, &s) {
		offset = s.ByteOffset
	}
	report(at.line(offset), "", "not JSON: "+strings.TrimPrefix(err.Error(), "jsontext: "))
}

func reportFault(err error, line int, report func(line int, column, reason string)) {
	var f *strictjson.Fault
	if !errors.As(err, &f) {
		report(line, "", err.Error())
		return
	}
	pointer := strings.TrimPrefix(f.Pointer, "/row")
	report(line, member(pointer), inside(pointer)+f.Detail)
}

// lines counts the lines of a text up to growing offsets.
type lines struct {
	text string
	at   int64
	n    int
}

func (l *lines) line(offset int64) int {
	offset = max(l.at, min(offset, int64(len(l.text))))
	l.n += strings.Count(l.text[l.at:offset], "\n")
	l.at = offset
	return l.n + 1
}
