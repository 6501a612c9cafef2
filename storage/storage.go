// Package storage keeps what people entrust to a server. It knows documents and
// revisions, not the trade: what a rig means is the core's business.
package storage

import (
	"context"
	"time"
)

// Store keeps rigs. Every implementation passes the suite in storetest.
//
// Durable: when PutRig returns without an error, the rig survives a crash of the
// process, of the machine and a loss of power. When it returns an error, the
// store holds either all of the change or nothing of it.
//
// Ordered: a read that begins after a write has returned sees that write,
// whoever made it. A read sees one state, never half of a write.
//
// Errors: every error is an *Error with a Reason of the closed list, or the
// context's own error. A rig that is not there, and a write that changes
// nothing, are values, not errors.
//
// A Store may be used by several goroutines at once. After Close every method
// fails with the reason Closed.
type Store interface {
	// PutRig creates the rig or replaces it, and returns it as kept. The first
	// revision is 1 and each change adds 1. A draft equal to what is kept changes
	// nothing: neither the revision nor the time of the last change. A draft
	// that is not Valid is refused with the reason Invalid.
	PutRig(ctx context.Context, d Draft, at time.Time) (Rig, error)
	// Rig returns the rig with this id; found is false when there is none.
	Rig(ctx context.Context, id string) (r Rig, found bool, err error)
	// Rigs lists all rigs by name, then by id.
	Rigs(ctx context.Context) ([]Summary, error)
	// Ready returns nil when the store answers reads.
	Ready(ctx context.Context) error
	// Close waits for running calls and lets go of the store. Closing twice is
	// allowed.
	Close() error
}

// Draft is a rig as its author gives it.
type Draft struct {
	// ID is 1 to 64 of a-z, A-Z, 0-9, _ and -.
	ID   string
	Name string
	// Document is the rig as JSON, kept byte for byte.
	Document []byte
	// Trip is the trip the rig is meant for as JSON, kept byte for byte.
	Trip []byte
}

// Rig is a rig as kept.
type Rig struct {
	Draft
	// Created and Updated are in UTC, to the microsecond.
	Created, Updated time.Time
	// Revision counts the changes, from 1.
	Revision int64
}

// Summary is one line of the list of rigs.
type Summary struct {
	ID, Name string
	Revision int64
}
