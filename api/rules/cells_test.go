package rules

import (
	"encoding/csv"
	"io"
	"slices"
	"strings"
	"testing"
)

// The reader reads what encoding/csv reads, cell by cell and line by line, and
// refuses what it refuses.
func FuzzCells(f *testing.F) {
	for _, s := range []string{"a,b\nc,d", "\"a\"\"b\",\"c\nd\"\r\n\r\ne", "\"", "a\"b", "\"a\"b", ",\n,,", "\r", "a\r\nb\rc\n", "\"a\r\nb\",\r"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		std := csv.NewReader(strings.NewReader(text))
		std.FieldsPerRecord = -1
		own := &cellReader{rest: text, line: 1}
		for {
			want, errStd := std.Read()
			got, errOwn := own.read()
			if errStd == io.EOF && errOwn == errEnd {
				return
			}
			if strings.HasSuffix(text, "\r") {
				return // encoding/csv drops a last carriage return
			}
			if (errStd == nil) != (errOwn == nil) {
				t.Fatalf("%q: %v, encoding/csv %v", text, errOwn, errStd)
			}
			if errStd != nil {
				return
			}
			line, _ := std.FieldPos(0)
			if !slices.Equal(got, want) || own.began != line {
				t.Fatalf("%q: %q on line %d, encoding/csv %q on line %d", text, got, own.began, want, line)
			}
		}
	})
}
