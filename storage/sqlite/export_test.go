package sqlite

import (
	"context"
	"slices"
)

// OpenCareless opens the store with synchronous=OFF: what a test of the syncs
// must notice.
func OpenCareless(ctx context.Context, file string) (*Store, error) {
	careless := slices.Clone(writerPragmas)
	for i := range careless {
		if careless[i].name == "synchronous" {
			careless[i].set, careless[i].want = "OFF", "0"
		}
	}
	return open(ctx, file, Options{}, careless)
}

// OpenAtMost opens the store in a file that may grow to so many pages: a disk
// that fills up.
func OpenAtMost(ctx context.Context, file string, pages string) (*Store, error) {
	return open(ctx, file, Options{}, append(slices.Clone(writerPragmas), pragma{"max_page_count", pages, pages}))
}
