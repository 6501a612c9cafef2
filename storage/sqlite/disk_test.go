package sqlite_test

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pintail/api/journal"
	"pintail/storage"
	"pintail/storage/sqlite"
	"pintail/storage/sqlite/disktest"
	"pintail/storage/storetest"
)

// offered is one page of twenty entries in four documents.
func offered(first int) storage.Append {
	a := storage.Append{Actor: "key", At: noon}
	for n := range 20 {
		a.Entries = append(a.Entries, storetest.Entry(first+n, fmt.Sprint("rig/r", n%4), fmt.Sprint("/x", first+n), `"`+strings.Repeat("x", 3000)+`"`, int64(first+n)))
	}
	return a
}

// TestDiskFails: an append whose commit failed is not acknowledged and leaves
// nothing behind, not even half of a page, whether it came alone or together
// with others; what was acknowledged stays, and can be read all the while.
func TestDiskFails(t *testing.T) {
	disk := disktest.Use(t)
	for name, test := range map[string]struct {
		fault  disktest.Fault
		reason storage.Reason
		says   string
		// goesOn says that it takes writes again once the disk is sound.
		goesOn bool
	}{
		"NoRoom":     {disktest.NoRoom, storage.Full, "no room left on the disk", true},
		"WriteError": {disktest.WriteError, storage.Failed, "the database failed", true},
		// After a sync that failed the system may have let go of what was written
		// (see fsync(2), NOTES on error reporting): only a new start reads what is there.
		"SyncError": {disktest.SyncError, storage.Failed, "check the disk, then start again", false},
	} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "pintail.db")
			s := mustOpen(t, file)
			mustAppend(t, s, offered(0).Entries...)
			disk.Fail(test.fault)
			var wg sync.WaitGroup
			for n := 1; n <= 6; n++ {
				wg.Go(func() {
					_, err := s.In(storage.Default).Append(t.Context(), offered(n*100))
					mustFail(t, err, test.reason)
				})
			}
			wg.Wait()
			if disk.Failed() == 0 {
				t.Fatal("the disk was never asked")
			}
			_, err := s.In(storage.Default).Append(t.Context(), offered(900))
			disk.Mend()
			mustBe(t, err, test.reason, test.says)
			mustHold(t, s, 20)
			again, err := s.In(storage.Default).Append(t.Context(), offered(2000))
			ready := s.Ready(t.Context())
			if test.goesOn {
				if err != nil || !again.Taken() || ready != nil {
					t.Fatalf("it does not go on: %v; ready: %v", err, ready)
				}
				mustHold(t, s, 40)
			} else {
				mustBe(t, err, storage.Failed, "start again")
				mustBe(t, ready, storage.Failed, "start again")
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			mustReopenWhole(t, file)
		})
	}
}

// mustFail is mustBe for a goroutine of a test.
func mustFail(t *testing.T, err error, reason storage.Reason) {
	if e := (*storage.Error)(nil); !errors.As(err, &e) || e.Reason != reason {
		t.Errorf("error %v, want reason %s", err, reason)
	}
}

// mustHold reads everything: so many entries, numbered without a gap.
func mustHold(t *testing.T, s *sqlite.Store, entries int) {
	t.Helper()
	page, err := s.In(storage.Default).Since(t.Context(), 0, storage.MaxPage)
	if err != nil {
		t.Fatalf("a failing disk cannot be read: %v", err)
	}
	if len(page.Changes) != entries || page.Cursor != int64(entries) {
		t.Fatalf("%d entries up to %d, want %d", len(page.Changes), page.Cursor, entries)
	}
}

// mustReopenWhole opens the file as after a new start: it is clean, each page is
// there whole or not at all, the acknowledged one is, and it takes more.
func mustReopenWhole(t *testing.T, file string) {
	t.Helper()
	mustBeClean(t, file)
	s := mustOpen(t, file)
	defer s.Close()
	page, err := s.In(storage.Default).Since(t.Context(), 0, storage.MaxPage)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, c := range page.Changes {
		there[c.Entry.ID] = true
	}
	for _, first := range []int{0, 100, 200, 300, 400, 500, 600, 900, 2000} {
		n := 0
		for _, e := range offered(first).Entries {
			if there[e.ID] {
				n++
			}
		}
		if n != 0 && n != 20 || first == 0 && n != 20 {
			t.Errorf("of the page from %d, %d of 20 entries are there", first, n)
		}
	}
	mustAppend(t, s, storetest.Entry(5000, "rig/after", "/x", "1", 0))
}

// TestDiskFailsWhileOpening: a store that cannot be made leaves a file that can.
func TestDiskFailsWhileOpening(t *testing.T) {
	disk := disktest.Use(t)
	for name, fault := range map[string]disktest.Fault{"NoRoom": disktest.NoRoom, "WriteError": disktest.WriteError, "SyncError": disktest.SyncError} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "pintail.db")
			disk.Fail(fault)
			s, err := sqlite.Open(t.Context(), file, sqlite.Options{})
			if err == nil {
				s.Close()
				t.Fatal("it opened on a disk that keeps nothing")
			}
			if e := (*storage.Error)(nil); !errors.As(err, &e) {
				t.Errorf("error %v is no storage.Error", err)
			}
			disk.Mend()
			s = mustOpen(t, file)
			mustAppend(t, s, []journal.Entry{storetest.Entry(1, "rig/a", "/x", "1", 0)}...)
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			mustBeClean(t, file)
		})
	}
}
