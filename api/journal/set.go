package journal

import (
	"cmp"
	"slices"

	"pintail/api/sorting"
)

// Erasure records that what was written under a path up to a time was erased on
// request. It is the one way anything leaves a journal. It names who asked and
// when, and nothing of what was there.
type Erasure struct {
	ID   string `json:"id"`
	Doc  string `json:"doc"`
	Path string `json:"path"`
	// UpTo is the time of the newest entry it erases.
	UpTo   Clock  `json:"up_to"`
	At     Clock  `json:"at"`
	Device string `json:"device"`
	Reason string `json:"reason,omitzero"`
}

// erases reports whether the erasure covers the entry.
func (x *Erasure) erases(e *Entry) bool {
	return x.Doc == e.Doc && (x.Path == e.Path || under(e.Path, x.Path)) && e.At.Compare(x.UpTo) <= 0
}

// Set is the entries and erasures of one document. The zero Set is empty.
type Set struct {
	Entries  []Entry   `json:"entries"`
	Erasures []Erasure `json:"erasures,omitzero"`
}

// Merge returns the union of two sets, in one order whatever the order of the
// two: every entry and erasure once, the erased entries gone. Merging is
// commutative, associative and idempotent. Of two entries with one id the
// greater by content stays, so that replicas agree even on a forged id; a server
// never lets that happen (see Admit).
func Merge(a, b Set) Set {
	var m Set
	m.Erasures = slices.Concat(a.Erasures, b.Erasures)
	sorting.By(m.Erasures, func(x, y Erasure) int { return compareErasures(&x, &y) })
	m.Erasures = slices.CompactFunc(m.Erasures, func(x, y Erasure) bool { return x == y })

	m.Entries = append(append(make([]Entry, 0, len(a.Entries)+len(b.Entries)), a.Entries...), b.Entries...)
	sorting.By(m.Entries, func(x, y Entry) int { return compareIDs(&x, &y) })
	m.Entries = slices.CompactFunc(m.Entries, func(x, y Entry) bool { return x.ID == y.ID })
	m.Entries = slices.DeleteFunc(m.Entries, func(e Entry) bool { return m.erased(&e) })
	sorting.By(m.Entries, func(x, y Entry) int { return x.Compare(&y) })
	return m
}

func (s *Set) erased(e *Entry) bool {
	return slices.ContainsFunc(s.Erasures, func(x Erasure) bool { return x.erases(e) })
}

// compareIDs orders by id, the greater entry first among those of one id.
func compareIDs(x, y *Entry) int {
	if c := cmp.Compare(x.ID, y.ID); c != 0 {
		return c
	}
	if c := y.Compare(x); c != 0 {
		return c
	}
	return cmp.Or(
		cmp.Compare(y.Doc, x.Doc), cmp.Compare(y.Path, x.Path), compareBools(y.Removed, x.Removed),
		cmp.Compare(string(canonical(y.Value)), string(canonical(x.Value))),
	)
}

func compareErasures(x, y *Erasure) int {
	return cmp.Or(
		x.At.Compare(y.At), cmp.Compare(x.Device, y.Device), cmp.Compare(x.ID, y.ID), cmp.Compare(x.Doc, y.Doc),
		cmp.Compare(x.Path, y.Path), x.UpTo.Compare(y.UpTo), cmp.Compare(x.Reason, y.Reason),
	)
}

func compareBools(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}
