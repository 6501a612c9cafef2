package rules

import (
	"errors"
	"strings"
)

// cellReader reads comma-separated values (RFC 4180) line by line: cells with a
// comma, a quote or a line end stand in double quotes, a quote inside is
// doubled. Both line ends are good, and empty lines are passed over.
type cellReader struct {
	rest string
	line int // on which the next cell stands, from 1
	// began is the line on which the cells read last begin.
	began int
	cells []string
}

// errEnd is what read returns after the last line.
var errEnd = errors.New("end")

var (
	errQuoteInside = errors.New("a quote inside a cell that does not begin with one")
	errAfterQuote  = errors.New("something stands after the quote that ends a cell")
	errNoQuote     = errors.New("the quote that ends a cell is missing")
	errLoneReturn  = errors.New("a carriage return stands alone; end lines with a line feed, alone or after one")
)

// read returns the cells of the next line; they are good until the next call.
func (r *cellReader) read() ([]string, error) {
	for r.lineEnd() {
	}
	if r.rest == "" {
		return nil, errEnd
	}
	r.began, r.cells = r.line, r.cells[:0]
	for {
		cell, err := r.cell()
		if err != nil {
			return nil, err
		}
		r.cells = append(r.cells, cell)
		if rest, more := strings.CutPrefix(r.rest, ","); more {
			r.rest = rest
			continue
		}
		r.lineEnd()
		return r.cells, nil
	}
}

// lineEnd passes over one line end if it stands here.
func (r *cellReader) lineEnd() bool {
	for _, end := range [...]string{"\n", "\r\n"} {
		if rest, ok := strings.CutPrefix(r.rest, end); ok {
			r.rest = rest
			r.line++
			return true
		}
	}
	return false
}

func (r *cellReader) cell() (string, error) {
	if !strings.HasPrefix(r.rest, `"`) {
		return r.plain()
	}
	var whole []byte // of a cell with quotes inside
	text := r.rest[1:]
	for {
		end := strings.IndexByte(text, '"')
		if end < 0 {
			return "", errNoQuote
		}
		part := text[:end]
		text = text[end+1:]
		r.line += strings.Count(part, "\n")
		if inside, quote := strings.CutPrefix(text, `"`); quote {
			whole, text = append(append(whole, part...), '"'), inside
			continue
		}
		if strings.HasPrefix(text, "\r") && !strings.HasPrefix(text, "\r\n") {
			return "", errLoneReturn
		}
		if text != "" && text[0] != ',' && text[0] != '\n' && !strings.HasPrefix(text, "\r\n") {
			return "", errAfterQuote
		}
		r.rest = text
		if whole != nil {
			part = string(append(whole, part...))
		}
		if strings.IndexByte(part, '\r') >= 0 {
			part = strings.ReplaceAll(part, "\r\n", "\n")
		}
		return part, nil
	}
}

func (r *cellReader) plain() (string, error) {
	end := strings.IndexAny(r.rest, ",\n")
	if end < 0 {
		end = len(r.rest)
	}
	cell := r.rest[:end]
	if end < len(r.rest) && r.rest[end] == '\n' && strings.HasSuffix(cell, "\r") {
		end--
		cell = cell[:end]
	}
	if strings.IndexByte(cell, '"') >= 0 {
		return "", errQuoteInside
	}
	r.rest = r.rest[end:]
	return cell, nil
}

// appendCell writes a cell, in quotes where it needs them.
func appendCell(b []byte, s string) []byte {
	if !strings.ContainsAny(s, ",\"\n\r") && s == strings.TrimSpace(s) {
		return append(b, s...)
	}
	b = append(b, '"')
	for i := range len(s) {
		if s[i] == '"' {
			b = append(b, '"')
		}
		b = append(b, s[i])
	}
	return append(b, '"')
}
