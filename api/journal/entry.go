// Package journal is how edits made on several phones meet: an append-only set
// of entries that merge in any order.
//
// What a document is follows from the set alone, whatever the order, repetition
// or split in which its entries arrived:
//
//   - The value of a path is its greatest entry by (wall, counter, device, id).
//   - Writes go to leaves: a scalar, an array, or a quantity such as {"lb": 4300},
//     each one atomic value. A value or a removal hides every older entry under
//     its path; a newer entry under the path revives it, in place of what stood
//     there.
//   - {} says only that an object is there. It shows while nothing under it was
//     written or removed later, and hides nothing, so that emptying an object never
//     wipes what another phone wrote into it meanwhile.
//
// Nothing here knows a schema: members that this version does not know are kept.
package journal

import (
	"bytes"
	"cmp"
	"io"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/unit"
)

// Entry is one edit: a value written to a leaf of a document, or a removal.
type Entry struct {
	// ID is a UUID of version 7, unique for ever.
	ID string `json:"id"`
	// Doc names the document, for example "rig/0192f0c1-...".
	Doc string `json:"doc"`
	// Path is a JSON Pointer (RFC 6901) to a leaf; "" is the whole document.
	Path string `json:"path"`
	// Value is the leaf's new value, absent in a removal.
	Value   jsontext.Value `json:"value,omitzero"`
	Removed bool           `json:"removed,omitzero"`
	At      Clock          `json:"at"`
	// Device is one per install.
	Device string `json:"device"`
}

// Compare orders two entries: -1 if e is older than o. Two different entries
// are never equal.
func (e *Entry) Compare(o *Entry) int {
	if c := e.At.Compare(o.At); c != 0 {
		return c
	}
	if c := cmp.Compare(e.Device, o.Device); c != 0 {
		return c
	}
	return cmp.Compare(e.ID, o.ID)
}

// Same reports whether two entries are the same edit: every member equal, the
// value by what it says and not by how it is spaced.
func (e *Entry) Same(o *Entry) bool {
	return e.ID == o.ID && e.Doc == o.Doc && e.Path == o.Path && e.Removed == o.Removed && e.At == o.At && e.Device == o.Device &&
		string(canonical(e.Value)) == string(canonical(o.Value))
}

// canonical is the one byte form of a value (RFC 8785).
func canonical(v jsontext.Value) jsontext.Value {
	if v == nil {
		return nil
	}
	c := v.Clone()
	if err := c.Canonicalize(); err != nil {
		return v
	}
	return c
}

// Limits of one entry, in bytes.
const (
	maxPath  = 512
	maxValue = 256 << 10
	maxName  = 128
)

// Check returns why an entry can stand in no journal, nil if it can.
func (e *Entry) Check() *Refusal {
	switch {
	case !uuid7(e.ID):
		return refuse(BadEntry, "/id", "want a UUID of version 7 in small letters")
	case !name(e.Doc):
		return refuse(BadEntry, "/doc", "want 1 to 128 of a-z, A-Z, 0-9, / _ . -")
	case !name(e.Device):
		return refuse(BadEntry, "/device", "want 1 to 128 of a-z, A-Z, 0-9, / _ . -")
	case e.At.Wall < 0 || e.At.Wall > maxWall || e.At.Counter < 0 || e.At.Counter > maxCounter:
		return refuse(BadEntry, "/at", "outside the range of the clock")
	}
	if r := checkPath(e.Path); r != nil {
		return r
	}
	return e.checkValue()
}

func (e *Entry) checkValue() *Refusal {
	switch {
	case e.Removed && e.Value != nil:
		return refuse(BadEntry, "/value", "a removal has no value")
	case e.Removed:
		return nil
	case len(e.Value) == 0:
		return refuse(BadEntry, "/value", "missing")
	case len(e.Value) > maxValue:
		return refuse(BadEntry, "/value", "larger than 256 KiB")
	case !e.Value.IsValid():
		return refuse(BadEntry, "/value", "not JSON")
	case e.Value.Kind() == jsontext.KindNull:
		return refuse(BadEntry, "/value", "null is not a value; write a removal")
	case !finite(e.Value):
		return refuse(BadEntry, "/value", "a number beyond the range of a double")
	case e.Path == "" && !emptyObject(e.Value):
		return refuse(NotALeaf, "/path", "a whole document is written leaf by leaf")
	case e.Value.Kind() == jsontext.KindBeginObject && !emptyObject(e.Value) && !quantity(e.Value):
		return refuse(NotALeaf, "/value", "an object is written leaf by leaf")
	}
	return nil
}

// finite reports whether every number of the value is within the range of a
// double (RFC 7493 section 2.2). Beyond it each reader makes something else of it.
func finite(v jsontext.Value) bool {
	dec := jsontext.NewDecoder(bytes.NewReader(v))
	for {
		t, err := dec.ReadToken()
		if err != nil {
			return err == io.EOF
		}
		if t.Kind() != jsontext.KindNumber {
			continue
		}
		if _, err := strconv.ParseFloat(t.String(), 64); err != nil {
			return false
		}
	}
}

// emptyObject reports whether the value is {}.
func emptyObject(v jsontext.Value) bool {
	inside, ok := bytes.CutPrefix(bytes.TrimSpace(v), []byte("{"))
	return ok && string(bytes.TrimSpace(inside)) == "}"
}

// quantity reports whether the value is an object of exactly one number named
// by a unit. Split into leaves, two phones that change the unit at the same time
// would leave a quantity with two.
func quantity(v jsontext.Value) bool {
	if v.Kind() != jsontext.KindBeginObject {
		return false
	}
	members, ok := object(v)
	if !ok || len(members) != 1 {
		return false
	}
	for name, value := range members {
		if !unit.Known(name) || value.Kind() != jsontext.KindNumber {
			return false
		}
	}
	return true
}

func name(s string) bool {
	return s != "" && len(s) <= maxName && strings.IndexFunc(s, func(r rune) bool { return !nameRune(r) }) < 0
}

func nameRune(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '/' || r == '_' || r == '.' || r == '-'
}

// uuid7 reports whether s is a UUID of version 7 (RFC 9562) in small letters.
func uuid7(s string) bool {
	if len(s) != 36 || s[14] != '7' || strings.IndexByte("89ab", s[19]) < 0 {
		return false
	}
	for i := range len(s) {
		switch b := s[i]; i {
		case 8, 13, 18, 23:
			if b != '-' {
				return false
			}
		default:
			if !(b >= '0' && b <= '9' || b >= 'a' && b <= 'f') {
				return false
			}
		}
	}
	return true
}
