package journal

import "github.com/go-json-experiment/json/jsontext"

// Bound is how far a clock may be ahead of the server's, in milliseconds: ten
// minutes, far more than a phone that asks the network for the time, and little
// enough that an entry from next year never outlasts everybody's edits.
const Bound = 10 * 60 * 1000

// Admitted is what became of an entry that asked to be taken.
type Admitted string

// The outcomes.
const (
	Taken   Admitted = "taken"
	Already Admitted = "already" // the same entry was taken before
	Refused Admitted = "refused"
)

// Values lists the outcomes.
func (Admitted) Values() []string { return []string{"taken", "already", "refused"} }

// Register is one document's entries as the place that admits them knows them.
type Register struct {
	set  Set
	byID map[string]int
	tree *tree
}

// NewRegister returns a register of what was admitted before.
func NewRegister(s Set) *Register {
	r := &Register{set: s, byID: make(map[string]int, len(s.Entries)), tree: newTree(s)}
	for i := range s.Entries {
		r.byID[s.Entries[i].ID] = i
	}
	return r
}

// Set returns all that was admitted.
func (r *Register) Set() Set { return r.set }

// Fold returns the document that was admitted, as Fold does of Set.
func (r *Register) Fold() (jsontext.Value, bool) { return r.tree.fold() }

// Admit takes an entry or says why not; now is the admitting clock in
// milliseconds of the Unix epoch. It never changes what an entry says.
func (r *Register) Admit(e Entry, now int64) (Admitted, *Refusal) {
	if refusal := e.Check(); refusal != nil {
		return Refused, refusal
	}
	if i, ok := r.byID[e.ID]; ok {
		if r.set.Entries[i].Same(&e) {
			return Already, nil
		}
		return Refused, refuse(OtherBody, "/id", "an entry with this id and another body was taken before; write it again under a new id")
	}
	switch {
	case e.At.Ahead(now, Bound):
		return Refused, refuse(ClockAhead, "/at/wall", "the clock is ahead of the server's; write it again with the time given")
	case r.set.erased(&e):
		return Refused, refuse(Purged, "/path", "what stood here was erased on request after this edit")
	case !e.Removed && r.tree.belowLeaf(e.Path):
		return Refused, refuse(BelowScalar, "/path", "a value stands above this path")
	}
	r.byID[e.ID] = len(r.set.Entries)
	r.set.Entries = append(r.set.Entries, e)
	r.tree.add(&e)
	return Taken, nil
}

// belowLeaf reports whether a value that hides what is below it shows above the
// path.
func (t *tree) belowLeaf(path string) bool {
	found := false
	parents(path, func(above string) bool {
		n := t.find(above)
		if n == nil || !n.hides() || n.greatest.Removed || n.revived() {
			return true
		}
		found = !t.covered(n.greatest)
		return !found
	})
	return found
}

// find returns the node of a path, nil where there is none.
func (t *tree) find(path string) *node {
	n := &t.root
	for path != "" && n != nil {
		step, rest := path[1:], ""
		for i := range len(step) {
			if step[i] == '/' {
				step, rest = step[:i], step[i:]
				break
			}
		}
		n, path = n.below[step], rest
	}
	return n
}

// Erase returns the set without what was written at and under the erasure's
// path up to its time, and with the record of it.
func Erase(s Set, x Erasure) Set { return Merge(s, Set{Erasures: []Erasure{x}}) }
