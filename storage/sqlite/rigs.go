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
	err := s.change(ctx, "keep the rig", func(c *change) (err error) {
		kept, err = c.putRig(d, at)
		return err
	})
	if err != nil {
		return storage.Rig{}, err
	}
	return kept, nil
}

// Rig is part of storage.Store.
func (s *Store) Rig(ctx context.Context, id string) (storage.Rig, bool, error) {
	var r storage.Rig
	var found bool
	err := s.snapshot(ctx, "read the rig", func(ctx context.Context, tx *sql.Tx) (err error) {
		r, found, err = findRig(reader{ctx, tx}, id)
		return err
	})
	return r, found, err
}

// Rigs is part of storage.Store.
func (s *Store) Rigs(ctx context.Context) ([]storage.Summary, error) {
	var all []storage.Summary
	rows, err := s.read.QueryContext(ctx, "SELECT id, name, revision FROM rig ORDER BY name, id")
	err = each(rows, err, func(rows *sql.Rows) error {
		var r storage.Summary
		err := rows.Scan(&r.ID, &r.Name, &r.Revision)
		all = append(all, r)
		return err
	})
	return all, s.fail("list the rigs", err)
}

func (c *change) putRig(d storage.Draft, at time.Time) (storage.Rig, error) {
	old, found, err := findRig(c, d.ID)
	if err != nil || found && old.Equal(d) {
		return old, err
	}
	at = at.UTC().Truncate(time.Microsecond)
	r := storage.Rig{Draft: d, Created: at, Updated: at, Revision: 1}
	if found {
		r.Created, r.Revision = old.Created, old.Revision+1
	}
	_, err = c.exec(`INSERT INTO rig (id, name, document, trip, created_us, updated_us, revision) VALUES (?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, document = excluded.document, trip = excluded.trip,
			updated_us = excluded.updated_us, revision = excluded.revision`,
		r.ID, r.Name, string(r.Document), string(r.Trip), r.Created.UnixMicro(), r.Updated.UnixMicro(), r.Revision)
	return r, err
}

func findRig(run runner, id string) (storage.Rig, bool, error) {
	r := storage.Rig{Draft: storage.Draft{ID: id}}
	var document, trip string
	var created, updated int64
	err := run.row([]any{&r.Name, &document, &trip, &created, &updated, &r.Revision},
		"SELECT name, document, trip, created_us, updated_us, revision FROM rig WHERE id = ?", id)
	if errors.Is(err, sql.ErrNoRows) {
		return storage.Rig{}, false, nil
	}
	if err != nil {
		return storage.Rig{}, false, err
	}
	r.Document, r.Trip = []byte(document), []byte(trip)
	r.Created, r.Updated = fromMicro(created), fromMicro(updated)
	return r, true, nil
}
