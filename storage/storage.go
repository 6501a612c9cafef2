// Package storage keeps what people entrust to a server: the journals of
// workspaces, the keys to them, and the answers to requests that may be sent
// twice. It knows entries and documents, not the trade: what a rig means is the
// core's business.
package storage

import (
	"context"
	"time"
)

// Store keeps workspaces. Every implementation passes the suite in storetest.
//
// Durable: when a call that changes something returns without an error, the
// change survives a crash of the process, of the machine and a loss of power.
// When it returns an error, the store holds either all of the call's change or
// nothing of it. Calls may share one write to the disk; each still gets its own
// answer, and one that fails takes no other with it.
//
// Atomic: all that one call changes becomes visible at once: the entries taken,
// the documents they make, the workspace's cursor and clock, and the answer kept
// for a repeated request.
//
// Ordered: a read that begins after a write has returned sees that write,
// whoever made it. A read sees one state, never half of a write. The changes of a
// workspace are numbered 1, 2, 3, ... by its cursor, in the order in which they
// become visible: a reader that has seen up to n will never see a change
// numbered n or less appear later. Only an erasure takes numbers away again.
//
// Isolated: In is the one way into a workspace, and what it returns can name no
// other. Two workspaces may hold documents and entries of the same name and know
// nothing of each other.
//
// Errors: every error is an *Error with a Reason of the closed list, or the
// context's own error. What is not there, was there before, or was refused by
// the journal's rules is a value, not an error.
//
// A Store may be used by several goroutines at once. After Close every method
// fails with the reason Closed.
type Store interface {
	// AddWorkspace creates an empty workspace, with the reason Exists if there is
	// one with this id. The workspace Default is there from the start.
	AddWorkspace(ctx context.Context, id, name string, at time.Time) error
	// Workspaces lists all workspaces by id.
	Workspaces(ctx context.Context) ([]About, error)
	// In returns the workspace with this id. Where there is none, its methods
	// fail with the reason NoWorkspace.
	In(workspace string) Workspace

	// Key finds a key by its id, in whichever workspace it opens; revoked keys
	// are found too.
	Key(ctx context.Context, id string) (k Key, found bool, err error)
	// AnyKey reports whether a key was ever added to any workspace. Revoking the
	// last one does not make the server open again.
	AnyKey(ctx context.Context) (bool, error)

	// Ready returns nil when the store answers reads and still takes writes.
	Ready(ctx context.Context) error
	// Close waits for running calls and lets go of the store. Closing twice is
	// allowed.
	Close() error
}
