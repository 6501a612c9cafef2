package storage

import "strings"

// Doc splits the name of a document, "<kind>/<id>". A kind is 1 to 16 of a-z and
// _, an id 1 to 64 of a-z, A-Z, 0-9, _ and -, and not digits only, so that it can
// be a step of a path. The id of a rule is that of its row: single dots stand
// between its parts. ok is false for any other name.
func Doc(doc string) (kind, id string, ok bool) {
	kind, id, ok = strings.Cut(doc, "/")
	if !ok || !Kind(kind) || len(id) > maxID {
		return "", "", false
	}
	parts := id
	if kind == "rule" {
		parts = dotted(id)
	}
	if !plainID(parts) || strings.Trim(id, "0123456789.") == "" {
		return "", "", false
	}
	return kind, id, true
}

// Kind reports whether s can be the kind of a document.
func Kind(s string) bool {
	return s != "" && len(s) <= 16 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz_") == ""
}

// maxID is the longest id, in bytes.
const maxID = 64

// dotted is the id with its parts joined, and no id where one of them is empty.
func dotted(id string) string {
	if strings.Contains("."+id+".", "..") {
		return ""
	}
	return strings.ReplaceAll(id, ".", "")
}

func plainID(id string) bool {
	if id == "" || len(id) > maxID {
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
