package sqlite

import (
	"context"
	"database/sql"
	"errors"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/journal"
	"pintail/storage"
)

// maxPageBytes is how large the values of a page grow before it ends.
const maxPageBytes = 4 << 20

// About is part of storage.Workspace.
func (s *space) About(ctx context.Context) (a storage.About, err error) {
	err = s.look(ctx, "read the workspace", func(sc scope) error {
		var created int64
		err := sc.row([]any{&a.ID, &a.Name, &created, &a.Era, &a.Cursor}, "SELECT id, name, created_us, era, cursor FROM workspace WHERE number = ?1")
		a.Created = fromMicro(created)
		return err
	})
	return a, err
}

// Since is part of storage.Workspace.
func (s *space) Since(ctx context.Context, after int64, limit int) (storage.Page, error) {
	if err := checkLimit(limit); err != nil {
		return storage.Page{}, err
	}
	page := storage.Page{Cursor: after}
	err := s.look(ctx, "read the changes", func(sc scope) error {
		if err := sc.row([]any{&page.Newest, &page.Era}, "SELECT cursor, era FROM workspace WHERE number = ?1"); err != nil {
			return err
		}
		bytes := 0
		rows, err := sc.rows("SELECT "+changeColumns+" FROM entry WHERE workspace = ?1 AND cursor > ?2 UNION ALL SELECT "+erasureColumns+
			" FROM erasure WHERE workspace = ?1 AND cursor > ?2 ORDER BY cursor LIMIT ?3", after, limit)
		return each(rows, err, func(rows *sql.Rows) error {
			if bytes > maxPageBytes {
				return nil
			}
			c, err := scanChange(rows)
			if err != nil {
				return err
			}
			if c.Entry != nil {
				bytes += len(c.Entry.Value)
			}
			page.Changes, page.Cursor = append(page.Changes, c), c.Cursor
			return nil
		})
	})
	if err != nil {
		return storage.Page{}, err
	}
	return page, nil
}

func checkLimit(limit int) error {
	if limit < 1 || limit > storage.MaxPage {
		return invalid("a limit is 1 to 1000")
	}
	return nil
}

// The columns of a change, the same in number for both of its kinds.
const (
	changeColumns  = "cursor, id, doc, path, value, wall, counter, device, actor, received_us, NULL AS upto_wall, NULL AS upto_counter, NULL AS reason"
	erasureColumns = "cursor, id, doc, path, NULL, wall, counter, device, actor, received_us, upto_wall, upto_counter, reason"
)

func scanChange(rows *sql.Rows) (storage.Change, error) {
	var c storage.Change
	var id, doc, path, device string
	var value, reason sql.Null[string]
	var at journal.Clock
	var received int64
	var wall, counter sql.Null[int64]
	if err := rows.Scan(&c.Cursor, &id, &doc, &path, &value, &at.Wall, &at.Counter, &device, &c.Actor, &received, &wall, &counter, &reason); err != nil {
		return storage.Change{}, err
	}
	c.Received = fromMicro(received)
	if wall.Valid {
		c.Erasure = &journal.Erasure{ID: id, Doc: doc, Path: path, UpTo: journal.Clock{Wall: wall.V, Counter: counter.V}, At: at, Device: device, Reason: reason.V}
		return c, nil
	}
	c.Entry = &journal.Entry{ID: id, Doc: doc, Path: path, Removed: !value.Valid, At: at, Device: device}
	if value.Valid {
		c.Entry.Value = jsontext.Value(value.V)
	}
	return c, nil
}

// Versions is part of storage.Workspace.
func (s *space) Versions(ctx context.Context, doc string) (v storage.Versions, err error) {
	err = s.look(ctx, "read the document's changes", func(sc scope) error {
		v, err = versions(sc, doc)
		return err
	})
	return v, err
}

func versions(sc scope, doc string) (v storage.Versions, err error) {
	// The indexes are named because the order tempts the planner to read the whole
	// workspace by cursor instead.
	rows, err := sc.rows("SELECT "+changeColumns+" FROM entry INDEXED BY entry_doc WHERE workspace = ?1 AND doc = ?2 UNION ALL SELECT "+erasureColumns+
		" FROM erasure INDEXED BY erasure_doc WHERE workspace = ?1 AND doc = ?2 ORDER BY cursor", doc)
	err = each(rows, err, func(rows *sql.Rows) error {
		c, err := scanChange(rows)
		v = append(v, c)
		return err
	})
	return v, err
}

// Document is part of storage.Workspace.
func (s *space) Document(ctx context.Context, doc string) (d storage.Document, found bool, err error) {
	err = s.look(ctx, "read the document", func(sc scope) error {
		d, found, err = findDocument(sc, doc)
		return err
	})
	return d, found, err
}

func findDocument(sc scope, doc string) (storage.Document, bool, error) {
	d := storage.Document{Doc: doc}
	var created, updated int64
	var value sql.Null[string]
	err := sc.row([]any{&d.Name, &d.Version, &created, &updated, &value}, "SELECT name, version, created_us, updated_us, value FROM document WHERE workspace = ?1 AND doc = ?2", doc)
	if errors.Is(err, sql.ErrNoRows) {
		return storage.Document{}, false, nil
	}
	if err != nil {
		return storage.Document{}, false, err
	}
	d.Created, d.Updated = fromMicro(created), fromMicro(updated)
	if value.Valid {
		d.Value = []byte(value.V)
	}
	return d, true, nil
}

// Documents is part of storage.Workspace.
func (s *space) Documents(ctx context.Context, kind, after string, limit int) ([]storage.Document, error) {
	return s.documents(ctx, "NULL", kind, after, limit)
}

// Values is part of storage.Workspace.
func (s *space) Values(ctx context.Context, kind, after string, limit int) ([]storage.Document, error) {
	return s.documents(ctx, "value", kind, after, limit)
}

// documents lists documents, with the expression given as their value.
func (s *space) documents(ctx context.Context, expression, kind, after string, limit int) (all []storage.Document, err error) {
	if err := checkLimit(limit); err != nil {
		return nil, err
	}
	if !storage.Kind(kind) {
		return nil, invalid("a kind is 1 to 16 of a-z and _")
	}
	err = s.look(ctx, "list the documents", func(sc scope) error {
		// '0' is the character after '/'.
		rows, err := sc.rows(`SELECT doc, name, version, created_us, updated_us, `+expression+` FROM document
			WHERE workspace = ?1 AND doc > ?2 AND doc < ?3 AND value IS NOT NULL ORDER BY doc LIMIT ?4`, kind+"/"+after, kind+"0", limit)
		bytes := 0
		return each(rows, err, func(rows *sql.Rows) error {
			if bytes > maxPageBytes {
				return nil
			}
			var d storage.Document
			var created, updated int64
			var value sql.Null[string]
			err := rows.Scan(&d.Doc, &d.Name, &d.Version, &created, &updated, &value)
			d.Created, d.Updated = fromMicro(created), fromMicro(updated)
			if value.Valid {
				d.Value = []byte(value.V)
			}
			bytes += len(value.V)
			all = append(all, d)
			return err
		})
	})
	return all, err
}
