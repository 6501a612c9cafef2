package storage

import (
	"context"
	"time"

	"pintail/api/journal"
)

// Default is the workspace that every store has, the only one while no key
// exists.
const Default = "default"

// ServerDevice is the device of the entries that a server writes itself. Nobody
// else may use the name.
const ServerDevice = "server"

// About says what a workspace is and how far it has come.
type About struct {
	ID, Name string
	Created  time.Time
	// Era changes when the store is restored from a backup. Cursors of two eras
	// say nothing about each other: a reader that meets a new era starts again
	// from 0, and offers again what it had sent.
	Era string
	// Cursor is the number of the newest change, 0 when there was none.
	Cursor int64
}

// Workspace is one workspace's part of a Store: whoever holds it can name no
// other. The guarantees of Store hold for each of its methods.
type Workspace interface {
	About(ctx context.Context) (About, error)

	// Append offers entries to the journal, in order, each by itself: it takes
	// those that journal.Register admits and says why it refuses the others. An
	// entry taken before is journal.Already, so offering the same twice is
	// harmless. Besides the rules of the journal, the document must be named as
	// Doc says, the device must not be ServerDevice, and an id is taken once in
	// the whole workspace.
	Append(ctx context.Context, a Append) (Outcome, error)
	// Write turns changes of one document into entries of the server's own
	// device and takes all of them, or none if one is refused. Their times are
	// allotted inside, each later than everything the workspace holds.
	Write(ctx context.Context, w Write) (Outcome, error)
	// WriteAll is Write for several documents at once, none of them twice: all of
	// it, or nothing where one is refused, present or stale. They share the actor
	// and the time of the first, and have no Once. At most MaxWriteAll.
	WriteAll(ctx context.Context, writes []Write) ([]Outcome, error)
	// Erase takes the values of a document at and under a path out of the store
	// for good and records that it did. It is the one way anything leaves. All
	// answers kept for repeated requests go too, because they may hold what was
	// erased. Backups made earlier still hold it.
	Erase(ctx context.Context, e Erase) (Erased, error)

	// Since returns the changes after a cursor in the order of their numbers, at
	// most limit (1 to MaxPage) and fewer where they are large, but at least one
	// if there is one.
	Since(ctx context.Context, after int64, limit int) (Page, error)
	// Document returns what a document's entries make of it; found is false when
	// it never had one. A removed document is found, with no Value.
	Document(ctx context.Context, doc string) (d Document, found bool, err error)
	// Documents lists the documents of a kind that are there, by id, from after
	// the id given, at most limit (1 to MaxPage). They come without their Value.
	Documents(ctx context.Context, kind, after string, limit int) ([]Document, error)
	// Values is Documents, each with its Value, fewer where they are large, but at
	// least one if there is one.
	Values(ctx context.Context, kind, after string, limit int) ([]Document, error)
	// Versions returns all changes of one document.
	Versions(ctx context.Context, doc string) (Versions, error)
	// Answered returns the answer kept for a request that was sent before, as
	// Append and Write would.
	Answered(ctx context.Context, actor string, o Once, at time.Time) (Repeat, error)

	// AddKey adds a key to the workspace, with the reason Exists if any workspace
	// has one with this id.
	AddKey(ctx context.Context, k NewKey, at time.Time) error
	// Keys lists the keys of the workspace, revoked ones too, by age.
	Keys(ctx context.Context) ([]Key, error)
	// RevokeKey ends a key for good. It is found false when the workspace has
	// none with this id; revoking it again changes nothing.
	RevokeKey(ctx context.Context, id string, at time.Time) (found bool, err error)
}

// MaxPage is the most changes or documents that are asked for at once.
const MaxPage = 1000

// MaxAppend is the most entries that are offered at once.
const MaxAppend = 1000

// MaxWriteAll is the most documents that are written at once.
const MaxWriteAll = 20_000

// Append is a page of entries offered to a workspace.
type Append struct {
	Entries []journal.Entry
	// Actor is who sent them, as the credential says.
	Actor string
	// At is the server's time.
	At time.Time
	// Once is nil when the request has no key of its own.
	Once *Once
}

