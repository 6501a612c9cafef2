package rules

import (
	"math"
	"testing"

	"pintail/api/unit"
)

// Every weight of every row, a pound or kilogram under it, exactly at it and one
// over it, in the law's own unit; and in the other unit, to a thousandth, on
// either side of it. 1 lb is 0.45359237 kg.
func TestEveryWeightAtItsEdge(t *testing.T) {
	tested := 0
	for _, r := range rowsOf(builtIn()) {
		for _, c := range r.When.tested(nil) {
			limit, want := c.edge()
			if limit == nil {
				continue
			}
			tested++
			v, in := limit.Value(), limit.Unit()
			other, factor := "kg", 0.45359237
			if in == "kg" {
				other, factor = "lb", 1/0.45359237
			}
			below := int64(v * factor * 1000) // thousandths
			for _, p := range []struct {
				v    float64
				in   string
				side int
			}{{v - 1, in, 0}, {v, in, 1}, {v + 1, in, 2}, {float64(below) / 1000, other, 0}, {float64(below+1) / 1000, other, 2}} {
				if m, err := unit.NewMass(p.v, p.in); err != nil {
					t.Errorf("%s: %v", r.ID, err)
				} else if got := weighing(c.Weight, m).weighs(c, new(need)); got != want[p.side] {
					t.Errorf("%s: %s at %g %s: %d, want %d", r.ID, c.text(), p.v, p.in, got, want[p.side])
				}
			}
		}
	}
	if tested < 100 {
		t.Errorf("only %d weights", tested)
	}
}

// edge is the weight that a test compares with, and what it answers under it, at
// it and over it.
func (c *Condition) edge() (*unit.Mass, [3]answer) {
	switch {
	case c.Over != nil:
		return c.Over, [3]answer{no, no, yes}
	case c.AtLeast != nil:
		return c.AtLeast, [3]answer{no, yes, yes}
	case c.Under != nil:
		return c.Under, [3]answer{yes, no, no}
	case c.UpTo != nil:
		return c.UpTo, [3]answer{yes, yes, no}
	}
	return nil, [3]answer{}
}

// weighing are facts in which the weight named, and no other, is this.
func weighing(w Weight, m unit.Mass) *Facts {
	none := unit.LB(0)
	switch w {
	case Gross:
		return &Facts{TowedGross: &m}
	case GVWR:
		return &Facts{TowedGVWR: &m}
	case Unladen:
		return &Facts{TowedUnladen: &m}
	case Carried:
		return &Facts{TowedGross: &m, TowedUnladen: &none}
	case Registered:
		return &Facts{TowedGross: &m, TowedGVWR: &m}
	case TowingGross:
		return &Facts{TowingGross: &m}
	case TowingGVWR:
		return &Facts{TowingGVWR: &m}
	case TowingEmpty:
		return &Facts{TowingEmpty: &m}
	case PairGross:
		return &Facts{TowedGross: &none, TowingGross: &m}
	case PairGVWR:
		return &Facts{TowedGVWR: &none, TowingGVWR: &m}
	}
	return &Facts{}
}

// Every figure that a row asks for: met exactly at it, and not met by the least
// that a person would enter beyond it.
func TestEveryFigureAtItsEdge(t *testing.T) {
	tested := 0
	for _, r := range rowsOf(builtIn()) {
		if r.Value == nil || !r.asks() {
			continue
		}
		tested++
		exact, beyond := figure(t, r, *r.Value), figure(t, r, *r.Value-1)
		if r.Subject.limits() {
			beyond = figure(t, r, *r.Value+1)
		}
		if got := exact.meets(r, new(need)); got != fitMet {
			t.Errorf("%s: %g %s: %s", r.ID, *r.Value, r.Unit, got.word())
		}
		if got := beyond.meets(r, new(need)); got != fitNotMet {
			t.Errorf("%s: beyond %g %s: %s", r.ID, *r.Value, r.Unit, got.word())
		}
	}
	if tested < 200 {
		t.Errorf("only %d figures", tested)
	}
}

// figure are facts in which what the row is about is v, in the row's own unit.
func figure(tb testing.TB, r *rule, v float64) *Facts {
	tb.Helper()
	v = math.Round(v*1000) / 1000
	n, there := int(v), v > 0
	f := &Facts{
		TailLamps: &n, StopLamps: &n, TurnSignals: &n, ClearanceLamps: &n, Reflectors: &n, Cables: &n, CablesCrossed: &there, PlateLamp: &there,
		TowedUnits: &n, Breakaway: at(true), HoldMinLow: &v, HoldMinHigh: &v,
	}
	switch r.Subject {
	case CouplingLength, CombinationLength, StoppingDistance:
		l, err := unit.NewLength(v, r.Unit)
		if err != nil {
			tb.Fatal(err)
		}
		f.CouplingLength, f.CombinationLength, f.StopFrom20MPH = &l, &l, &l
	case Speed:
		s, err := unit.NewSpeed(v, r.Unit)
		if err != nil {
			tb.Fatal(err)
		}
		f.PlannedSpeed = &s
	}
	return f
}
