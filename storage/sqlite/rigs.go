package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"pintail/storage"
)

// PutRig is part of storage.Store.
func (s *Store) PutRig(ctx context.Context, d storage.Draft, at time.Time) (storage.Rig, error) {
	if err := d.Valid(); err != nil {
		return storage.Rig{}, &storage.Error{Reason: storage.Invalid, Detail: err.Error()}
	}
	var kept storage.Rig
	err := inTx(ctx, s.write, func(ctx context.Context, tx *sql.Tx) (err error) {
		kept, err = putRig(ctx, tx, d, at)
		return err
	})
	if err != nil {
		return storage.Rig{}, s.fail("keep the rig", err)
	}
	return kept, nil
}

// Rig is part of storage.Store.
func (s *Store) Rig(ctx context.Context, id string) (storage.Rig, bool, error) {
	r, found, err := findRig(ctx, s.read, id)
	return r, found, s.fail("read the rig", err)
}

// Rigs is part of storage.Store.
func (s *Store) Rigs(ctx context.Context) ([]storage.Summary, error) {
	all, err := listRigs(ctx, s.read)
	return all, s.fail("list the rigs", err)
}

// queryer is what a transaction and a pool have in common.
type queryer interface {
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
	QueryRowContext(context.Context, string, ...any) *sql.Row
}

func putRig(ctx context.Context, tx *sql.Tx, d storage.Draft, at time.Time) (storage.Rig, error) {
	old, found, err := findRig(ctx, tx, d.ID)
	if err != nil || found && old.Equal(d) {
		return old, err
	}
	at = at.UTC().Truncate(time.Microsecond)
	r := storage.Rig{Draft: d, Created: at, Updated: at, Revision: 1}
	if found {
		r.Created, r.Revision = old.Created, old.Revision+1
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO rig (id, name, document, trip, created_us, updated_us, revision) VALUES (?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, document = excluded.document, trip = excluded.trip,
			updated_us = excluded.updated_us, revision = excluded.revision`,
		r.ID, r.Name, string(r.Document), string(r.Trip), r.Created.UnixMicro(), r.Updated.UnixMicro(), r.Revision)
	return r, err
}

func findRig(ctx context.Context, q queryer, id string) (storage.Rig, bool, error) {
	r := storage.Rig{Draft: storage.Draft{ID: id}}
	var document, trip string
	var created, updated int64
	err := q.QueryRowContext(ctx, "SELECT name, document, trip, created_us, updated_us, revision FROM rig WHERE id = ?", id).
		Scan(&r.Name, &document, &trip, &created, &updated, &r.Revision)
	if errors.Is(err, sql.ErrNoRows) {
		return storage.Rig{}, false, nil
	}
	if err != nil {
		return storage.Rig{}, false, err
	}
	r.Document, r.Trip = []byte(document), []byte(trip)
	r.Created, r.Updated = time.UnixMicro(created).UTC(), time.UnixMicro(updated).UTC()
	return r, true, nil
}

func listRigs(ctx context.Context, q queryer) (all []storage.Summary, err error) {
	rows, err := q.QueryContext(ctx, "SELECT id, name, revision FROM rig ORDER BY name, id")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var r storage.Summary
		if err := rows.Scan(&r.ID, &r.Name, &r.Revision); err != nil {
			return nil, err
		}
		all = append(all, r)
	}
	return all, rows.Err()
}
