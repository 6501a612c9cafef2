package rules

import (
	"encoding/csv"
	"errors"
	"io"
	"strconv"
	"strings"

	"pintail/api/unit"
)

// A sheet is rows as a spreadsheet shows them: comma-separated values (RFC
// 4180), one row a line, the first line naming the columns, which are the
// members of a row and its standing. A cell that a spreadsheet would take for a
// formula has ' before it.

// column is one column of a sheet.
type column struct {
	name string
	get  func(*RowAt) string
	// set reads a cell that is not empty and returns what is wrong with it.
	set func(*RowAt, string) string
}

var columns = [...]column{
	{"id", func(r *RowAt) string { return r.Row.ID }, func(r *RowAt, s string) string { r.Row.ID = s; return "" }},
	{"standing", func(r *RowAt) string { return string(r.Standing) }, setStanding},
	{"jurisdiction", func(r *RowAt) string { return r.Row.Jurisdiction }, func(r *RowAt, s string) string { r.Row.Jurisdiction = s; return "" }},
	{"subject", func(r *RowAt) string { return string(r.Row.Subject) }, func(r *RowAt, s string) string { r.Row.Subject = Subject(s); return "" }},
	{"covers", func(r *RowAt) string { return string(r.Row.Covers) }, func(r *RowAt, s string) string { r.Row.Covers = Covers(s); return "" }},
	{"says", func(r *RowAt) string { return string(r.Row.Says) }, func(r *RowAt, s string) string { r.Row.Says = Says(s); return "" }},
	{"exempts_from", func(r *RowAt) string { return string(r.Row.ExemptsFrom) }, func(r *RowAt, s string) string { r.Row.ExemptsFrom = Subject(s); return "" }},
	{"joined_with", func(r *RowAt) string { return r.Row.JoinedWith }, func(r *RowAt, s string) string { r.Row.JoinedWith = s; return "" }},
	{"when", getWhen, setWhen},
	{"value", getValue, setValue},
	{"unit", func(r *RowAt) string { return r.Row.Unit }, func(r *RowAt, s string) string { r.Row.Unit = s; return "" }},
	{"crossed", getCrossed, setCrossed},
	{"requirement", func(r *RowAt) string { return r.Row.Requirement }, func(r *RowAt, s string) string { r.Row.Requirement = s; return "" }},
	{"doubt", func(r *RowAt) string { return r.Row.Doubt }, func(r *RowAt, s string) string { r.Row.Doubt = s; return "" }},
	{"from", func(r *RowAt) string { return string(r.Row.From) }, func(r *RowAt, s string) string { r.Row.From = unit.Date(s); return "" }},
	{"until", func(r *RowAt) string { return string(r.Row.Until) }, func(r *RowAt, s string) string { r.Row.Until = unit.Date(s); return "" }},
	{"citation", func(r *RowAt) string { return r.Row.Citation }, func(r *RowAt, s string) string { r.Row.Citation = s; return "" }},
	{"url", func(r *RowAt) string { return r.Row.URL }, func(r *RowAt, s string) string { r.Row.URL = s; return "" }},
	{"text_year", getYear, setYear},
	{"source_kind", func(r *RowAt) string { return string(r.Row.SourceKind) }, func(r *RowAt, s string) string { r.Row.SourceKind = SourceKind(s); return "" }},
	{"known", func(r *RowAt) string { return string(r.Row.Known) }, func(r *RowAt, s string) string { r.Row.Known = Known(s); return "" }},
	{"verified_on", func(r *RowAt) string { return string(r.Row.VerifiedOn) }, func(r *RowAt, s string) string { r.Row.VerifiedOn = unit.Date(s); return "" }},
	{"note", func(r *RowAt) string { return r.Row.Note }, func(r *RowAt, s string) string { r.Row.Note = s; return "" }},
}

func setStanding(r *RowAt, s string) string {
	for _, v := range r.Standing.Values() {
		if v == s {
			r.Standing = Standing(s)
			return ""
		}
	}
	return "not known, want one of " + strings.Join(r.Standing.Values(), ", ")
}

func getWhen(r *RowAt) string {
	if r.Row.When == nil {
		return ""
	}
	return r.Row.When.text()
}

func setWhen(r *RowAt, s string) string {
	c, err := parseCondition(s)
	if err != nil {
		return err.Error()
	}
	r.Row.When = c
	return ""
}

func getValue(r *RowAt) string {
	if r.Row.Value == nil {
		return ""
	}
	return strconv.FormatFloat(*r.Row.Value, 'f', -1, 64)
}

func setValue(r *RowAt, s string) string {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return "want a number, here stands " + cut(s)
	}
	r.Row.Value = &v
	return ""
}

func getCrossed(r *RowAt) string {
	if r.Row.Crossed {
		return "true"
	}
	return ""
}

func setCrossed(r *RowAt, s string) string {
	switch strings.ToLower(s) { // spreadsheets write TRUE
	case "true":
		r.Row.Crossed = true
	case "false":
	default:
		return "want true or false, here stands " + cut(s)
	}
	return ""
}

