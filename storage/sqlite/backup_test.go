package sqlite_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pintail/api/journal"
	"pintail/storage"
	"pintail/storage/sqlite"
	"pintail/storage/storetest"
)

// noon is the suite's, so that its entries are not ahead of the clock.
var noon = storetest.Noon

func mustAppend(tb testing.TB, s storage.Store, entries ...journal.Entry) storage.Outcome {
	tb.Helper()
	out, err := s.In(storage.Default).Append(tb.Context(), storage.Append{Entries: entries, Actor: "key", At: noon})
	if err != nil || !out.Taken() {
		tb.Fatalf("Append: %+v, %v", out.Results[0].Refusal, err)
	}
	return out
}

// filled is a closed file with a few documents in it.
func filled(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "pintail.db")
	s := mustOpen(t, file)
	for i := range 20 {
		var entries []journal.Entry
		for j := i * 10; j < i*10+10; j++ {
			entries = append(entries, storetest.Entry(j, fmt.Sprint("rig/r", j%5), fmt.Sprint("/x", j%40), fmt.Sprint(j), int64(j)))
		}
		mustAppend(t, s, entries...)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return file
}

func mustBeClean(t *testing.T, file string) sqlite.Report {
	t.Helper()
	r, err := sqlite.Check(t.Context(), file)
	if err != nil || !r.Clean() {
		t.Fatalf("Check: %v\n%s", err, &r)
	}
	return r
}

