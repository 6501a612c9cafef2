// Package sqlite is the Store of one file, for a household or a shop.
//
// The file carries an application id, so another program's file is refused, and
// a schema version, so a newer one is refused. It is written ahead (WAL) with
// synchronous=FULL: a call that returned is on the disk. One connection writes;
// several read, and cannot write. Calls that arrive while a transaction is on its
// way to the disk share the next one.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"sync"
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
	writer      *writer
	numbers     sync.Map // id of a workspace to its number, which never changes
	closed      atomic.Bool
}

var _ storage.Store = (*Store)(nil)

// Open opens the file, creates it where there is none, and brings it to the
// schema of this program. Its directory must exist. Errors are *storage.Error.
func Open(ctx context.Context, file string, o Options) (*Store, error) {
	return open(ctx, file, o, writerPragmas)
}

func open(ctx context.Context, file string, o Options, pragmas []pragma) (*Store, error) {
	if o.BusyTimeout <= 0 {
		o.BusyTimeout = 5 * time.Second
	}
	if err := checkPlace(file); err != nil {
		return nil, err
	}
	// SQLite does not wait in every place where two programs that start at once
	// meet: turning to a write-ahead log is one.
	for deadline := time.Now().Add(o.BusyTimeout); ; {
		s, err := try(ctx, file, o.BusyTimeout, pragmas)
		if e := (*storage.Error)(nil); !errors.As(err, &e) || e.Reason != storage.Locked || time.Now().After(deadline) {
			return s, err
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(5 * time.Millisecond):
		}
	}
}

func try(ctx context.Context, file string, busy time.Duration, pragmas []pragma) (*Store, error) {
	if err := probe(ctx, file, busy); err != nil {
		return nil, err
	}
	s := &Store{write: connect(writerDSN(file, busy, pragmas), 1), read: connect(readerDSN(file, busy), readers)}
	if err := s.start(ctx, pragmas); err != nil {
		return nil, errors.Join(classify("open "+file, err), s.Close())
	}
	return s, nil
}

func (s *Store) start(ctx context.Context, pragmas []pragma) error {
	if err := checkPragmas(ctx, s.write, pragmas); err != nil {
		return err
	}
	if err := inTx(ctx, s.write, migrate); err != nil {
		return err
	}
	if err := checkPragmas(ctx, s.read, readerPragmas); err != nil {
		return err
	}
	w, err := newWriter(ctx, s.write)
	if err != nil {
		return err
	}
	s.writer = w
	go w.run()
	return nil
}

// Close is part of storage.Store.
func (s *Store) Close() error {
	if s.closed.Swap(true) {
		return nil
	}
	// Readers first: the writer is then the last to leave and folds the log into
	// the file.
	err := s.read.Close()
	if s.writer != nil {
		err = errors.Join(err, s.writer.close())
	}
	return errors.Join(err, s.write.Close())
}

// Ready is part of storage.Store.
func (s *Store) Ready(ctx context.Context) error {
	var one int
	err := s.read.QueryRowContext(ctx, "SELECT 1 FROM (SELECT count(*) FROM workspace)").Scan(&one)
	if err == nil {
		err = s.writer.healthy()
	}
	return s.fail("ask the store", err)
}

// change runs do in a transaction of the writer, perhaps together with others,
// and returns when it is on the disk. It may run do more than once; only the
// last run counts.
func (s *Store) change(ctx context.Context, doing string, do func(*change) error) error {
	_, err := s.writer.submit(ctx, do)
	return s.fail(doing, err)
}

// snapshot runs do on one state of the store.
func (s *Store) snapshot(ctx context.Context, doing string, do func(context.Context, *sql.Tx) error) error {
	return s.fail(doing, inTx(ctx, s.read, do))
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
