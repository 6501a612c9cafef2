package sqlite_test

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pintail/api/journal"
	"pintail/storage"
	"pintail/storage/storetest"
)

// page is how many entries a phone sends at once.
const page = 100

// phonePage is the nth page of a phone: leaves of one rig, values of 10 to 40
// bytes.
func phonePage(n int, doc string) []journal.Entry {
	entries := make([]journal.Entry, page)
	for i := range entries {
		value := fmt.Sprintf(`"%s"`, strings.Repeat("v", 10+i%30))
		entries[i] = storetest.Entry(n*page+i, doc, fmt.Sprintf("/towed/part_%d/rating", (n*page+i)%150), value, int64(n))
	}
	return entries
}

// rawInserts writes the same bytes into one table with the driver alone, written
// ahead and synchronous=FULL, one transaction a page.
type rawInserts struct {
	db     *sql.DB
	insert *sql.Stmt
}

func newRawInserts(b *testing.B) *rawInserts {
	b.Helper()
	db, err := sql.Open("sqlite", filepath.Join(b.TempDir(), "raw.db")+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { db.Close() })
	db.SetMaxOpenConns(1)
	if _, err := db.Exec("CREATE TABLE entry (id TEXT, doc TEXT, path TEXT, value TEXT, wall INTEGER, counter INTEGER, device TEXT, actor TEXT) STRICT"); err != nil {
		b.Fatal(err)
	}
	insert, err := db.Prepare("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?, ?)")
	if err != nil {
		b.Fatal(err)
	}
	return &rawInserts{db, insert}
}

func (r *rawInserts) write(b *testing.B, entries []journal.Entry) {
	tx, err := r.db.Begin()
	if err != nil {
		b.Fatal(err)
	}
	insert := tx.Stmt(r.insert)
	for _, e := range entries {
		if _, err := insert.Exec(e.ID, e.Doc, e.Path, string(e.Value), e.At.Wall, e.At.Counter, e.Device, "key"); err != nil {
			b.Fatal(err)
		}
	}
	if err := tx.Commit(); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkAppend takes pages of 100 entries, each page durable, and raw inserts
// of the same bytes in turn. of_raw is the entries a second of the one divided by
// those of the other; the aim is 0.3 or more.
func BenchmarkAppend(b *testing.B) {
	for _, test := range []struct {
		name string
		each int // pages of each rig
		at   int // phones that send at once
	}{{"NewRigs", 1, 1}, {"LongHistories", 100, 1}, {"FourPhones", 1, 4}} {
		b.Run(test.name, func(b *testing.B) {
			s := mustOpen(b, filepath.Join(b.TempDir(), "pintail.db"))
			defer s.Close()
			raw := newRawInserts(b)
			var ours, theirs time.Duration
			n := 0
			for b.Loop() {
				var pages [][]journal.Entry
				for range test.at {
					pages = append(pages, phonePage(n, fmt.Sprint("rig/r", n/test.each)))
					n++
				}
				start := time.Now()
				var wg sync.WaitGroup
				for _, p := range pages {
					wg.Go(func() { mustTake(b, s, p) })
				}
				wg.Wait()
				middle := time.Now()
				for _, p := range pages {
					raw.write(b, p)
				}
				ours, theirs = ours+middle.Sub(start), theirs+time.Since(middle)
			}
			b.ReportMetric(float64(n*page)/ours.Seconds(), "entries/s")
			b.ReportMetric(float64(n*page)/theirs.Seconds(), "raw_entries/s")
			b.ReportMetric(theirs.Seconds()/ours.Seconds(), "of_raw")
		})
	}
}

func mustTake(b *testing.B, s storage.Store, entries []journal.Entry) {
	out, err := s.In(storage.Default).Append(b.Context(), storage.Append{Entries: entries, Actor: "key", At: noon})
	if err != nil || !out.Taken() {
		b.Errorf("%+v, %v", out.Results[0].Refusal, err)
	}
}
