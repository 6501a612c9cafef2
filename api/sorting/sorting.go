// Package sorting sorts.
//
// The sorts of package slices are compiled anew for every type they sort, each
// some 20 kB of the browser's engine. Here only a few lines are; they order places,
// and the code that orders those is there once.
package sorting

import "slices"

// By sorts s by compare, which is negative where a comes before b. Equals stay in
// their order.
func By[T any](s []T, compare func(a, b T) int) {
	places := sorted(len(s), func(i, j int) int { return compare(s[i], s[j]) })
	was := slices.Clone(s)
	for to, from := range places {
		s[to] = was[from]
	}
}

// sorted orders the numbers below n by merging runs of twice the length each time.
func sorted(n int, compare func(i, j int) int) []int {
	from, to := make([]int, n), make([]int, n)
	for i := range from {
		from[i] = i
	}
	for run := 1; run < n; run *= 2 {
		for start := 0; start < n; start += 2 * run {
			middle, end := min(start+run, n), min(start+2*run, n)
			merge(to[start:end], from[start:middle], from[middle:end], compare)
		}
		from, to = to, from
	}
	return from
}

// merge fills into with both, of equals that of a first.
func merge(into, a, b []int, compare func(i, j int) int) {
	if len(b) == 0 || compare(a[len(a)-1], b[0]) <= 0 {
		copy(into[copy(into, a):], b)
		return
	}
	for k := range into {
		if len(b) == 0 || len(a) > 0 && compare(a[0], b[0]) <= 0 {
			into[k], a = a[0], a[1:]
		} else {
			into[k], b = b[0], b[1:]
		}
	}
}
