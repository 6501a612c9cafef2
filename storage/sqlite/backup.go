package sqlite

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"pintail/storage"
)

// Backup copies the database in from to a new file to, as it is at one moment,
// while a server may go on using it. It returns the report of checking the copy.
// The copy is whole and on the disk when Backup returns without an error, and
// not there otherwise. A file at to is refused with the reason Exists unless
// overwrite is set.
func Backup(ctx context.Context, from, to string, overwrite bool) (Report, error) {
	if err := checkThere(from); err != nil {
		return Report{}, err
	}
	if err := probe(ctx, from, checkBusy); err != nil {
		return Report{}, err
	}
	if err := checkDirectory(to); err != nil {
		return Report{}, err
	}
	if err := checkFree(to, overwrite); err != nil {
		return Report{}, err
	}
	part := beside(to, "part")
	defer os.Remove(part)
	if err := copyDatabase(ctx, from, part); err != nil {
		return Report{}, err
	}
	report, err := Check(ctx, part)
	report.File = to
	if err != nil {
		return report, err
	}
	if !report.Clean() {
		return report, &storage.Error{Reason: storage.Corrupt, Detail: from + " is damaged and was not copied: " + report.Problems[0]}
	}
	return report, classify("write "+to, place(part, to, overwrite))
}

// Restored is what Restore did.
type Restored struct {
	Report
	// Kept is where the file that was there before is now, "" if there was none.
	Kept string
}

// Restore makes the backup in from the database in to. The server must not be
// running: a file in use is refused with the reason Locked. A backup that is
// another program's, a newer version's or damaged is refused and changes nothing.
// A database at to is refused with the reason Exists unless replace is set, and is
// then kept beside it under a name that says when. The restored store begins a
// new era (see storage.About): phones offer again what the backup had not seen.
func Restore(ctx context.Context, from, to string, replace bool, now time.Time) (Restored, error) {
	var out Restored
	report, err := Check(ctx, from)
	if err != nil {
		return out, err
	}
	if !report.Clean() {
		return out, &storage.Error{Reason: storage.Corrupt, Detail: "the backup " + from + " is damaged: " + report.Problems[0]}
	}
	if err := checkTarget(ctx, from, to, replace); err != nil {
		return out, err
	}
	part := beside(to, "part")
	defer os.Remove(part)
	if err := copyDatabase(ctx, from, part); err != nil {
		return out, err
	}
	if err := newEra(ctx, part); err != nil {
		return out, err
	}
	if out.Kept, err = setAside(ctx, to, now); err != nil {
		return out, err
	}
	if err := place(part, to, false); err != nil {
		return out, classify("write "+to, err)
	}
	out.Report, err = Check(ctx, to)
	return out, err
}

// checkTarget refuses what must not be replaced.
func checkTarget(ctx context.Context, from, to string, replace bool) error {
	if err := checkDirectory(to); err != nil {
		return err
	}
	if err := checkFree(to, replace); err != nil {
		return err
	}
	a, errA := os.Stat(from)
	b, errB := os.Stat(to)
	if errA == nil && errB == nil && os.SameFile(a, b) {
		return invalid("the backup and the database are the same file")
	}
	err := probe(ctx, to, checkBusy)
	if e := (*storage.Error)(nil); errors.As(err, &e) && e.Reason == storage.Corrupt {
		return nil // that may be why a backup is restored
	}
	return err
}

// copyDatabase writes one state of a database to a new file and to the disk.
func copyDatabase(ctx context.Context, from, to string) error {
	if f, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600); err != nil {
		return unwritable(to, err)
	} else if err := f.Close(); err != nil {
		return unwritable(to, err)
	}
	db := connect(probeDSN(from, checkBusy), 1)
	_, err := db.ExecContext(ctx, "VACUUM INTO ?", to)
	if err := errors.Join(err, db.Close()); err != nil {
		return classify("copy "+from, err)
	}
	return classify("copy "+from, syncFile(to))
}

// newEra brings the file to the schema of this program and marks its cursors as
// new ones.
func newEra(ctx context.Context, file string) error {
	s, err := Open(ctx, file, Options{})
	if err != nil {
		return err
	}
	err = s.change(ctx, "begin a new era", func(c *change) error {
		_, err := c.exec("UPDATE workspace SET era = ?", rand.Text())
		return err
	})
	return errors.Join(err, s.Close())
}

// setAside moves the database out of the way, with its log if it has one.
func setAside(ctx context.Context, file string, now time.Time) (kept string, err error) {
	if _, err := os.Lstat(file); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err := alone(ctx, file); err != nil {
		return "", err
	}
	kept = freeName(file + ".before-restore-" + now.UTC().Format("20060102T150405Z"))
	for _, suffix := range []string{"-wal", "-shm", ""} {
		if err := os.Rename(file+suffix, kept+suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", unwritable(file, err)
		}
	}
	return kept, nil
}

// alone folds the log into the file, which SQLite does only for a program that
// has the file to itself. A damaged file is nobody's.
func alone(ctx context.Context, file string) error {
	db := connect(dsn(file, map[string][]string{"mode": {"rw"}}, time.Second, nil), 1)
	var mode string
	err := db.QueryRowContext(ctx, "PRAGMA journal_mode = DELETE").Scan(&mode)
	err = classify("replace "+file, errors.Join(err, db.Close()))
	if e := (*storage.Error)(nil); errors.As(err, &e) && e.Reason == storage.Corrupt {
		return nil
	}
	if err == nil && mode != "delete" {
		err = &storage.Error{Reason: storage.Locked, Detail: file + " is in use; stop the server first"}
	}
	return err
}

// place gives a finished file its name.
func place(part, to string, overwrite bool) error {
	var err error
	if overwrite {
		err = os.Rename(part, to)
	} else if err = os.Link(part, to); err != nil && !errors.Is(err, fs.ErrExist) {
		// A file system without links: the name was free a moment ago.
		err = os.Rename(part, to)
	}
	if errors.Is(err, fs.ErrExist) {
		return exists(to)
	}
	if err != nil {
		return unwritable(to, err)
	}
	return syncDirectory(filepath.Dir(to))
}

// beside is a name for a file in the making, in the same directory.
func beside(file, kind string) string { return file + "." + kind + "-" + rand.Text()[:8] }

func freeName(name string) string {
	free := name
	for i := 2; ; i++ {
		if _, err := os.Lstat(free); errors.Is(err, fs.ErrNotExist) {
			return free
		}
		free = fmt.Sprintf("%s-%d", name, i)
	}
}

func checkFree(file string, overwrite bool) error {
	info, err := os.Lstat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return unwritable(file, err)
	case !info.Mode().IsRegular():
		return &storage.Error{Reason: storage.Foreign, Detail: file + " is not a file"}
	case !overwrite:
		return exists(file)
	}
	return nil
}

func exists(file string) error {
	return &storage.Error{Reason: storage.Exists, Detail: "there is a file " + file + " already; it is replaced only when told so"}
}

func unwritable(file string, err error) error {
	r := storage.ReadOnly
	if !errors.Is(err, fs.ErrPermission) {
		r = storage.Failed
	}
	return &storage.Error{Reason: r, Detail: "the file " + file + " cannot be written", Err: err}
}

func syncFile(file string) error {
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncDirectory makes a new name survive a loss of power, where the system can.
func syncDirectory(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	// Windows cannot sync a directory, and keeps names by itself.
	_ = f.Sync()
	return f.Close()
}
