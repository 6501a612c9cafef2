package sqlite

import (
	"context"
	"errors"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"pintail/storage"
)

// classify turns an error of the driver into one of the store, by its code.
func classify(doing string, err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	if s := (*storage.Error)(nil); errors.As(err, &s) {
		return s
	}
	r, says := storage.Failed, "the database failed"
	if s := (*sqlite.Error)(nil); errors.As(err, &s) {
		r, says = reason(s.Code())
	}
	return &storage.Error{Reason: r, Detail: doing + ": " + says, Err: err}
}

// reason reads a result code; the low byte is the primary one.
// Source: https://sqlite.org/rescode.html
func reason(code int) (storage.Reason, string) {
	switch code & 0xff {
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		return storage.Locked, "another program holds the file; close it and try again"
	case lib.SQLITE_READONLY, lib.SQLITE_PERM, lib.SQLITE_CANTOPEN:
		return storage.ReadOnly, "the file or its directory may not be written; change the permissions or choose another file with --data"
	case lib.SQLITE_CORRUPT:
		return storage.Corrupt, "the file is damaged; restore it from a backup"
	case lib.SQLITE_NOTADB:
		return storage.Foreign, "the file is not a database; choose another with --data"
	case lib.SQLITE_FULL:
		return storage.Full, "no room left on the disk"
	case lib.SQLITE_CONSTRAINT, lib.SQLITE_TOOBIG, lib.SQLITE_MISMATCH:
		return storage.Invalid, "the database refuses this value"
	}
	return storage.Failed, "the database failed"
}
