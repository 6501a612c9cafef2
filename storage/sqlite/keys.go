package sqlite

import (
	"context"
	"crypto/rand"
	"database/sql"
	"time"

	"pintail/storage"
)

// AddWorkspace is part of storage.Store.
func (s *Store) AddWorkspace(ctx context.Context, id, name string, at time.Time) error {
	if err := storage.ValidWorkspace(id, name); err != nil {
		return invalid(err.Error())
	}
	return s.change(ctx, "add the workspace", func(c *change) error {
		n, err := c.exec("INSERT INTO workspace (id, name, created_us, era) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING", id, name, micro(at), rand.Text())
		if err == nil && n == 0 {
			return &storage.Error{Reason: storage.Exists, Detail: "there is a workspace " + id + " already"}
		}
		return err
	})
}

// Workspaces is part of storage.Store.
func (s *Store) Workspaces(ctx context.Context) (all []storage.About, err error) {
	rows, err := s.read.QueryContext(ctx, "SELECT id, name, created_us, era, cursor FROM workspace ORDER BY id")
	err = each(rows, err, func(rows *sql.Rows) error {
		var a storage.About
		var created int64
		err := rows.Scan(&a.ID, &a.Name, &created, &a.Era, &a.Cursor)
		a.Created = fromMicro(created)
		all = append(all, a)
		return err
	})
	return all, s.fail("list the workspaces", err)
}

// Key is part of storage.Store.
func (s *Store) Key(ctx context.Context, id string) (storage.Key, bool, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT "+keyColumns+" FROM key JOIN workspace ON number = workspace WHERE key.id = ?", id)
	all, err := scanKeys(rows, err)
	if err != nil || len(all) == 0 {
		return storage.Key{}, false, s.fail("look for the key", err)
	}
	return all[0], true, nil
}

// AnyKey is part of storage.Store.
func (s *Store) AnyKey(ctx context.Context) (found bool, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM key)").Scan(&found)
	return found, s.fail("look for a key", err)
}

// AddKey is part of storage.Workspace.
func (s *space) AddKey(ctx context.Context, k storage.NewKey, at time.Time) error {
	if err := k.Valid(); err != nil {
		return invalid(err.Error())
	}
	_, err := s.submit(ctx, "add the key", func(_ *change, r *row) error {
		n, err := r.exec("INSERT INTO key (workspace, id, name, role, hash, created_us) VALUES (?1, ?2, ?3, ?4, ?5, ?6) ON CONFLICT DO NOTHING",
			k.ID, k.Name, string(k.Role), k.Hash[:], micro(at))
		if err == nil && n == 0 {
			return &storage.Error{Reason: storage.Exists, Detail: "there is a key " + k.ID + " already"}
		}
		return err
	})
	return err
}

// Keys is part of storage.Workspace.
func (s *space) Keys(ctx context.Context) (all []storage.Key, err error) {
	err = s.look(ctx, "list the keys", func(sc scope) error {
		rows, err := sc.rows("SELECT " + keyColumns + " FROM key JOIN workspace ON number = workspace WHERE workspace = ?1 ORDER BY key.created_us, key.id")
		all, err = scanKeys(rows, err)
		return err
	})
	return all, err
}

// RevokeKey is part of storage.Workspace.
func (s *space) RevokeKey(ctx context.Context, id string, at time.Time) (bool, error) {
	var n int64
	_, err := s.submit(ctx, "revoke the key", func(_ *change, r *row) (err error) {
		n, err = r.exec("UPDATE key SET revoked_us = coalesce(revoked_us, ?3) WHERE workspace = ?1 AND id = ?2", id, micro(at))
		return err
	})
	return err == nil && n == 1, err
}

const keyColumns = "key.id, key.name, role, hash, key.created_us, revoked_us, workspace.id"

func scanKeys(rows *sql.Rows, err error) (all []storage.Key, _ error) {
	err = each(rows, err, func(rows *sql.Rows) error {
		var k storage.Key
		var hash []byte
		var created int64
		var revoked sql.Null[int64]
		err := rows.Scan(&k.ID, &k.Name, &k.Role, &hash, &created, &revoked, &k.Workspace)
		copy(k.Hash[:], hash)
		k.Created = fromMicro(created)
		if revoked.Valid {
			k.Revoked = fromMicro(revoked.V)
		}
		all = append(all, k)
		return err
	})
	return all, err
}
