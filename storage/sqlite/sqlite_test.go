package sqlite_test

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/journal"
	"pintail/storage"
	"pintail/storage/sqlite"
	"pintail/storage/storetest"
)

type place string

func (p place) Open(tb testing.TB) storage.Store {
	tb.Helper()
	return mustOpen(tb, string(p))
}

func mustOpen(tb testing.TB, file string) *sqlite.Store {
	tb.Helper()
	s, err := sqlite.Open(tb.Context(), file, sqlite.Options{})
	if err != nil {
		tb.Fatalf("Open: %v", err)
	}
	return s
}

func TestStore(t *testing.T) {
	storetest.Run(t, func(tb testing.TB) storetest.Place {
		return place(filepath.Join(tb.TempDir(), "pintail.db"))
	})
}

// TestOddNames opens files whose names mean something in a URI.
func TestOddNames(t *testing.T) {
	for _, name := range []string{"a b.db", "100%.db", "a?mode=ro.db", "a#b.db", "ü&_pragma=x.db", "a;b'c.db"} {
		file := filepath.Join(t.TempDir(), name)
		s := mustOpen(t, file)
		if err := s.Close(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := os.Stat(file); err != nil {
			t.Errorf("the file was written elsewhere: %v", err)
		}
	}
}

// raw opens a file with the driver alone and runs statements on it.
func raw(t *testing.T, file string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatalf("%s: %v", s, err)
		}
	}
}

// kept is a closed database file with one document in it, too large for one page.
func kept(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "pintail.db")
	s := mustOpen(t, file)
	mustAppend(t, s, storetest.Entry(1, "rig/a", "/note", `"`+strings.Repeat("x", 50_000)+`"`, 0))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestOpenRefuses(t *testing.T) {
	for name, test := range map[string]struct {
		file   func(t *testing.T) string
		reason storage.Reason
		says   string
	}{
		"NoDirectory": {func(t *testing.T) string { return filepath.Join(t.TempDir(), "none", "pintail.db") }, storage.NoDirectory, "does not exist"},
		"DirectoryIsFile": {func(t *testing.T) string {
			return filepath.Join(kept(t), "pintail.db")
		}, storage.NoDirectory, "is not a directory"},
		"IsDirectory": {func(t *testing.T) string { return t.TempDir() }, storage.Foreign, "is not a file"},
		"ReadOnlyFile": {func(t *testing.T) string {
			file := kept(t)
			if err := os.Chmod(file, 0o444); err != nil {
				t.Fatal(err)
			}
			return file
		}, storage.ReadOnly, "may not be written"},
		"NotADatabase": {func(t *testing.T) string {
			file := filepath.Join(t.TempDir(), "letter.txt")
			if err := os.WriteFile(file, bytes.Repeat([]byte("Dear fitter, "), 200), 0o600); err != nil {
				t.Fatal(err)
			}
			return file
		}, storage.Foreign, "not a database"},
		"AnotherProgram": {func(t *testing.T) string {
			file := filepath.Join(t.TempDir(), "other.db")
			raw(t, file, "CREATE TABLE song (title TEXT)")
			return file
		}, storage.Foreign, "another program"},
		"AnotherApplicationID": {func(t *testing.T) string {
			file := filepath.Join(t.TempDir(), "other.db")
			raw(t, file, "PRAGMA application_id = 7", "CREATE TABLE workspace (id TEXT)")
			return file
		}, storage.Foreign, "another program"},
		"AnotherProgramWAL": {func(t *testing.T) string {
			file := filepath.Join(t.TempDir(), "other.db")
			raw(t, file, "PRAGMA journal_mode = WAL", "CREATE TABLE song (title TEXT)")
			return file
		}, storage.Foreign, "another program"},
		"NewerSchema": {func(t *testing.T) string {
			file := kept(t)
			raw(t, file, "PRAGMA user_version = 1000")
			return file
		}, storage.TooNew, "newer version"},
		"TornSchema": {func(t *testing.T) string {
			file := kept(t)
			damage(t, file, 100, 300)
			return file
		}, storage.Corrupt, "damaged"},
		"CutShort": {func(t *testing.T) string {
			file := kept(t)
			if err := os.Truncate(file, 4096+100); err != nil {
				t.Fatal(err)
			}
			return file
		}, storage.Corrupt, "damaged"},
	} {
		t.Run(name, func(t *testing.T) {
			file := test.file(t)
			before, _ := os.ReadFile(file)
			s, err := sqlite.Open(t.Context(), file, sqlite.Options{BusyTimeout: 10 * time.Millisecond})
			if err == nil {
				t.Fatalf("opened; Close: %v", s.Close())
			}
			mustBe(t, err, test.reason, test.says)
			if after, _ := os.ReadFile(file); !bytes.Equal(before, after) {
				t.Error("the refused file was changed")
			}
		})
	}
}