func about(t *testing.T, s storage.Store) storage.About {
	t.Helper()
	a, err := s.In(storage.Default).About(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestBackupUnderLoad copies while others write; the copy holds everything that
// was acknowledged before it began, restores, and checks clean.
func TestBackupUnderLoad(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "pintail.db")
	s := mustOpen(t, file)
	defer s.Close()
	ctx, stop := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for n := range 4 {
		wg.Go(func() {
			for i := 0; ctx.Err() == nil; i++ {
				mustAppend(t, s, storetest.Entry(n*1_000_000+i, fmt.Sprint("rig/r", n), fmt.Sprint("/x", i%30), fmt.Sprint(i), int64(i)))
			}
		})
	}
	for about(t, s).Cursor < 200 && !t.Failed() {
		time.Sleep(time.Millisecond)
	}
	for i := range 3 {
		before := about(t, s)
		backup := filepath.Join(dir, fmt.Sprint("backup", i, ".db"))
		report, err := sqlite.Backup(t.Context(), file, backup, false)
		if err != nil || !report.Clean() || report.File != backup || report.Entries < before.Cursor {
			t.Errorf("Backup: %v\n%s", err, &report)
		}
		restored := filepath.Join(dir, fmt.Sprint("restored", i, ".db"))
		out, err := sqlite.Restore(t.Context(), backup, restored, false, noon)
		if err != nil || !out.Clean() || out.Entries != report.Entries || out.Kept != "" {
			t.Errorf("Restore: %v\n%s", err, &out.Report)
		}
		again := mustOpen(t, restored)
		if after := about(t, again); after.Cursor < before.Cursor || after.Era == before.Era {
			t.Errorf("before %+v, after %+v", before, after)
		}
		if err := again.Close(); err != nil {
			t.Error(err)
		}
	}
	stop()
	wg.Wait()
	if left, _ := filepath.Glob(filepath.Join(dir, "*part*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

// TestRestoreReplaces keeps the file that was there, with what only it has.
func TestRestoreReplaces(t *testing.T) {
	file := filled(t)
	backup := filepath.Join(t.TempDir(), "backup.db")
	if _, err := sqlite.Backup(t.Context(), file, backup, false); err != nil {
		t.Fatal(err)
	}
	s := mustOpen(t, file)
	mustAppend(t, s, storetest.Entry(5000, "rig/new", "/x", "1", 0))
	was := about(t, s)
	_, err := sqlite.Restore(t.Context(), backup, file, true, noon)
	mustBe(t, err, storage.Locked, "another program holds the file")
	mustAppend(t, s, storetest.Entry(5001, "rig/new", "/x", "1", 0)) // the refusal did no harm
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}

	_, err = sqlite.Restore(t.Context(), backup, file, false, noon)
	mustBe(t, err, storage.Exists, "already")
	out, err := sqlite.Restore(t.Context(), backup, file, true, noon)
	if err != nil || out.Entries != 200 || !strings.HasSuffix(out.Kept, "pintail.db.before-restore-20261124T170000Z") {
		t.Fatalf("%v %+v", err, out)
	}
	if again, err := sqlite.Restore(t.Context(), backup, file, true, noon); err != nil || again.Kept == out.Kept {
		t.Fatalf("in the same second: %v %+v", err, again)
	}
	for name, cursor := range map[string]int64{file: 200, out.Kept: 202} {
		s := mustOpen(t, name)
		if a := about(t, s); a.Cursor != cursor || (a.Era == was.Era) != (name == out.Kept) {
			t.Errorf("%s: %+v", name, a)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		mustBeClean(t, name)
	}
}

// TestRestoreOverDamage: a damaged database is what a backup is for; its log goes
// with it and does not play into the restored file.
func TestRestoreOverDamage(t *testing.T) {
	file := filled(t)
	backup := filepath.Join(t.TempDir(), "backup.db")
	if _, err := sqlite.Backup(t.Context(), file, backup, false); err != nil {
		t.Fatal(err)
	}
	damage(t, file, 100, 3000)
	if err := os.WriteFile(file+"-wal", bytes.Repeat([]byte("x"), 5000), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := sqlite.Restore(t.Context(), backup, file, true, noon)
	if err != nil || !out.Clean() || out.Entries != 200 {
		t.Fatalf("%v\n%s", err, &out.Report)
	}
	if kept, err := os.ReadFile(out.Kept); err != nil || !bytes.Equal(kept[100:3100], bytes.Repeat([]byte{0xA5}, 3000)) {
		t.Errorf("the damaged file was not kept: %v", err)
	}
}

// TestBackupAfterKill copies a file whose newest changes are only in the log.
func TestBackupAfterKill(t *testing.T) {
	dir := t.TempDir()
	from := filepath.Join(dir, "pintail.db")
	s := mustOpen(t, from)
	mustAppend(t, s, storetest.Entry(1, "rig/a", "/x", "1", 0))
	left := filepath.Join(dir, "left.db")
	for _, suffix := range []string{"", "-wal"} {
		b, err := os.ReadFile(from + suffix)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(left+suffix, b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if r, err := sqlite.Backup(t.Context(), left, filepath.Join(dir, "backup.db"), false); err != nil || r.Entries != 1 {
		t.Errorf("%v\n%s", err, &r)
	}
}

func TestBackupRefuses(t *testing.T) {
	dir := t.TempDir()
	file := filled(t)
	foreign, newer, torn, taken := filepath.Join(dir, "foreign.db"), filled(t), filled(t), filepath.Join(dir, "taken.db")
	raw(t, foreign, "CREATE TABLE song (title TEXT)")
	raw(t, newer, "PRAGMA user_version = 1000")
	damage(t, torn, 100, 3000)
	if err := os.WriteFile(taken, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	fresh := filepath.Join(dir, "fresh.db")
	for name, test := range map[string]struct {
		from, to string
		replace  bool
		reason   storage.Reason
		says     string
	}{
		"NoFile":       {filepath.Join(dir, "none.db"), fresh, false, storage.NoFile, "there is no file"},
		"Foreign":      {foreign, fresh, false, storage.Foreign, "another program"},
		"Newer":        {newer, fresh, false, storage.TooNew, "newer version"},
		"Damaged":      {torn, fresh, false, storage.Corrupt, "damaged"},
		"NoDirectory":  {file, filepath.Join(dir, "none", "x.db"), false, storage.NoDirectory, "does not exist"},
		"Taken":        {file, taken, false, storage.Exists, "already"},
		"Directory":    {file, dir, true, storage.Foreign, "is not a file"},
		"EmptyIsNoOne": {filepath.Join(dir, "none.db"), taken, true, storage.NoFile, "there is no file"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := sqlite.Backup(t.Context(), test.from, test.to, test.replace)
			mustBe(t, err, test.reason, test.says)
			_, err = sqlite.Restore(t.Context(), test.from, test.to, test.replace, noon)
			mustBe(t, err, test.reason, test.says)
		})
	}
	t.Run("OntoForeign", func(t *testing.T) {
		_, err := sqlite.Restore(t.Context(), file, foreign, true, noon)
		mustBe(t, err, storage.Foreign, "another program")
	})
	t.Run("OntoItself", func(t *testing.T) {
		_, err := sqlite.Restore(t.Context(), file, file, true, noon)
		mustBe(t, err, storage.Invalid, "the same file")
	})
	if b, _ := os.ReadFile(taken); string(b) != "mine" {
		t.Error("a file was overwritten without being told")
	}
	if _, err := os.Stat(fresh); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("something was left: %v", err)
	}
	mustBeClean(t, file)
}

// TestCheckFinds damages what Check must notice.
func TestCheckFinds(t *testing.T) {
	for name, test := range map[string]struct{ damage, says string }{
		"Fold":       {`UPDATE document SET value = '{"x1":1}' WHERE doc = 'rig/r1'`, "the document rig/r1 is not what its entries make"},
		"Version":    {`UPDATE document SET version = 3 WHERE doc = 'rig/r1'`, "the document rig/r1 says version 3, its newest change is 197"},
		"Name":       {`UPDATE document SET name = 'x' WHERE doc = 'rig/r1'`, "listed under another name"},
		"NoDocument": {`DELETE FROM document WHERE doc = 'rig/r1'`, "the document rig/r1 is missing"},
		"NoChange":   {`INSERT INTO document VALUES (1, 'rig/q', '', 1, 0, 0, '{}')`, "the document rig/q has no change"},
		"Cursor":     {`UPDATE workspace SET cursor = 150`, "its cursor is 150, but there is a change 200"},
		"Hole":       {`DELETE FROM entry WHERE cursor = 7`, "1 of 200 changes are missing"},
		"Clock":      {`UPDATE workspace SET wall = 0`, "its time is after the workspace's clock"},
		"Entry":      {`UPDATE entry SET path = 'x' WHERE cursor = 7`, "change 7: /path"},
		"Reference":  {`INSERT INTO key VALUES ('k', 9, '', 'admin', zeroblob(32), 0, NULL)`, "a row of key refers to a workspace that is not there"},
		"Erased": {`INSERT INTO erasure VALUES (1, 201, '0192f0c1-0000-7000-8000-000000000999', 'rig/r1', '/x1', 9e15, 0, 0, 0, 'server', '', '', 0, 1)`,
			"should be gone by erasure 201"},
		"Twice": {`INSERT INTO erasure VALUES (1, 200, '0192f0c1-0000-7000-8000-000000000999', 'rig/q', '', 0, 0, 0, 0, 'server', '', '', 0, 1)`,
			"a number was given to two changes"},
		"Index": {`PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = 'CREATE INDEX entry_doc ON entry (workspace, path)' WHERE name = 'entry_doc'`, "integrity:"},
	} {
		t.Run(name, func(t *testing.T) {
			file := filled(t)
			raw(t, file, test.damage)
			r, err := sqlite.Check(t.Context(), file)
			if err != nil || r.Clean() || !strings.Contains(r.String(), test.says) || strings.Contains(r.String(), "clean") {
				t.Errorf("%v\n%s\nwant %q", err, &r, test.says)
			}
			_, err = sqlite.Backup(t.Context(), file, filepath.Join(t.TempDir(), "b.db"), false)
			mustBe(t, err, storage.Corrupt, "damaged")
		})
	}
	t.Run("Clean", func(t *testing.T) {
		r := mustBeClean(t, filled(t))
		if !strings.HasSuffix(r.String(), "schema 3, 1 workspaces, 5 documents, 200 entries, 0 erasures, 0 keys\nclean\n") {
			t.Errorf("%s", &r)
		}
	})
}
