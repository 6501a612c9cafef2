package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"pintail/api/journal"
	"pintail/storage"
)

// Erase is part of storage.Workspace. After the commit every page of the file is
// written anew and the log emptied, so that no free page, slack or frame of the
// log keeps a value; what the disk itself keeps of blocks it has given back is
// beyond a program's reach. The writer waits meanwhile.
func (s *space) Erase(ctx context.Context, e storage.Erase) (storage.Erased, error) {
	var out storage.Erased
	clean, err := s.submit(ctx, "erase", func(c *change, r *row) (err error) {
		out = storage.Erased{}
		r.tick(e.At)
		x := journal.Erasure{ID: e.ID, Doc: e.Doc, Path: e.Path, UpTo: r.clock, At: r.clock.Next(r.now), Device: storage.ServerDevice, Reason: e.Reason}
		if out.Refusal = refuseErasure(&x); out.Refusal != nil {
			return nil
		}
		out.Cursor, err = r.erasedBefore(e.ID)
		if err == nil && out.Cursor == 0 {
			err = r.erase(&x, e.Actor, e.At, &out)
		}
		c.clean = true
		return err
	})
	if err != nil {
		return storage.Erased{}, err
	}
	out.Clean = clean
	return out, nil
}

// refuseErasure holds an erasure to the rules of an entry that removes.
func refuseErasure(x *journal.Erasure) *journal.Refusal {
	e := journal.Entry{ID: x.ID, Doc: x.Doc, Path: x.Path, Removed: true, At: x.At, Device: x.Device}
	if r := e.Check(); r != nil {
		return r
	}
	if _, _, ok := storage.Doc(x.Doc); !ok {
		return &journal.Refusal{Reason: journal.BadEntry, Pointer: "/doc", Detail: "want <kind>/<id>"}
	}
	return nil
}

func (r *row) erasedBefore(id string) (cursor int64, err error) {
	err = r.row([]any{&cursor}, "SELECT cursor FROM erasure WHERE workspace = ?1 AND id = ?2", id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, nil
	}
	return cursor, err
}

func (r *row) erase(x *journal.Erasure, actor string, at time.Time, out *storage.Erased) (err error) {
	r.c.w.registers.drop(docKey{r.workspace, x.Doc})
	out.Cursor = r.next()
	_, err = r.exec(`INSERT INTO erasure (workspace, cursor, id, doc, path, upto_wall, upto_counter, wall, counter, device, reason, actor, received_us, clean)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, 0)`,
		out.Cursor, x.ID, x.Doc, x.Path, x.UpTo.Wall, x.UpTo.Counter, x.At.Wall, x.At.Counter, x.Device, x.Reason, actor, micro(at))
	if err != nil {
		return err
	}
	r.clock = r.clock.Seen(x.At)
	// UpTo is the greatest time there is, so the path alone decides.
	out.Entries, err = r.exec("DELETE FROM entry WHERE workspace = ?1 AND doc = ?2 AND (path = ?3 OR substr(path, 1, length(?3) + 1) = ?3 || '/')", x.Doc, x.Path)
	if err != nil {
		return err
	}
	if _, err := r.exec("DELETE FROM answer WHERE workspace = ?1"); err != nil {
		return err
	}
	return r.fold(x.Doc, out.Cursor, at)
}
