package sqlite

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"pintail/storage"
)

// applicationID marks our files: the ASCII letters "ptal".
const applicationID = 'p'<<24 | 't'<<16 | 'a'<<8 | 'l'

// checkPlace looks at the file and its directory before SQLite does, because it
// can say more plainly what is wrong.
func checkPlace(file string) error {
	if err := checkDirectory(file); err != nil {
		return err
	}
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return &storage.Error{Reason: storage.Failed, Detail: "the file " + file + " cannot be read", Err: err}
	case !info.Mode().IsRegular():
		return &storage.Error{Reason: storage.Foreign, Detail: file + " is not a file"}
	case info.Mode().Perm()&0o222 == 0:
		// Said here because the superuser could write it all the same.
		return readOnly(file)
	}
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrPermission) {
		return readOnly(file)
	}
	if err != nil {
		return &storage.Error{Reason: storage.Failed, Detail: "the file " + file + " cannot be opened", Err: err}
	}
	return f.Close()
}

// checkDirectory says what is wrong with the directory of a file.
func checkDirectory(file string) error {
	dir := filepath.Dir(file)
	switch info, err := os.Stat(dir); {
	case errors.Is(err, fs.ErrNotExist):
		return &storage.Error{Reason: storage.NoDirectory, Detail: "the directory " + dir + " does not exist"}
	case err != nil:
		return &storage.Error{Reason: storage.Failed, Detail: "the directory " + dir + " cannot be read", Err: err}
	case !info.IsDir():
		return &storage.Error{Reason: storage.NoDirectory, Detail: dir + " is not a directory"}
	}
	return nil
}

// checkThere says what is wrong with a file that is to be read.
func checkThere(file string) error {
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &storage.Error{Reason: storage.NoFile, Detail: "there is no file " + file}
	case err != nil:
		return &storage.Error{Reason: storage.Failed, Detail: "the file " + file + " cannot be read", Err: err}
	case !info.Mode().IsRegular() || info.Size() == 0:
		return &storage.Error{Reason: storage.Foreign, Detail: file + " is not a database"}
	}
	return nil
}

func readOnly(file string) error {
	return &storage.Error{Reason: storage.ReadOnly, Detail: "the file " + file + " may not be written; change its permissions or choose another with --data"}
}

// probe refuses a file that is not ours before anything in it is changed; even
// the switch to a write-ahead log would be a change.
func probe(ctx context.Context, file string, busy time.Duration) error {
	if info, err := os.Stat(file); err != nil || info.Size() == 0 {
		return nil // nothing there to protect
	}
	db := connect(probeDSN(file, busy), 1)
	var id, version, objects int64
	err := db.QueryRowContext(ctx, "SELECT (SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version), (SELECT count(*) FROM sqlite_schema)").
		Scan(&id, &version, &objects)
	if err := errors.Join(err, db.Close()); err != nil {
		return classify("open "+file, err)
	}
	switch {
	case id == 0 && version == 0 && objects == 0:
		return nil // an empty database
	case id != applicationID:
		return &storage.Error{Reason: storage.Foreign, Detail: file + " is a database of another program; choose another file with --data"}
	case version > int64(len(migrations())):
		return tooNew(version)
	}
	return nil
}

func tooNew(version int64) error {
	return &storage.Error{Reason: storage.TooNew, Detail: fmt.Sprintf("the file was written by a newer version of this program (schema %d, this one knows %d); use that version", version, len(migrations()))}
}