func getYear(r *RowAt) string {
	if r.Row.TextYear == 0 {
		return ""
	}
	return strconv.Itoa(r.Row.TextYear)
}

func setYear(r *RowAt, s string) string {
	y, err := strconv.Atoi(s)
	if err != nil {
		return "want a year, here stands " + cut(s)
	}
	r.Row.TextYear = y
	return ""
}

// byteOrderMark is what some spreadsheets put before everything else.
const byteOrderMark = "\ufeff"

// formulaSigns begin what a spreadsheet takes for a formula.
const formulaSigns = "=+-@\t\r"

// guarded is a cell that no spreadsheet takes for a formula.
func guarded(s string) string {
	if s != "" && (strings.IndexByte(formulaSigns, s[0]) >= 0 || s[0] == '\'' && len(s) > 1 && strings.IndexByte(formulaSigns+"'", s[1]) >= 0) {
		return "'" + s
	}
	return s
}

// unguarded is the cell without the guard; ok is false for a bare formula.
func unguarded(s string) (cell string, ok bool) {
	switch {
	case s != "" && strings.IndexByte(formulaSigns, s[0]) >= 0:
		return "", false
	case len(s) > 1 && s[0] == '\'' && strings.IndexByte(formulaSigns+"'", s[1]) >= 0:
		return s[1:], true
	}
	return s, true
}

// sheetOf writes rows as a sheet.
func sheetOf(rows []RowAt) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	cells := make([]string, len(columns))
	for i := range columns {
		cells[i] = columns[i].name
	}
	_ = w.Write(cells) // a strings.Builder takes everything
	for i := range rows {
		for k := range columns {
			cells[k] = guarded(columns[k].get(&rows[i]))
		}
		_ = w.Write(cells)
	}
	w.Flush()
	return b.String()
}

// entry is one row of a file with the line on which it begins.
type entry struct {
	RowAt
	line int
}

// readSheet reads a sheet. What is wrong with a line goes to report; the others
// are read all the same.
func readSheet(text string, report func(line int, column, reason string)) []entry {
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, byteOrderMark)))
	r.FieldsPerRecord = -1
	r.ReuseRecord = true
	order := readHeader(r, report)
	var entries []entry
	for order != nil {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			reportSyntax(err, report)
			break
		}
		line, _ := r.FieldPos(0)
		if len(entries) == MaxRows {
			report(line, "", tooManyRows)
			break
		}
		if e, ok := readLine(cells, order, line, report); ok {
			entries = append(entries, e)
		}
	}
	return entries
}

var tooManyRows = "more than " + strconv.Itoa(MaxRows) + " rows"

// readHeader returns the column of each place of a line, nil if the header is
// no good.
func readHeader(r *csv.Reader, report func(line int, column, reason string)) []*column {
	names, err := r.Read()
	if err != nil {
		if err == io.EOF {
			report(1, "", "empty, want a first line that names the columns")
		} else {
			reportSyntax(err, report)
		}
		return nil
	}
	order := make([]*column, len(names))
	seen := map[string]bool{}
	good := true
	for i, name := range names {
		name = strings.TrimSpace(name)
		order[i] = columnOf(name)
		if order[i] == nil || seen[name] {
			report(1, cut(name), "no such column, or it stands twice")
			good = false
		}
		seen[name] = true
	}
	for _, must := range [...]string{"id", "jurisdiction", "subject", "covers", "requirement", "source_kind", "known"} {
		if !seen[must] {
			report(1, must, "the column is missing")
			good = false
		}
	}
	if !good {
		return nil
	}
	return order
}

func columnOf(name string) *column {
	for i := range columns {
		if columns[i].name == name {
			return &columns[i]
		}
	}
	return nil
}

// readLine reads one line; ok is false where something is wrong with it.
func readLine(cells []string, order []*column, line int, report func(line int, column, reason string)) (e entry, ok bool) {
	if len(cells) != len(order) {
		report(line, "", "want "+strconv.Itoa(len(order))+" cells, here are "+strconv.Itoa(len(cells)))
		return e, false
	}
	e, ok = entry{line: line}, true
	for i, s := range cells {
		cell, plain := unguarded(strings.TrimSpace(s))
		reason := ""
		switch {
		case !plain:
			reason = "begins like a formula; write ' before it if it is a text"
		case cell != "":
			reason = order[i].set(&e.RowAt, strings.Clone(cell))
		}
		if reason != "" {
			report(line, order[i].name, reason)
			ok = false
		}
	}
	return e, ok
}

func reportSyntax(err error, report func(line int, column, reason string)) {
	var p *csv.ParseError
	if !errors.As(err, &p) {
		report(0, "", err.Error())
		return
	}
	report(p.Line, "", strings.TrimPrefix(p.Err.Error(), "csv: ")+", at character "+strconv.Itoa(p.Column)+" of the line")
}
