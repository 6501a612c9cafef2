package journal

import (
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// Fold returns the document that a set of entries makes, its members in order,
// and whether there is one. Erased entries count for nothing.
func Fold(s Set) (jsontext.Value, bool) { return newTree(s).fold() }

func (t *tree) fold() (jsontext.Value, bool) {
	out, ok := t.root.fold(nil, nil)
	if !ok {
		return nil, false
	}
	return out, true
}

// tree is the entries of one document by path.
type tree struct {
	root node
}

// node is one path: its greatest entry, and the paths below it.
type node struct {
	greatest *Entry
	below    map[string]*node
}

func newTree(s Set) *tree {
	var t tree
	for i := range s.Entries {
		if e := &s.Entries[i]; len(s.Erasures) == 0 || !s.erased(e) {
			t.add(e)
		}
	}
	return &t
}

func (t *tree) add(e *Entry) {
	n := t.at(e.Path)
	if n.greatest == nil || n.greatest.Compare(e) < 0 {
		n.greatest = e
	}
}

// at returns the node of a path, made where it is missing.
func (t *tree) at(path string) *node {
	n := &t.root
	for path != "" {
		step := path[1:]
		if i := strings.IndexByte(step, '/'); i >= 0 {
			step, path = step[:i], step[i:]
		} else {
			path = ""
		}
		next := n.below[step]
		if next == nil {
			if n.below == nil {
				n.below = map[string]*node{}
			}
			next = &node{}
			n.below[step] = next
		}
		n = next
	}
	return n
}

// hides reports whether the node's entry hides older entries below it.
func (n *node) hides() bool {
	return n.greatest != nil && (n.greatest.Removed || !emptyObject(n.greatest.Value))
}

// shows reports whether the node's own value is neither removed nor hidden by
// cover, the greatest entry above that hides.
func (n *node) shows(cover *Entry) bool {
	return n.greatest != nil && !n.greatest.Removed && (cover == nil || cover.Compare(n.greatest) < 0)
}

// over is the greatest hiding entry for what lies below the node.
func (n *node) over(cover *Entry) *Entry {
	if n.hides() && (cover == nil || cover.Compare(n.greatest) < 0) {
		return n.greatest
	}
	return cover
}

// fold appends the node's value to out and reports whether it has one.
func (n *node) fold(out jsontext.Value, cover *Entry) (jsontext.Value, bool) {
	start := len(out)
	below := n.over(cover)
	for _, step := range n.steps() {
		before := len(out)
		if len(out) == start {
			out = append(out, '{')
		} else {
			out = append(out, ',')
		}
		out = appendName(out, step)
		var ok bool
		if out, ok = n.below[step].fold(out, below); !ok {
			out = out[:before]
		}
	}
	if len(out) > start {
		return append(out, '}'), true
	}
	if n.shows(cover) && !n.outlived() {
		return append(out, canonical(n.greatest.Value)...), true
	}
	return out, false
}

// outlived reports whether the node's own value is {} and something under it was
// written or removed later: whoever removed the last member removed the object.
func (n *node) outlived() bool { return emptyObject(n.greatest.Value) && n.later(n.greatest) }

// later reports whether an entry under the node is greater than e.
func (n *node) later(e *Entry) bool {
	for _, b := range n.below {
		if b.greatest != nil && b.greatest.Compare(e) > 0 || b.later(e) {
			return true
		}
	}
	return false
}

// steps are the names of the paths below, in order.
func (n *node) steps() []string {
	if len(n.below) == 0 {
		return nil
	}
	steps := make([]string, 0, len(n.below))
	for s := range n.below {
		steps = append(steps, s)
	}
	slices.Sort(steps)
	return steps
}

func appendName(out jsontext.Value, step string) jsontext.Value {
	if strings.IndexByte(step, '~') >= 0 {
		step = unescape(step)
	}
	quoted, err := jsontext.AppendQuote(out, step)
	if err != nil {
		// A step is valid UTF-8: Check saw to it.
		panic("journal: a step that is not UTF-8 was let in")
	}
	return append(quoted, ':')
}
