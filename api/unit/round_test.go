package unit

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

// The short way of rounding gives what the long one gives, to the bit: for any
// figure, for those with few digits, half way between two and next to that, and
// at powers of ten.
func TestRoundShort(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	tried, short := 0, 0
	try := func(v float64) {
		for _, v := range []float64{v, -v, math.Nextafter(v, 0), math.Nextafter(v, math.Inf(1))} {
			got, ok := roundShort(v)
			if ok && math.Float64bits(got) != math.Float64bits(roundText(v)) {
				t.Errorf("%v becomes %v, want %v", v, got, roundText(v))
			}
			tried++
			if ok {
				short++
			}
		}
	}
	for range 30_000 {
		try(math.Float64frombits(r.Uint64()))
		try(math.Pow(10, 24*r.Float64()-14))
		for _, digits := range []int64{1e3, 1e9, 1e10} { // of ten digits, each tenth is half way
			v, err := strconv.ParseFloat(strconv.FormatInt(r.Int64N(digits), 10)+"e"+strconv.Itoa(r.IntN(24)-18), 64)
			if err != nil {
				t.Fatal(err)
			}
			try(v)
		}
	}
	for e := -20; e < 20; e++ {
		v, err := strconv.ParseFloat("1e"+strconv.Itoa(e), 64)
		if err != nil {
			t.Fatal(err)
		}
		try(v)
		try(v * (1 - 1e-10))
		try(v * (1 - 4.9e-10))
		try(v * (1 - 5.1e-10))
	}
	if short < tried/2 {
		t.Errorf("the short way did %d of %d", short, tried)
	}
}

func BenchmarkRound9(b *testing.B) {
	v := 0.0
	for b.Loop() {
		v += 0.123456789123
		Round9(v)
	}
}
