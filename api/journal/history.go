package journal

import "pintail/api/sorting"

// Standing says what became of an entry.
type Standing string

// The standings.
const (
	Current    Standing = "current"    // it is the value, or the removal that holds
	Superseded Standing = "superseded" // a greater entry at the same path
	Hidden     Standing = "hidden"     // the greatest at its path, hidden by one above or revived from below
)

// Values lists the standings.
func (Standing) Values() []string { return []string{"current", "superseded", "hidden"} }

// Change is one entry of a history.
type Change struct {
	Entry    Entry    `json:"entry"`
	Standing Standing `json:"standing"`
}

// History returns every entry at a path and under it, newest first, with what
// became of it. Nothing is ever missing from it but what was erased.
func History(s Set, path string) []Change {
	t := newTree(s)
	changes := []Change{}
	for i := range s.Entries {
		e := &s.Entries[i]
		if e.Path != path && !under(e.Path, path) || s.erased(e) {
			continue
		}
		changes = append(changes, Change{Entry: *e, Standing: t.standing(e)})
	}
	sorting.By(changes, func(a, b Change) int { return b.Entry.Compare(&a.Entry) })
	return changes
}

func (t *tree) standing(e *Entry) Standing {
	n := t.at(e.Path)
	if n.greatest.Compare(e) != 0 {
		return Superseded
	}
	if t.covered(e) || !e.Removed && (n.revived() || n.outlived()) {
		return Hidden
	}
	return Current
}

// covered reports whether a greater entry above hides e.
func (t *tree) covered(e *Entry) bool {
	hidden := false
	parents(e.Path, func(above string) bool {
		n := t.find(above)
		hidden = n != nil && n.hides() && n.greatest.Compare(e) > 0
		return !hidden
	})
	return hidden
}

// revived reports whether something below the node shows in place of its value.
func (n *node) revived() bool {
	for _, b := range n.below {
		if _, ok := b.fold(nil, n.over(nil)); ok {
			return true
		}
	}
	return false
}
