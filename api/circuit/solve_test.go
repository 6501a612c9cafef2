package circuit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The Wright omega function: its defining equation, and values from R. Corless
// and D. Jeffrey, "The Wright ω function", 2002: ω(0) is the omega constant
// 0.56714329040978387300, ω(1) = 1, ω(1+e) = e.
func TestOmega(t *testing.T) {
	for _, tt := range [][2]float64{{0, 0.567143290409783873}, {1, 1}, {1 + math.E, math.E}} {
		if got := omega(tt[0]); math.Abs(got-tt[1]) > 4e-16*tt[1] {
			t.Errorf("omega(%g) = %.17g, want %.17g", tt[0], got, tt[1])
		}
	}
	for z := -40.0; z < 1e6; z += 0.001 + math.Abs(z)/1000 {
		w := omega(z)
		if off := math.Abs(w + math.Log(w) - z); off > 1e-15*(2+math.Abs(z)) {
			t.Fatalf("omega(%g) = %g is off by %g", z, w, off)
		}
	}
}

// The current of a diode with its resistance satisfies Shockley's equation, or
// SPICE's backward curve, at the junction's own voltage.
func TestJunctionCurve(t *testing.T) {
	for _, m := range []DiodeModel{{2.8e-8, 1.8, 0.0085}, {1.1e-5, 1.05, 0.0616}, {1e-16, 7, 28.05}, {0.1, 2, 1000}, {1e-30, 0.1, 1e-4}} {
		j := m.curve()
		nvt := m.Ideality * thermal
		for v := -100.0; v <= 100; v += 0.0137 {
			amps, _ := j.at(v)
			amps -= JunctionLeak * v
			vj := v - amps*m.SeriesOhms
			want := m.SaturationAmps * math.Expm1(vj/nvt)
			if vj < -3*nvt {
				want = -m.SaturationAmps * (1 + math.Pow(3*nvt/(vj*math.E), 3))
			}
			// The equation is as exact as the junction's voltage divided by nvt.
			whole := math.Abs(want) + m.SaturationAmps
			if math.Abs(amps-want) > (1e-14+(4e-14+1e-15*m.SeriesOhms*whole)/nvt)*whole+1e-25 {
				t.Fatalf("%+v at %g V: %g A, the equation has %g A", m, v, amps, want)
			}
		}
	}
}

func TestJunctionSlopeAtZero(t *testing.T) {
	for _, m := range []DiodeModel{{2.8e-8, 1.8, 0.0085}, {1.1e-5, 1.05, 0.0616}, {1e-16, 7, 28.05}, {0.1, 2, 1000}} {
		j := m.curve()
		if _, want := j.at(0); math.Abs(j.atZero()-want) > 1e-12*want {
			t.Errorf("%+v: %g S, the curve has %g S", m, j.atZero(), want)
		}
	}
}

// Every curve rises, without a jump, and its slope is the slope.
func TestCurvesAreSmooth(t *testing.T) {
	f := FilamentModel{Volts: 12.8, Amps: 2.1, ColdRatio: ColdRatio}.curve()
	d := DiodeModel{SaturationAmps: 1.1e-5, Ideality: 1.05, SeriesOhms: 0.0616}.curve()
	l := LEDModel{Volts: 13.5, Amps: 0.25, Threshold: 6.4}.diode().curve()
	for name, at := range map[string]func(float64) (float64, float64){"filament": f.at, "diode": d.at, "LED": l.at} {
		const h = 1e-5
		for v := -14.0; v < 14; v += 0.00113 {
			low, _ := at(v - h)
			high, _ := at(v + h)
			amps, siemens := at(v)
			if !(low < amps && amps < high) {
				t.Fatalf("%s does not rise at %g V", name, v)
			}
			slope := (high - low) / (2 * h)
			if math.Abs(slope-siemens) > 1e-3*siemens+1e-9 {
				t.Fatalf("%s at %g V: slope %g, differences say %g", name, v, siemens, slope)
			}
		}
	}
}

