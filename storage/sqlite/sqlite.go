// Package sqlite is the Store of one file, for a household or a shop.
//
// The file carries an application id, so another program's file is refused, and
// a schema version, so a newer one is refused. It is written ahead (WAL) with
// synchronous=FULL: a call that returned is on the disk. One connection writes;
// several read, and cannot write.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"sync/atomic"
	"time"

	"pintail/storage"
)

// readers is how many connections read at once.
const readers = 4

// Options are what a Store may be told; the zero value is what a server uses.
type Options struct {
	// BusyTimeout is how long to wait for another program that holds the file,
	// five seconds when zero.
	BusyTimeout time.Duration
}

// Store is a storage.Store in one SQLite file.
type Store struct {
	write, read *sql.DB
	closed      atomic.Bool
}

var _ storage.Store = (*Store)(nil)

// Open opens the file, creates it where there is none, and brings it to the
// schema of this program. Its directory must exist. Errors are *storage.Error.
func Open(ctx context.Context, file string, o Options) (*Store, error) {
	if o.BusyTimeout <= 0 {
		o.BusyTimeout = 5 * time.Second
	}
	if err := checkPlace(file); err != nil {
		return nil, err
	}
	if err := probe(ctx, file, o.BusyTimeout); err != nil {
		return nil, err
	}
	s := &Store{write: connect(writerDSN(file, o.BusyTimeout), 1), read: connect(readerDSN(file, o.BusyTimeout), readers)}
	if err := s.start(ctx); err != nil {
		return nil, errors.Join(classify("open "+file, err), s.Close())
	}
	return s, nil
}

func (s *Store) start(ctx context.Context) error {
	if err := checkPragmas(ctx, s.write, writerPragmas); err != nil {
		return err
	}
	if err := inTx(ctx, s.write, migrate); err != nil {
		return err
	}
	return checkPragmas(ctx, s.read, readerPragmas)
}

// Close is part of storage.Store.
func (s *Store) Close() error {
	if s.closed.Swap(true) {
		return nil
	}
	// Readers first: the writer is then the last to leave and folds the log into
	// the file.
	return errors.Join(s.read.Close(), s.write.Close())
}

// Ready is part of storage.Store.
func (s *Store) Ready(ctx context.Context) error {
	var one int
	return s.fail("ask the store", s.read.QueryRowContext(ctx, "SELECT 1 FROM (SELECT count(*) FROM rig)").Scan(&one))
}

// fail classifies an error of a running store.
func (s *Store) fail(doing string, err error) error {
	if err != nil && s.closed.Load() {
		return &storage.Error{Reason: storage.Closed, Detail: "the store is closed"}
	}
	return classify(doing, err)
}

// inTx runs do in one transaction: all of it or nothing.
func inTx(ctx context.Context, db *sql.DB, do func(context.Context, *sql.Tx) error) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := do(ctx, tx); err != nil {
		return errors.Join(err, tx.Rollback())
	}
	return tx.Commit()
}
