package sorting_test

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"pintail/api/sorting"
)

type thing struct{ key, was int }

func byKey(a, b thing) int { return cmp.Compare(a.key, b.key) }

// It orders as the standard library's stable sort does, whatever the length and
// however many are equal.
func TestBy(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 7))
	for n := range 70 {
		for _, keys := range []int{1, 2, 5, 1000} {
			list := make([]thing, n)
			for i := range list {
				list[i] = thing{r.IntN(keys), i}
			}
			want := slices.Clone(list)
			slices.SortStableFunc(want, byKey)
			if sorting.By(list, byKey); !slices.Equal(list, want) {
				t.Fatalf("%d of %d keys: %v, want %v", n, keys, list, want)
			}
		}
	}
}

func BenchmarkBy10000(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 7))
	list := make([]thing, 10_000)
	for b.Loop() {
		for i := range list {
			list[i] = thing{r.IntN(5000), i}
		}
		sorting.By(list, byKey)
	}
}