// The backward curve meets Shockley's with the same value and slope.
func TestJunctionCurveMeets(t *testing.T) {
	j := DiodeModel{SaturationAmps: 1.1e-5, Ideality: 1.05, SeriesOhms: 0.0616}.curve()
	a, ga := j.at(j.reverse * (1 + 1e-12))
	b, gb := j.at(j.reverse * (1 - 1e-12))
	if math.Abs(a-b) > 1e-11*math.Abs(b) || math.Abs(ga-gb) > 1e-9*gb {
		t.Errorf("%g A, %g S on one side, %g A, %g S on the other", a, ga, b, gb)
	}
}

// Steps that are guarded from the first on find the same answers, if slowly:
// what catches a network that whole steps do not settle is tried on many.
func TestGuardedStepsAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for i := range 300 {
		c := ladder(r)
		s := NewSolver(c)
		if err := s.Solve(c); err != nil {
			t.Fatal(err)
		}
		want := append([]float64(nil), s.volts...)
		s.load(c)
		s.start(c, nil)
		s.steps = trusted
		if err := s.iterate(); err != nil {
			t.Fatalf("network %d: %v", i, err)
		}
		s.finish(c)
		for n := range want {
			if math.Abs(s.volts[n]-want[n]) > 1e-8 {
				t.Errorf("network %d: node %d is at %g V, want %g V", i, n, s.volts[n], want[n])
			}
		}
	}
}

// ladder is a chain of lamps and diodes, forward and backward.
func ladder(r *rand.Rand) *Circuit {
	c := New()
	c.Source("v", c.Node("a"), Ground, 13.5)
	before := c.Node("a")
	for i := range 6 {
		next := c.Node("after_" + string(rune('a'+i)))
		if d := (DiodeModel{2.8e-8, 1.8, 0.0085}); r.IntN(3) > 0 {
			c.Diode("d", before, next, d)
		} else {
			c.Diode("d", next, before, d)
		}
		c.Filament("f", next, Ground, FilamentModel{Volts: 12.8, Amps: 2.1, ColdRatio: ColdRatio})
		if r.IntN(2) == 0 {
			before = next
		}
	}
	return c
}

// A network with no answer to be found in the steps allowed is given up with
// what is left over.
func TestGivesUp(t *testing.T) {
	c := New()
	c.Source("v", c.Node("a"), Ground, 13.5)
	c.Diode("d", c.Node("a"), c.Node("b"), DiodeModel{2.8e-8, 1.8, 0.0085})
	c.Filament("f", c.Node("b"), Ground, FilamentModel{Volts: 12.8, Amps: 2.1, ColdRatio: ColdRatio})
	s := NewSolver(c)
	s.load(c)
	s.start(c, nil)
	s.steps = Iterations - 1
	err, ok := s.iterate().(*ConvergenceError)
	if !ok || err.Iterations != Iterations || !(err.Residual > Residual) || err.Error() == "" {
		t.Errorf("%v", err)
	}
}

// Elimination against the equations it solves, on networks that hang on their
// leak, down to every digit: two nodes joined by 1e4 S, and 1e-11 S to ground.
func TestEliminationKeepsTheLeak(t *testing.T) {
	c := New()
	c.Resistor("r", c.Node("a"), c.Node("b"), MinOhms)
	c.Resistor("s", c.Node("b"), c.Node("d"), MinOhms)
	var n network
	if err := n.read(c); err != nil {
		t.Fatal(err)
	}
	g := make([]float64, len(n.column)+1)
	for k := range n.unknowns {
		g[n.rows[k+1]-1] = Leak
	}
	g[n.slot[0]], g[n.slot[1]] = 1/MinOhms, 1/MinOhms
	b := make([]float64, n.unknowns+1)
	b[0] = 3e-11
	n.voltages(g, b)
	for k := range n.unknowns {
		if math.Abs(b[k]-1) > 1e-14 {
			t.Errorf("unknown %d is at %.17g V, want 1", k, b[k])
		}
	}
}
