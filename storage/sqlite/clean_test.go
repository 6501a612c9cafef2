package sqlite_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/journal"
	"pintail/storage"
	"pintail/storage/sqlite"
	"pintail/storage/storetest"
)

const erasedValue = "Quillfeather Lane 17"

// withSecret fills a store so that pages have been split and rewritten around the
// value that is to be erased.
func withSecret(t *testing.T, s storage.Store) {
	t.Helper()
	w := s.In(storage.Default)
	for i := range 300 {
		value := fmt.Sprintf(`"%s"`, strings.Repeat("x", i))
		if i%7 == 0 {
			value = fmt.Sprintf(`"%s %s"`, erasedValue, strings.Repeat("y", i*9))
		}
		out, err := w.Append(t.Context(), storage.Append{At: noon, Entries: []journal.Entry{
			storetest.Entry(i*2, "rig/a", fmt.Sprint("/owner/l", i), value, int64(i)), storetest.Entry(i*2+1, "rig/b", "/x", fmt.Sprint(i), int64(i)),
		}})
		if err != nil || !out.Taken() {
			t.Fatal(err)
		}
	}
	out, err := w.Write(t.Context(), storage.Write{Doc: "rig/a", Writes: []journal.Write{{Path: "/owner/l7", Value: jsontext.Value(`"changed"`)}}, IDs: []string{storetest.ID(9000)}, At: noon})
	if err != nil || !out.Taken() {
		t.Fatal(err)
	}
}

func inFiles(t *testing.T, file string) bool {
	t.Helper()
	found := false
	for _, suffix := range []string{"", "-wal"} {
		b, err := os.ReadFile(file + suffix)
		if err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		found = found || bytes.Contains(b, []byte(erasedValue))
	}
	return found
}

func TestEraseLeavesNoTrace(t *testing.T) {
	file := filepath.Join(t.TempDir(), "pintail.db")
	s := mustOpen(t, file)
	withSecret(t, s)
	if !inFiles(t, file) {
		t.Fatal("the value was never there: the test sees nothing")
	}
	out, err := s.In(storage.Default).Erase(t.Context(), storage.Erase{ID: storetest.ID(9999), Doc: "rig/a", Path: "/owner", At: noon})
	if err != nil || out.Entries != 301 || !out.Clean {
		t.Fatalf("%+v, %v", out, err)
	}
	if inFiles(t, file) {
		t.Error("an erased value is still in the files")
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if inFiles(t, file) {
		t.Error("an erased value came back into the files")
	}
	mustBeClean(t, file)
}

// TestEraseHeldByReader: a reader of the old state keeps the log; the answer says
// so, and the next start finishes the work.
func TestEraseHeldByReader(t *testing.T) {
	file := filepath.Join(t.TempDir(), "pintail.db")
	s, err := sqlite.Open(t.Context(), file, sqlite.Options{BusyTimeout: 50e6})
	if err != nil {
		t.Fatal(err)
	}
	withSecret(t, s)
	release := reading(t, file)
	out, err := s.In(storage.Default).Erase(t.Context(), storage.Erase{ID: storetest.ID(9999), Doc: "rig/a", Path: "/owner", At: noon})
	if err != nil || out.Entries != 301 || out.Clean {
		t.Fatalf("%+v, %v", out, err)
	}
	mustAppend(t, s, storetest.Entry(10_000, "rig/a", "/x", "1", 400)) // the writer goes on
	release()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = mustOpen(t, file)
	if inFiles(t, file) {
		t.Error("the next start left an erased value in the files")
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	mustBeClean(t, file)
}
