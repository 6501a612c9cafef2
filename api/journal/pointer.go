package journal

import (
	"strings"
	"unicode/utf8"
)

// maxDepth bounds how deep a document may be.
const maxDepth = 16

// checkPath returns why a path is not a JSON Pointer to a leaf of a document of
// maps, nil if it is.
func checkPath(path string) *Refusal {
	switch {
	case path == "":
		return nil
	case path[0] != '/':
		return refuse(BadEntry, "/path", "a JSON Pointer begins with /")
	case len(path) > maxPath || !utf8.ValidString(path):
		return refuse(BadEntry, "/path", "not UTF-8, or longer than 512 bytes")
	}
	steps := strings.Split(path[1:], "/")
	if len(steps) > maxDepth {
		return refuse(BadEntry, "/path", "deeper than 16 steps")
	}
	for _, s := range steps {
		switch {
		case s == "":
			return refuse(BadEntry, "/path", "a step is empty")
		case !escaped(s):
			return refuse(BadEntry, "/path", "~ stands only in ~0 and ~1")
		case index(s):
			return refuse(ArrayIndex, "/path", "an array is one value and is not written element by element")
		}
	}
	return nil
}

// escaped reports whether every ~ begins ~0 or ~1.
func escaped(step string) bool {
	for i := range len(step) {
		if step[i] == '~' && (i+1 == len(step) || step[i+1] != '0' && step[i+1] != '1') {
			return false
		}
	}
	return true
}

// index reports whether a step would be an element of an array: digits, or the
// - that appends. Keys of maps are never digits only.
func index(step string) bool {
	return step == "-" || strings.Trim(step, "0123456789") == ""
}

// under reports whether path lies strictly below above.
func under(path, above string) bool {
	return len(path) > len(above) && strings.HasPrefix(path, above) && path[len(above)] == '/'
}

// parents calls each with every path strictly above path, the root last.
func parents(path string, each func(string) bool) {
	for path != "" {
		path = path[:strings.LastIndexByte(path, '/')]
		if !each(path) {
			return
		}
	}
}

func escape(step string) string {
	return strings.ReplaceAll(strings.ReplaceAll(step, "~", "~0"), "/", "~1")
}

func unescape(step string) string {
	return strings.ReplaceAll(strings.ReplaceAll(step, "~1", "/"), "~0", "~")
}