func mustBe(t *testing.T, err error, reason storage.Reason, says string) {
	t.Helper()
	e := (*storage.Error)(nil)
	if !errors.As(err, &e) {
		t.Fatalf("error %v is no storage.Error", err)
	}
	if e.Reason != reason || !strings.Contains(e.Error(), says) {
		t.Fatalf("reason %s: %v\nwant %s with %q", e.Reason, e, reason, says)
	}
}

func damage(t *testing.T, file string, at int64, n int) {
	t.Helper()
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.WriteAt(bytes.Repeat([]byte{0xA5}, n), at); err != nil {
		t.Fatal(err)
	}
}

func TestOpenLocked(t *testing.T) {
	file := kept(t)
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, q := range []string{"PRAGMA locking_mode = EXCLUSIVE", "BEGIN EXCLUSIVE", "UPDATE workspace SET name = 'B'"} {
		if _, err := db.Exec(q); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
	}
	_, err = sqlite.Open(t.Context(), file, sqlite.Options{BusyTimeout: 20 * time.Millisecond})
	mustBe(t, err, storage.Locked, "another program holds the file")
}

// reading holds a read of the file's present state open until release is called.
func reading(t *testing.T, file string) (release func()) {
	t.Helper()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	var n int
	if err := tx.QueryRow("SELECT count(*) FROM entry").Scan(&n); err != nil {
		t.Fatal(err)
	}
	return func() {
		if err := errors.Join(tx.Rollback(), db.Close()); err != nil {
			t.Error(err)
		}
	}
}

// TestFull fills the disk: what does not fit is refused whole, what fits is
// still taken, even of calls that share a commit, and all else stays.
func TestFull(t *testing.T) {
	file := filepath.Join(t.TempDir(), "pintail.db")
	s, err := sqlite.OpenAtMost(t.Context(), file, "120")
	if err != nil {
		t.Fatal(err)
	}
	w := s.In(storage.Default)
	large := func(n int) (err error) {
		out, err := w.Append(t.Context(), storage.Append{At: noon, Entries: []journal.Entry{storetest.Entry(n, fmt.Sprint("rig/r", n), "/x", `"`+strings.Repeat("x", 60_000)+`"`, 0)}})
		if err == nil && !out.Taken() {
			t.Errorf("refused: %+v", out.Results[0].Refusal)
		}
		return err
	}
	n := 0
	for err == nil {
		if n++; n > 100 {
			t.Fatal("it never filled up")
		}
		err = large(n)
	}
	mustBe(t, err, storage.Full, "no room left")
	if n < 2 {
		t.Fatal("it was full from the start")
	}
	var wg sync.WaitGroup
	for i := range 20 {
		wg.Go(func() {
			if i%4 == 0 {
				if err := large(1000 + i); err == nil {
					t.Error("a large one fitted after all")
				}
				return
			}
			mustAppend(t, s, storetest.Entry(2000+i, "rig/small", fmt.Sprint("/x", i), "1", 0))
		})
	}
	wg.Wait()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if r := mustBeClean(t, file); r.Entries != int64(n-1+15) {
		t.Errorf("%d entries kept, want %d large and 15 small", r.Entries, n-1)
	}
	s = mustOpen(t, file)
	defer s.Close()
	mustAppend(t, s, storetest.Entry(n, fmt.Sprint("rig/r", n), "/x", "1", 0)) // room again
}