// Write is a change of one document by the server itself.
type Write struct {
	Doc    string
	Writes []journal.Write
	// IDs are the ids of the entries, UUIDs of version 7, one for each write.
	IDs   []string
	Actor string
	At    time.Time
	// IfAbsent makes nothing happen when the document is there.
	IfAbsent bool
	// IfVersion, unless 0, makes nothing happen when the document has another
	// version.
	IfVersion int64
	Once      *Once
}

// Outcome is what became of an Append or a Write.
type Outcome struct {
	// Results has one for each entry, in order.
	Results []Result
	// Version is the version of the document of a Write, as Document has it.
	Version int64
	// Present says that a Write with IfAbsent found the document there.
	Present bool
	// Stale says that a Write with IfVersion found another version.
	Stale bool
	// Repeat is what Once found.
	Repeat Repeat
	// Cursor and Era are the workspace's afterwards.
	Cursor int64
	Era    string
	// Now is the time by which entries were judged, in milliseconds of the Unix
	// epoch: the server's, which never runs back within a workspace.
	Now int64
	// Clock is the workspace's clock, not behind anything it holds.
	Clock journal.Clock
}

// Taken reports whether none of the entries was refused.
func (o *Outcome) Taken() bool {
	for i := range o.Results {
		if o.Results[i].Admitted == journal.Refused {
			return false
		}
	}
	return true
}

// Result is what became of one entry.
type Result struct {
	Admitted journal.Admitted
	// Refusal says why the entry was refused, nil otherwise.
	Refusal *journal.Refusal
	// Cursor is the number of the change, 0 if the entry was not taken now.
	Cursor int64
}

// Once makes a request that is sent twice happen once. The answer is kept in the
// same transaction as the change.
type Once struct {
	// Key names the request among those of the same actor.
	Key string
	// Fingerprint is a digest of the request, so that another request under the
	// same key is noticed.
	Fingerprint [32]byte
	// Expires is when the answer may be forgotten.
	Expires time.Time
	// Answer makes the answer that is kept. It must depend on nothing but the
	// outcome: it may be asked more than once.
	Answer func(Outcome) Answer
}

// Answer is the answer to a request.
type Answer struct {
	Status int
	Body   []byte
}

// Repeat is what is known of a request that was perhaps sent before. If either
// is set, nothing happened.
type Repeat struct {
	// Answer is the answer given then, nil if the request is new.
	Answer *Answer
	// Other says that the key was used for another request.
	Other bool
}

// Found reports whether the key was used before.
func (r Repeat) Found() bool { return r.Answer != nil || r.Other }

// Erase asks to erase what a document holds at and under a path. "" is all of it.
type Erase struct {
	// ID is a UUID of version 7; asking twice with one id erases once.
	ID, Doc, Path string
	// Reason is kept with the record.
	Reason string
	Actor  string
	At     time.Time
}

// Erased is what became of an Erase.
type Erased struct {
	// Refusal says why the request is not possible, nil if it was done.
	Refusal *journal.Refusal
	// Entries counts the entries that were erased.
	Entries int64
	Cursor  int64
	// Clean reports whether the values have left the disk's files as well.
	// Otherwise a reader or a full disk was in the way; the next erasure or start
	// of the store tries again.
	Clean bool
}

// Page is a run of changes.
type Page struct {
	Changes []Change
	// Cursor is where to go on: the number of the last change, or the one asked
	// from when there is none.
	Cursor int64
	// Newest is the workspace's cursor. Where it is less than the one asked
	// from, the reader belongs to another era.
	Newest int64
	Era    string
}

// Change is one change of a workspace: an entry or an erasure.
type Change struct {
	Cursor int64
	// Entry or Erasure is set.
	Entry   *journal.Entry
	Erasure *journal.Erasure
	Actor   string
	// Received is the server's time in UTC, to the microsecond.
	Received time.Time
}

// Document is what a document's entries make of it.
type Document struct {
	// Doc is "<kind>/<id>".
	Doc string
	// Name is the document's own member name, where that is a string.
	Name string
	// Value is the document as journal.Fold makes it, nil when it was removed.
	Value []byte
	// Version is the number of the document's newest change.
	Version int64
	// Created and Updated are when its first and its newest change were received.
	Created, Updated time.Time
}
