package sqlite

import "pintail/api/journal"

// maxRegistered is how many entries the registers of several documents hold,
// some 50 MB, before all are let go. One document alone may be larger, or each
// leaf written to it would read all of it.
const maxRegistered = 100_000

// docKey names a document of a workspace.
type docKey struct {
	workspace int64
	doc       string
}

// registers are the journals of the documents written lately, so that a document
// typed leaf by leaf is not read from the file with each leaf. They hold what the
// file holds as long as nobody else has moved the workspace's cursor.
type registers struct {
	docs    map[docKey]*journal.Register
	cursors map[int64]int64 // by workspace, the cursor at which its registers hold
	entries int
}

func newRegisters() *registers {
	return &registers{docs: map[docKey]*journal.Register{}, cursors: map[int64]int64{}}
}

// at forgets everything if the workspace's cursor is not where it was left:
// another program has written.
func (r *registers) at(workspace, cursor int64) {
	if was, known := r.cursors[workspace]; known && was != cursor || r.entries > maxRegistered && len(r.docs) > 1 {
		r.forget()
	}
	r.cursors[workspace] = cursor
}

// left notes the cursor at which a job leaves the workspace, and how many
// entries it added.
func (r *registers) left(workspace, cursor int64, taken int) {
	r.cursors[workspace] = cursor
	r.entries += taken
}

func (r *registers) keep(k docKey, g *journal.Register) {
	r.docs[k] = g
	r.entries += len(g.Set().Entries)
}

// drop forgets one document.
func (r *registers) drop(k docKey) {
	if g := r.docs[k]; g != nil {
		r.entries -= len(g.Set().Entries)
		delete(r.docs, k)
	}
}

// forget forgets everything: after a rollback, what was admitted is not in the
// file.
func (r *registers) forget() { *r = *newRegisters() }
