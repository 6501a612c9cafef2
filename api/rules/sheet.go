package rules

import (
	"slices"
	"strconv"
	"strings"

	"pintail/api/unit"
)

// A sheet is rows as a spreadsheet shows them: comma-separated values (RFC
// 4180), one row a line, the first line naming the columns, which are the
// members of a row and its standing. A cell that a spreadsheet would take for a
// formula has ' before it.

// columns are the names of a sheet's columns, in the order of cell and setCell.
var columns = [...]string{
	"id", "standing", "jurisdiction", "subject", "covers", "says", "exempts_from", "joined_with", "when", "value", "unit", "crossed",
	"requirement", "doubt", "from", "until", "citation", "url", "text_year", "source_kind", "known", "verified_on", "note",
}

// cell is what stands in a column, empty where there is nothing.
func (r *RowAt) cell(column int) string {
	row := &r.Row
	switch columns[column] {
	case "standing":
		return string(r.Standing)
	case "when":
		if row.When != nil {
			return row.When.text()
		}
		return ""
	case "value":
		if row.Value != nil {
			return strconv.FormatFloat(*row.Value, 'f', -1, 64)
		}
		return ""
	case "crossed":
		if row.Crossed {
			return "true"
		}
		return ""
	case "text_year":
		if row.TextYear != 0 {
			return strconv.Itoa(row.TextYear)
		}
		return ""
	}
	return row.words()[column]
}

// words are the cells that are words, by their column.
func (row *Row) words() [len(columns)]string {
	return [...]string{
		row.ID, "", row.Jurisdiction, string(row.Subject), string(row.Covers), string(row.Says), string(row.ExemptsFrom), row.JoinedWith, "", "", row.Unit, "",
		row.Requirement, row.Doubt, string(row.From), string(row.Until), row.Citation, row.URL, "", string(row.SourceKind), string(row.Known), string(row.VerifiedOn), row.Note,
	}
}

// setCell reads a cell that is not empty and returns what is wrong with it.
func (r *RowAt) setCell(column int, s string) string {
	row := &r.Row
	switch columns[column] {
	case "id":
		row.ID = s
	case "standing":
		return r.setStanding(s)
	case "jurisdiction":
		row.Jurisdiction = s
	case "subject":
		row.Subject = Subject(s)
	case "covers":
		row.Covers = Covers(s)
	case "says":
		row.Says = Says(s)
	case "exempts_from":
		row.ExemptsFrom = Subject(s)
	case "joined_with":
		row.JoinedWith = s
	case "unit":
		row.Unit = s
	case "requirement":
		row.Requirement = s
	case "doubt":
		row.Doubt = s
	case "from":
		row.From = unit.Date(s)
	case "until":
		row.Until = unit.Date(s)
	case "citation":
		row.Citation = s
	case "url":
		row.URL = s
	case "source_kind":
		row.SourceKind = SourceKind(s)
	case "known":
		row.Known = Known(s)
	case "verified_on":
		row.VerifiedOn = unit.Date(s)
	case "note":
		row.Note = s
	default:
		return row.setFigure(columns[column], s)
	}
	return ""
}

// setFigure reads a cell that is not words.
func (row *Row) setFigure(column, s string) string {
	switch column {
	case "when":
		c, err := parseCondition(s)
		if err != nil {
			return err.Error()
		}
		row.When = c
	case "value":
		v, err := strconv.ParseFloat(s, 64)
		if err != nil || strings.Trim(s, "0123456789.-") != "" { // nor NaN, 1e3, 0x10
			return "want a number, here stands " + cut(s)
		}
		row.Value = &v
	case "text_year":
		y, err := strconv.Atoi(s)
		if err != nil {
			return "want a year, here stands " + cut(s)
		}
		row.TextYear = y
	case "crossed":
		row.Crossed = strings.EqualFold(s, "true") // spreadsheets write TRUE
		if !row.Crossed && !strings.EqualFold(s, "false") {
			return "want true or false, here stands " + cut(s)
		}
	}
	return ""
}

func (r *RowAt) setStanding(s string) string {
	if !slices.Contains(r.Standing.Values(), s) {
		return "not known, want one of " + strings.Join(r.Standing.Values(), ", ")
	}
	r.Standing = Standing(s)
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
	b := make([]byte, 0, 512*(len(rows)+1))
	for i := range columns {
		b = append(append(b, columns[i]...), ',')
	}
	b[len(b)-1] = '\n'
	for i := range rows {
		for k := range columns {
			b = append(appendCell(b, guarded(rows[i].cell(k))), ',')
		}
		b[len(b)-1] = '\n'
	}
	return string(b)
}

// entry is one row of a file with the line on which it begins.
type entry struct {
	RowAt
	line int
}

// readSheet reads a sheet. What is wrong with a line goes to report; the others
// are read all the same.
func readSheet(text string, report func(line int, column, reason string)) []entry {
	r := &cellReader{rest: strings.TrimPrefix(text, byteOrderMark), line: 1}
	order := readHeader(r, report)
	var entries []entry
	for order != nil {
		cells, err := r.read()
		if err == errEnd {
			break
		}
		if err != nil {
			report(r.line, "", err.Error())
			break
		}
		if len(entries) == MaxRows {
			report(r.began, "", tooManyRows)
			break
		}
		if e, ok := readLine(cells, order, r.began, report); ok {
			entries = append(entries, e)
		}
	}
	return entries
}

var tooManyRows = "more than " + strconv.Itoa(MaxRows) + " rows"

// readHeader returns the column of each place of a line, nil if the header is
// no good.
func readHeader(r *cellReader, report func(line int, column, reason string)) []int {
	names, err := r.read()
	switch err {
	case nil:
	case errEnd:
		report(1, "", "empty, want a first line that names the columns")
		return nil
	default:
		report(r.line, "", err.Error())
		return nil
	}
	if loneReturn(names) {
		report(1, "", errLoneReturn.Error())
		return nil
	}
	order := make([]int, len(names))
	seen := map[string]bool{}
	good := true
	for i, name := range names {
		name = strings.TrimSpace(name)
		order[i] = slices.Index(columns[:], name)
		switch {
		case order[i] < 0:
			report(1, cut(name), "no such column, want one of "+strings.Join(columns[:], ", "))
			good = false
		case seen[name]:
			report(1, name, "the column stands twice")
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

// loneReturn reports whether a carriage return stands inside a cell. One at the
// end of a file is passed over, as part of a line end.
func loneReturn(cells []string) bool {
	return slices.ContainsFunc(cells, func(s string) bool { return strings.IndexByte(strings.TrimRight(s, "\r"), '\r') >= 0 })
}

// readLine reads one line; ok is false where something is wrong with it.
func readLine(cells []string, order []int, line int, report func(line int, column, reason string)) (e entry, ok bool) {
	if loneReturn(cells) {
		report(line, "", errLoneReturn.Error())
		return e, false
	}
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
			reason = e.setCell(order[i], strings.Clone(cell))
		}
		if reason != "" {
			report(line, columns[order[i]], reason)
			ok = false
		}
	}
	return e, ok
}
