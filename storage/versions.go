package storage

import "pintail/api/journal"

// Versions are all changes of one document in the order of their numbers.
type Versions []Change

// At returns what the document's journal held when change n was its newest;
// found is false when no change of the document has this number.
func (v Versions) At(n int64) (s journal.Set, found bool) {
	for i := range v {
		c := &v[i]
		if c.Cursor > n {
			break
		}
		found = c.Cursor == n
		if c.Entry != nil {
			s.Entries = append(s.Entries, *c.Entry)
		} else {
			s.Erasures = append(s.Erasures, *c.Erasure)
		}
	}
	return s, found
}

// Set returns the document's journal as it is.
func (v Versions) Set() journal.Set {
	if len(v) == 0 {
		return journal.Set{}
	}
	s, _ := v.At(v[len(v)-1].Cursor)
	return s
}
