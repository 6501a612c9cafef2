package unit

import "math/bits"

// product is the exact product of two int64, as sign and 128-bit size.
type product struct {
	negative bool
	hi, lo   uint64
}

func newProduct(a, b int64) product {
	negative := (a < 0) != (b < 0) && a != 0 && b != 0
	hi, lo := bits.Mul64(size(a), size(b))
	return product{negative: negative, hi: hi, lo: lo}
}

func size(a int64) uint64 {
	if a < 0 {
		return -uint64(a)
	}
	return uint64(a)
}

func (p product) compare(o product) int {
	if p.negative != o.negative {
		if p.negative {
			return -1
		}
		return 1
	}
	larger := 1
	if p.negative {
		larger = -1
	}
	switch {
	case p.hi > o.hi || p.hi == o.hi && p.lo > o.lo:
		return larger
	case p.hi < o.hi || p.hi == o.hi && p.lo < o.lo:
		return -larger
	}
	return 0
}
