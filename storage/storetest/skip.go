package storetest

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/journal"
	"pintail/storage"
)

// readersNeverSkip: whatever the sizes of the appends and of the pages, and
// however many write and read at once, a reader that follows the cursor sees the
// changes 1, 2, 3, ... without one missing.
func readersNeverSkip(t *testing.T, p Place) {
	s := open(t, p)
	round := 0
	rapid.Check(t, func(rt *rapid.T) {
		round++
		workspace := fmt.Sprint("w", round)
		if err := s.AddWorkspace(t.Context(), workspace, "", Noon); err != nil {
			rt.Fatal(err)
		}
		w := s.In(workspace)
		writers := rapid.SliceOfN(rapid.SliceOfN(rapid.IntRange(1, 9), 1, 6), 1, 4).Draw(rt, "sizes of the appends of each writer")
		limits := rapid.SliceOfN(rapid.IntRange(1, 12), 1, 3).Draw(rt, "page of each reader")

		total := 0
		for _, sizes := range writers {
			for _, n := range sizes {
				total += n
			}
		}
		var wg sync.WaitGroup
		var failed atomic.Bool
		fail := func(format string, args ...any) {
			failed.Store(true)
			rt.Errorf(format, args...)
		}
		next := 0
		for n, sizes := range writers {
			first := next
			for _, size := range sizes {
				next += size
			}
			wg.Go(func() {
				id := first
				for _, size := range sizes {
					var entries []journal.Entry
					for range size {
						entries = append(entries, Entry(id, fmt.Sprint("rig/w", n), fmt.Sprint("/x", id), "1", 0))
						id++
					}
					if out, err := w.Append(t.Context(), offer(entries...)); err != nil || !out.Taken() {
						fail("Append: %s, %v", show(out), err)
						return
					}
				}
			})
		}
		for _, limit := range limits {
			wg.Go(func() {
				for after := int64(0); after < int64(total) && !failed.Load(); {
					page, err := w.Since(t.Context(), after, limit)
					if err != nil {
						fail("Since: %v", err)
						return
					}
					for _, c := range page.Changes {
						if after++; c.Cursor != after {
							fail("change %d came where %d was next", c.Cursor, after)
							return
						}
					}
					if page.Cursor != after || page.Newest < after {
						fail("after %d the page says %+v", after, storage.Page{Cursor: page.Cursor, Newest: page.Newest})
						return
					}
				}
			})
		}
		wg.Wait()
	})
}
