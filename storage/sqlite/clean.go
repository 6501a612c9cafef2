package sqlite

import (
	"context"
	"errors"
)

// afterwards cleans the files if a job of the group asked for it. Whether that
// succeeded is told by the flag it leaves in clean.
func (w *writer) afterwards(group []*job) {
	wanted := false
	for _, j := range group {
		wanted = wanted || j.clean
	}
	if !wanted {
		return
	}
	err := w.cleanFiles(context.Background())
	for _, j := range group {
		j.clean = j.clean && err == nil
	}
}

// cleanLeft cleans up after an erasure whose cleaning was interrupted. That a
// reader or a full disk is in the way again is no reason not to start.
func (w *writer) cleanLeft(ctx context.Context) error {
	var left int
	if err := w.conn.QueryRowContext(ctx, "SELECT count(*) FROM erasure WHERE clean = 0").Scan(&left); err != nil || left == 0 {
		return err
	}
	_ = w.cleanFiles(ctx)
	return nil
}

// errHeld says that a reader kept the log from being emptied.
var errHeld = errors.New("sqlite: a reader holds the log")

// cleanFiles takes deleted values out of the files. secure_delete zeroes a cell
// where it lies, but not the copies that pages keep from when they were split or
// balanced, nor the pages in the log: so every page is written anew, and the log
// emptied.
func (w *writer) cleanFiles(ctx context.Context) error {
	if err := w.exec(ctx, "VACUUM"); err != nil {
		return err
	}
	if err := w.emptyLog(ctx); err != nil {
		return err
	}
	return w.exec(ctx, "UPDATE erasure SET clean = 1 WHERE clean = 0")
}

func (w *writer) emptyLog(ctx context.Context) error {
	var busy, pages, done int
	if err := w.conn.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &done); err != nil {
		return err
	}
	if busy != 0 {
		return errHeld
	}
	return nil
}