// TestWriteLocked: another program writes for longer than we wait; the error says
// why, and once it is done all goes on.
func TestWriteLocked(t *testing.T) {
	file := filled(t)
	s, err := sqlite.Open(t.Context(), file, sqlite.Options{BusyTimeout: 20 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec("UPDATE workspace SET name = 'x'"); err != nil {
		t.Fatal(err)
	}
	a := storage.Append{At: noon, Entries: []journal.Entry{storetest.Entry(900, "rig/a", "/x", "1", 0)}}
	_, err = s.In(storage.Default).Append(t.Context(), a)
	mustBe(t, err, storage.Locked, "another program holds the file")
	x := storage.Write{Doc: "rig/a", Writes: []journal.Write{{Path: "/y", Value: jsontext.Value("1")}}, IDs: []string{storetest.ID(901)}, At: noon}
	_, err = s.In(storage.Default).Write(t.Context(), x)
	mustBe(t, err, storage.Locked, "another program holds the file")
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, s, a.Entries...)
	if out, err := s.In(storage.Default).Write(t.Context(), x); err != nil || !out.Taken() {
		t.Fatalf("after the lock is gone: %+v, %v", out, err)
	}
}

// TestCorruptLater: damage that only a read of the row meets.
func TestCorruptLater(t *testing.T) {
	file := kept(t)
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	// A page of overflow is the number of the next and then content alone.
	// Source: https://sqlite.org/fileformat2.html section 1.6.
	damaged := 0
	for at := 0; at+4096 <= len(b); at += 4096 {
		if bytes.Equal(b[at+4:at+4096], bytes.Repeat([]byte("x"), 4092)) {
			damage(t, file, int64(at), 4)
			damaged++
		}
	}
	if damaged == 0 {
		t.Fatal("no page of overflow was found")
	}
	s := mustOpen(t, file)
	defer s.Close()
	_, _, err = s.In(storage.Default).Document(t.Context(), "rig/a")
	mustBe(t, err, storage.Corrupt, "damaged")
	_, err = s.In(storage.Default).Since(t.Context(), 0, 1)
	mustBe(t, err, storage.Corrupt, "damaged")
}

// TestHeader reads the file's own header.
// Source: https://sqlite.org/fileformat2.html section 1.3.
func TestHeader(t *testing.T) {
	b, err := os.ReadFile(kept(t))
	if err != nil {
		t.Fatal(err)
	}
	if got := string(b[68:72]); got != "ptal" {
		t.Errorf("application id %q", got)
	}
	if got := binary.BigEndian.Uint32(b[60:64]); got != 3 {
		t.Errorf("schema version %d, want the number of migrations", got)
	}
	if b[18] != 2 || b[19] != 2 {
		t.Errorf("file format %d/%d, want 2/2: written ahead", b[18], b[19])
	}
}

// TestStrict: every table is STRICT.
func TestStrict(t *testing.T) {
	db, err := sql.Open("sqlite", kept(t))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var tables, loose int
	if err := db.QueryRow("SELECT count(*), count(*) FILTER (WHERE NOT strict) FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE 'sqlite_%'").Scan(&tables, &loose); err != nil {
		t.Fatal(err)
	}
	if tables == 0 || loose != 0 {
		t.Errorf("%d tables, %d of them not STRICT", tables, loose)
	}
}

// TestTwoStart: two programs create the same file at once; both work.
func TestTwoStart(t *testing.T) {
	for round := range 10 {
		file := filepath.Join(t.TempDir(), fmt.Sprint(round, ".db"))
		errs := make(chan error, 4)
		for range cap(errs) {
			go func() {
				s, err := sqlite.Open(context.Background(), file, sqlite.Options{})
				if err == nil {
					err = errors.Join(s.Ready(context.Background()), s.Close())
				}
				errs <- err
			}()
		}
		for range cap(errs) {
			if err := <-errs; err != nil {
				t.Fatal(err)
			}
		}
	}
}
