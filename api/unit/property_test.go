package unit_test

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/strictjson"
	"pintail/api/unit"
)

// entry is a quantity as a person enters it, and its exact size in a base unit.
type entry[Q any] struct {
	quantity Q
	exact    *big.Rat
	entered  string
}

// factors are the exact sizes of the units, as rational numbers, written down
// here a second time from their definitions.
var factors = map[string]*big.Rat{
	"lb": big.NewRat(45_359_237, 100_000_000), "kg": big.NewRat(1, 1),
	"in": big.NewRat(254, 10_000), "ft": big.NewRat(3_048, 10_000), "mi": big.NewRat(1_609_344, 1_000),
	"mm": big.NewRat(1, 1_000), "cm": big.NewRat(1, 100), "m": big.NewRat(1, 1), "km": big.NewRat(1_000, 1),
	"mph": big.NewRat(1_609_344, 1_000_000), "km_h": big.NewRat(1, 1),
	"f": big.NewRat(5, 9), "c": big.NewRat(1, 1),
}

func entries[Q any](make func(float64, string) (Q, error), units []string) *rapid.Generator[entry[Q]] {
	return rapid.Custom(func(t *rapid.T) entry[Q] {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		thousandths := rapid.OneOf(rapid.Int64Range(-500_000_000, 500_000_000), rapid.Int64Range(-2_000, 2_000)).Draw(t, "thousandths")
		q, err := make(float64(thousandths)/1000, u)
		if err != nil {
			t.Fatal(err)
		}
		exact := big.NewRat(thousandths, 1_000)
		if u == "f" {
			exact.Sub(exact, big.NewRat(32, 1))
		}
		exact.Mul(exact, factors[u])
		return entry[Q]{quantity: q, exact: exact, entered: fmt.Sprintf("%d/1000 %s", thousandths, u)}
	})
}

var masses = entries(unit.NewMass, unit.Mass{}.Units())

// The order of quantities is that of exact rational numbers, whatever the units.
func TestOrder(t *testing.T) {
	t.Run("Mass", func(t *testing.T) { order(t, masses, unit.Mass.Compare) })
	t.Run("Length", func(t *testing.T) { order(t, entries(unit.NewLength, unit.Length{}.Units()), unit.Length.Compare) })
	t.Run("Speed", func(t *testing.T) { order(t, entries(unit.NewSpeed, unit.Speed{}.Units()), unit.Speed.Compare) })
	t.Run("Temperature", func(t *testing.T) {
		order(t, entries(unit.NewTemperature, unit.Temperature{}.Units()), unit.Temperature.Compare)
	})
}

func order[Q any](t *testing.T, g *rapid.Generator[entry[Q]], compare func(Q, Q) int) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := g.Draw(t, "a"), g.Draw(t, "b")
		if got, want := compare(a.quantity, b.quantity), a.exact.Cmp(b.exact); got != want {
			t.Errorf("%s against %s: %d, want %d", a.entered, b.entered, got, want)
		}
	})
}

// A quantity is written as it was entered: the same number, the same unit.
func TestRoundTrip(t *testing.T) {
	t.Run("Mass", func(t *testing.T) { roundTrip(t, masses) })
	t.Run("Length", func(t *testing.T) { roundTrip(t, entries(unit.NewLength, unit.Length{}.Units())) })
	t.Run("Speed", func(t *testing.T) { roundTrip(t, entries(unit.NewSpeed, unit.Speed{}.Units())) })
	t.Run("Temperature", func(t *testing.T) { roundTrip(t, entries(unit.NewTemperature, unit.Temperature{}.Units())) })
}

func roundTrip[Q interface {
	comparable
	Unit() string
	Value() float64
}](t *testing.T, g *rapid.Generator[entry[Q]]) {
	rapid.Check(t, func(t *rapid.T) {
		a := g.Draw(t, "a")
		if got := fmt.Sprintf("%.0f/1000 %s", a.quantity.Value()*1000, a.quantity.Unit()); got != a.entered {
			t.Errorf("shown as %s, entered as %s", got, a.entered)
		}
		b, err := strictjson.Marshal(a.quantity)
		if err != nil {
			t.Fatal(err)
		}
		var back Q
		if err := strictjson.Unmarshal(b, &back); err != nil || back != a.quantity {
			t.Errorf("%s comes back from %s as %v (%v)", a.entered, b, back, err)
		}
	})
}

// Sums and differences are exact.
func TestAddSub(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := masses.Draw(t, "a"), masses.Draw(t, "b"), masses.Draw(t, "c")
		sum := a.quantity.Add(b.quantity)
		exact := new(big.Rat).Add(a.exact, b.exact)
		if got, want := sum.Compare(c.quantity), exact.Cmp(c.exact); got != want {
			t.Errorf("%s + %s against %s: %d, want %d", a.entered, b.entered, c.entered, got, want)
		}
		if sum.Sub(b.quantity) != a.quantity {
			t.Errorf("%s + %s - the same is %s", a.entered, b.entered, sum.Sub(b.quantity))
		}
	})
}

// A percentage of a quantity is compared without rounding.
func TestComparePercent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := masses.Draw(t, "a"), masses.Draw(t, "b")
		milli := rapid.Int64Range(0, 200_000).Draw(t, "thousandths of a per cent")
		share := new(big.Rat).Mul(b.exact, big.NewRat(milli, 100_000))
		if got, want := a.quantity.ComparePercent(b.quantity, milli), a.exact.Cmp(share); got != want {
			t.Errorf("%s against %d/1000 %% of %s: %d, want %d", a.entered, milli, b.entered, got, want)
		}
	})
}

// Percent is exact to one tick and never more than the true share of a mass
// that is not negative.
func TestPercentRoundsDown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := masses.Filter(func(e entry[unit.Mass]) bool { return e.exact.Sign() >= 0 }).Draw(t, "a")
		pct := rapid.Int64Range(0, 1_000).Draw(t, "per cent")
		share := a.quantity.Percent(pct)
		// share <= pct % of a, compared exactly
		if share.ComparePercent(a.quantity, pct*1000) > 0 {
			t.Errorf("%d %% of %s is %s", pct, a.entered, share)
		}
	})
}

// Round9 is idempotent and moves a figure by at most half a unit of its ninth
// digit.
func TestRound9IsIdempotent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e12, 1e12).Draw(t, "v")
		r := unit.Round9(v)
		if unit.Round9(r) != r {
			t.Errorf("%v, then %v", r, unit.Round9(r))
		}
		if d := r - v; d > 5.01e-9*max(v, -v) || -d > 5.01e-9*max(v, -v) {
			t.Errorf("%v moved to %v", v, r)
		}
	})
}
