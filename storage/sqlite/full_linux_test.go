package sqlite_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"pintail/api/journal"
	"pintail/storage"
	"pintail/storage/sqlite"
	"pintail/storage/storetest"
)

// TestFullDisk fills a real file system of one mebibyte.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=1m"); err != nil {
		t.Skipf("needs to mount: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, 0); err != nil {
			t.Error(err)
		}
	})
	file := filepath.Join(dir, "pintail.db")
	s := mustOpen(t, file)
	kept := map[string]bool{}
	var err error
	for n := 0; err == nil && n < 200; n++ {
		var out storage.Outcome
		out, err = s.In(storage.Default).Append(t.Context(), storage.Append{At: noon, Entries: []journal.Entry{
			storetest.Entry(n, fmt.Sprint("rig/r", n), "/x", `"`+strings.Repeat("x", 20_000)+`"`, 0),
		}})
		if err == nil && out.Taken() {
			kept[storetest.ID(n)] = true
		}
	}
	mustBe(t, err, storage.Full, "no room left")
	if len(kept) < 2 {
		t.Fatalf("%d kept", len(kept))
	}
	_, err = sqlite.Backup(t.Context(), file, filepath.Join(dir, "backup.db"), false)
	mustBe(t, err, storage.Full, "no room left")
	if left, _ := filepath.Glob(filepath.Join(dir, "backup*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	page, err := s.In(storage.Default).Since(t.Context(), 0, storage.MaxPage)
	if err != nil {
		t.Fatalf("a full disk cannot be read: %v", err)
	}
	for _, c := range page.Changes {
		delete(kept, c.Entry.ID)
	}
	if len(kept) != 0 {
		t.Errorf("acknowledged and gone: %v", kept)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	mustBeClean(t, file)
}
