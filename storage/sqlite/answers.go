package sqlite

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"time"

	"pintail/storage"
)

// forgotten is how many expired answers one new answer clears away.
const forgotten = 100

// Answered is part of storage.Workspace.
func (s *space) Answered(ctx context.Context, actor string, o storage.Once, at time.Time) (found storage.Repeat, err error) {
	err = s.look(ctx, "look for an answer", func(sc scope) error {
		found, err = findAnswer(sc, actor, o, at)
		return err
	})
	return found, err
}

func findAnswer(sc scope, actor string, o storage.Once, at time.Time) (storage.Repeat, error) {
	var fingerprint []byte
	var a storage.Answer
	err := sc.row([]any{&fingerprint, &a.Status, &a.Body}, "SELECT fingerprint, status, body FROM answer WHERE workspace = ?1 AND actor = ?2 AND key = ?3 AND expires_us > ?4", actor, o.Key, micro(at))
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return storage.Repeat{}, nil
	case err != nil:
		return storage.Repeat{}, err
	case !bytes.Equal(fingerprint, o.Fingerprint[:]):
		return storage.Repeat{Other: true}, nil
	}
	return storage.Repeat{Answer: &a}, nil
}

// keepAnswer keeps the answer and clears away some that have expired.
func (r *row) keepAnswer(actor string, o storage.Once, at time.Time, a storage.Answer) error {
	_, err := r.exec(`DELETE FROM answer WHERE workspace = ?1 AND rowid IN (SELECT rowid FROM answer WHERE workspace = ?1 AND expires_us <= ?2 LIMIT ?3)`, micro(at), forgotten)
	if err != nil {
		return err
	}
	if a.Body == nil {
		a.Body = []byte{} // nil would be NULL
	}
	_, err = r.exec("INSERT OR REPLACE INTO answer (workspace, actor, key, fingerprint, status, body, expires_us) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
		actor, o.Key, o.Fingerprint[:], a.Status, a.Body, micro(o.Expires))
	return err
}
