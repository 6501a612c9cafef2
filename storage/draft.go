package storage

import (
	"bytes"
	"encoding/json"
	"errors"
	"unicode/utf8"
)

// MaxDocument is the largest document or trip that is kept, in bytes.
const MaxDocument = 1 << 20

// maxName is the longest name, in bytes.
const maxName = 1 << 10

// Valid returns nil when the draft can be kept: a plain id, a name in UTF-8, a
// JSON object as document, and a JSON object or nothing as trip.
func (d Draft) Valid() error {
	switch {
	case !plainID(d.ID):
		return errors.New("an id is 1 to 64 of a-z, A-Z, 0-9, _ and -")
	case len(d.Name) > maxName || !utf8.ValidString(d.Name):
		return errors.New("a name is at most 1024 bytes of UTF-8")
	case !object(d.Document):
		return errors.New("a document is a JSON object of at most 1 MiB")
	case !object(d.Trip):
		return errors.New("a trip is a JSON object of at most 1 MiB")
	}
	return nil
}

// Equal reports whether two drafts are the same, byte for byte.
func (d Draft) Equal(o Draft) bool {
	return d.ID == o.ID && d.Name == o.Name && bytes.Equal(d.Document, o.Document) && bytes.Equal(d.Trip, o.Trip)
}

func plainID(id string) bool {
	if id == "" || len(id) > 64 {
		return false
	}
	for i := range len(id) {
		b := id[i]
		if !(b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9' || b == '_' || b == '-') {
			return false
		}
	}
	return true
}

func object(b []byte) bool {
	return len(b) <= MaxDocument && utf8.Valid(b) && json.Valid(b) && bytes.TrimLeft(b, " \t\r\n")[0] == '{'
}
