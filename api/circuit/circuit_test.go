package circuit_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pintail/api/circuit"
)

// bad builds circuits that make no sense, and says what is wrong.
var bad = []struct {
	name   string
	part   string
	reason circuit.Reason
	build  func(c *circuit.Circuit)
}{
	{"no ohms", "r", circuit.OutOfRange, func(c *circuit.Circuit) { c.Resistor("r", c.Node("a"), circuit.Ground, 0) }},
	{"negative ohms", "r", circuit.OutOfRange, func(c *circuit.Circuit) { c.Resistor("r", c.Node("a"), circuit.Ground, -1) }},
	{"ohms beyond the leak", "r", circuit.OutOfRange, func(c *circuit.Circuit) { c.Resistor("r", c.Node("a"), circuit.Ground, 1e13) }},
	{"ohms NaN", "r", circuit.NotFinite, func(c *circuit.Circuit) { c.Resistor("r", c.Node("a"), circuit.Ground, math.NaN()) }},
	{"volts infinite", "v", circuit.NotFinite, func(c *circuit.Circuit) { c.Source("v", c.Node("a"), circuit.Ground, math.Inf(1)) }},
	{"volts out of range", "v", circuit.OutOfRange, func(c *circuit.Circuit) { c.Source("v", c.Node("a"), circuit.Ground, 101) }},
	{"part onto itself", "r", circuit.SameNode, func(c *circuit.Circuit) { c.Resistor("r", c.Node("a"), c.Node("a"), 1) }},
	{"node of no circuit", "r", circuit.UnknownNode, func(c *circuit.Circuit) { c.Resistor("r", 7, circuit.Ground, 1) }},
	{"node below Ground", "r", circuit.UnknownNode, func(c *circuit.Circuit) { c.Resistor("r", -1, circuit.Ground, 1) }},
	{"two sources side by side", "w", circuit.SourceLoop, func(c *circuit.Circuit) {
		c.Source("v", c.Node("a"), circuit.Ground, 12)
		c.Source("w", c.Node("a"), circuit.Ground, 12)
	}},
	{"three sources in a ring off ground", "w", circuit.SourceLoop, func(c *circuit.Circuit) {
		c.Source("u", c.Node("a"), c.Node("b"), 12)
		c.Source("v", c.Node("b"), c.Node("d"), 12)
		c.Source("w", c.Node("a"), c.Node("d"), 24)
	}},
	{"source shorted", "v", circuit.ShortSource, func(c *circuit.Circuit) {
		c.SetCondition(c.Source("v", c.Node("a"), circuit.Ground, 12), circuit.Shorted)
	}},
	{"lamp of no volts", "f", circuit.OutOfRange, func(c *circuit.Circuit) {
		c.Filament("f", c.Node("a"), circuit.Ground, circuit.FilamentModel{Amps: 2, ColdRatio: circuit.ColdRatio})
	}},
	{"lamp without a cold ratio", "f", circuit.OutOfRange, func(c *circuit.Circuit) {
		c.Filament("f", c.Node("a"), circuit.Ground, circuit.FilamentModel{Volts: 12.8, Amps: 2})
	}},
	{"diode without resistance", "d", circuit.OutOfRange, func(c *circuit.Circuit) {
		c.Diode("d", c.Node("a"), circuit.Ground, circuit.DiodeModel{SaturationAmps: 1e-8, Ideality: 1.8})
	}},
	{"LED without ballast", "l", circuit.OutOfRange, func(c *circuit.Circuit) {
		c.LED("l", c.Node("a"), circuit.Ground, circuit.LEDModel{Volts: 6, Amps: 0.2, Threshold: 6})
	}},
	{"LED that needs more than it has", "l", circuit.OutOfRange, func(c *circuit.Circuit) {
		c.LED("l", c.Node("a"), circuit.Ground, circuit.LEDModel{Volts: 5, Amps: 0.2, Threshold: 6})
	}},
	{"ohms of a diode", "d", circuit.WrongKind, func(c *circuit.Circuit) {
		c.SetOhms(c.Diode("d", c.Node("a"), circuit.Ground, silicon), 1)
	}},
	{"no such part", "", circuit.UnknownPart, func(c *circuit.Circuit) { c.SetClosed(3, true) }},
	{"no such part, below 0", "", circuit.UnknownPart, func(c *circuit.Circuit) { c.SetEnds(-1, 0, 0) }},
}

func TestBadPart(t *testing.T) {
	for _, tt := range bad {
		t.Run(tt.name, func(t *testing.T) {
			c := circuit.New()
			s := circuit.NewSolver(c)
			tt.build(c)
			var wrong *circuit.PartError
			if err := c.Check(); !errors.As(err, &wrong) {
				t.Fatalf("Check returned %v", err)
			}
			if wrong.Name != tt.part || wrong.Reason != tt.reason {
				t.Errorf("Check blames %q: %v", wrong.Name, wrong)
			}
			if err := s.Solve(c); err == nil || err.Error() != wrong.Error() {
				t.Errorf("Solve returned %v", err)
			}
			if _, err := c.Netlist("", circuit.NetlistOptions{}); err == nil || err.Error() != wrong.Error() {
				t.Errorf("Netlist returned %v", err)
			}
		})
	}
}

func TestBadNode(t *testing.T) {
	for _, name := range []string{"", "A", "a b", "1", "_a", "gnd", "temper", "not", "all", "a\n.end", "ä", "a-b", "a.b", "v(a)"} {
		c := circuit.New()
		c.Node(name)
		var wrong *circuit.NodeError
		if err := c.Check(); !errors.As(err, &wrong) || wrong.Name != name {
			t.Errorf("%q: Check returned %v", name, err)
		}
	}
}

// A value that was wrong may be put right; what is asked of no part may not.
func TestPutRight(t *testing.T) {
	c := circuit.New()
	c.Source("v", c.Node("a"), circuit.Ground, 12)
	r := c.Resistor("r", c.Node("a"), circuit.Ground, 0)
	if c.Check() == nil {
		t.Fatal("0 ohm passes")
	}
	c.SetOhms(r, 6)
	if s := mustSolve(t, c); math.Abs(s.Current(r)-2) > 1e-9 {
		t.Errorf("%g A", s.Current(r))
	}
}

func TestNothingThere(t *testing.T) {
	c := circuit.New()
	s := mustSolve(t, c)
	if v := s.Voltage(9) + s.Voltage(-1) + s.Current(9) + s.Current(-1) + s.Power(9) + s.Power(-1); v != 0 {
		t.Errorf("what is not there has %g", v)
	}
	if c.NodeName(9) != "" || c.PartName(9) != "" || c.NodeName(-1) != "" || c.PartName(-1) != "" {
		t.Error("what is not there has a name")
	}
}

// After an error the last answer is gone.
func TestErrorLeavesNothing(t *testing.T) {
	n := harness{left: true}.build()
	s := mustSolve(t, n.Circuit)
	n.SetVolts(n.supply, math.NaN())
	if s.Solve(n.Circuit) == nil || s.Voltage(n.Node("kl")) != 0 || s.Current(n.supply) != 0 || s.Power(n.supply) != 0 {
		t.Error("an old answer shows through")
	}
}

// One solver for circuits of any size, and a circuit that grows.
func TestSolverFitsAny(t *testing.T) {
	s := circuit.NewSolver(circuit.New())
	small := circuit.New()
	small.Source("v", small.Node("a"), circuit.Ground, 12)
	for range 2 {
		for _, tt := range references {
			n := tt.build()
			if err := s.Solve(n.Circuit); err != nil {
				t.Fatal(err)
			}
			near(t, "supply", s.Current(n.supply), tt.want["supply"])
		}
		if err := s.Solve(small); err != nil || s.Voltage(1) != 12 {
			t.Errorf("%v, %g V", err, s.Voltage(1))
		}
	}
	r := small.Resistor("r", small.Node("a"), small.Node("b"), 2)
	small.Resistor("r", small.Node("b"), circuit.Ground, 4)
	if err := s.Solve(small); err != nil || math.Abs(s.Current(r)-2) > 1e-9 {
		t.Errorf("%v, %g A", err, s.Current(r))
	}
}

// Cut and shorted parts, open and closed switches, moved ends.
func TestConditions(t *testing.T) {
	c := circuit.New()
	v := c.Source("v", c.Node("a"), circuit.Ground, 12)
	top := c.Resistor("top", c.Node("a"), c.Node("b"), 2)
	low := c.Resistor("low", c.Node("b"), circuit.Ground, 4)
	sw := c.Switch("switch", c.Node("a"), c.Node("b"), false)
	s := circuit.NewSolver(c)
	for _, tt := range []struct {
		name   string
		change func()
		b      float64
	}{
		{"as made", func() {}, 8},
		{"top cut", func() { c.SetCondition(top, circuit.Cut) }, 0},
		{"switch closed", func() { c.SetClosed(sw, true) }, 12 * 4 / (4 + circuit.ShortOhms)},
		{"switch cut", func() { c.SetCondition(sw, circuit.Cut) }, 0},
		{"top shorted", func() { c.SetCondition(top, circuit.Shorted) }, 12 * 4 / (4 + circuit.ShortOhms)},
		{"sound", func() { c.SetCondition(top, circuit.Sound) }, 8},
		{"low onto a", func() { c.SetEnds(low, c.Node("a"), circuit.Ground) }, 12},
		{"source cut", func() { c.SetCondition(v, circuit.Cut) }, 0},
		{"source back", func() { c.SetCondition(v, circuit.Sound) }, 12},
		{"source turned", func() { c.SetEnds(v, circuit.Ground, c.Node("a")) }, -12},
	} {
		tt.change()
		if err := s.Solve(c); err != nil {
			t.Fatalf("%s: %v", tt.name, err)
		}
		if got := s.Voltage(c.Node("b")); math.Abs(got-tt.b) > 1e-9 {
			t.Errorf("%s: b is at %g V, want %g", tt.name, got, tt.b)
		}
		balanced(t, c, s)
	}
}

// A battery between two floating nodes, a source on a source, a source through
// a diode chain: what sources hold together is found out and shared.
func TestSourcesStack(t *testing.T) {
	c := circuit.New()
	low := c.Source("low", c.Node("a"), circuit.Ground, 12)
	high := c.Source("high", c.Node("b"), c.Node("a"), 5)
	lone := c.Source("lone", c.Node("p"), c.Node("q"), 9)
	c.Resistor("across", c.Node("p"), c.Node("q"), 3)
	c.Resistor("load", c.Node("b"), circuit.Ground, 17)
	s := mustSolve(t, c)
	for _, tt := range []struct {
		what      string
		got, want float64
	}{
		{"b", s.Voltage(c.Node("b")), 17},
		{"p over q", s.Voltage(c.Node("p")) - s.Voltage(c.Node("q")), 9},
		{"p, held by the leak alone", s.Voltage(c.Node("p")), 4.5},
		{"high", s.Current(high), -1},
		{"low", s.Current(low), -1},
		{"lone", s.Current(lone), -3},
		{"power of high", s.Power(high), -5},
	} {
		if math.Abs(tt.got-tt.want) > 2e-9 {
			t.Errorf("%s is %.12g, want %g", tt.what, tt.got, tt.want)
		}
	}
	balanced(t, c, s)
}

// Two diodes back to back, either way, between a supply and a lamp: dark, and
// the point between floats where the leaks put it.
func TestBackToBack(t *testing.T) {
	for _, outward := range []bool{false, true} {
		n := newNet()
		a, b := n.d("bat", "mid", silicon), n.d("lamp", "mid", silicon)
		if outward {
			n.SetEnds(a, n.Node("mid"), n.Node("bat"))
			n.SetEnds(b, n.Node("mid"), n.Node("lamp"))
		}
		f := n.lamp("lamp", "0", stop)
		s := mustSolve(t, n.Circuit)
		if amps := math.Abs(s.Current(f)); amps > 1e-7 {
			t.Errorf("%g A flow through two diodes that face each other", amps)
		}
		balanced(t, n.Circuit, s)
	}
}

// An LED lamp draws its amperes at its volts, next to nothing below its
// threshold and nothing backwards.
func TestLED(t *testing.T) {
	m := circuit.LEDModel{Volts: 13.5, Amps: 0.25, Threshold: 6.4}
	c := circuit.New()
	v := c.Source("v", c.Node("a"), circuit.Ground, 13.5)
	l := c.LED("l", c.Node("a"), circuit.Ground, m)
	s := circuit.NewSolver(c)
	for _, tt := range []struct{ volts, low, high float64 }{
		{13.5, 0.25 - 1e-9, 0.25 + 1e-9},
		{9.95, 0.12, 0.135},
		{6.4, 0.006, 0.02},
		{4, 1e-8, 1e-6},
		{0, -1e-20, 1e-20},
		{-13.5, -2e-11, 0},
	} {
		c.SetVolts(v, tt.volts)
		if err := s.Solve(c); err != nil {
			t.Fatal(err)
		}
		if got := s.Current(l); got < tt.low || got > tt.high {
			t.Errorf("%g V: %g A, want %g to %g", tt.volts, got, tt.low, tt.high)
		}
	}
}

// A solver that has seen a circuit allocates nothing, whatever changes but its
// parts and nodes.
func TestSolveAgainAllocatesNothing(t *testing.T) {
	n := harness{tail: true, left: true, right: true, tapped: true, car: steered}.build()
	s := mustSolve(t, n.Circuit)
	body, ground := circuit.Part(10), n.Node("g")
	if name := n.PartName(body); !strings.HasPrefix(name, "g to") {
		t.Fatalf("part %d is %s", body, name)
	}
	diode := circuit.Part(13)
	k, sl := n.Ends(diode)
	ohms := 0.1
	if got := testing.AllocsPerRun(200, func() {
		ohms *= 1.01
		n.SetOhms(body, ohms)
		n.SetVolts(n.supply, 12+ohms/10)
		n.SetCondition(diode, circuit.Cut)
		_ = s.Solve(n.Circuit)
		n.SetCondition(diode, circuit.Shorted)
		_ = s.SolveWarm(n.Circuit)
		n.SetCondition(diode, circuit.Sound)
		n.SetDiode(diode, schottky)
		n.SetEnds(diode, sl, k)
		_ = s.Solve(n.Circuit)
		n.SetEnds(diode, k, sl)
		n.SetCondition(n.supply, circuit.Cut)
		_ = s.Solve(n.Circuit)
		n.SetCondition(n.supply, circuit.Sound)
		_ = s.Solve(n.Circuit)
		_ = s.Voltage(ground)
	}); got != 0 {
		t.Errorf("%g allocations", got)
	}
}

// From wherever it starts, near or far, a circuit with parts cut, shorted or moved
// has the answer that it has from nothing.
func TestSolveNear(t *testing.T) {
	n := harness{tail: true, left: true, right: true, tapped: true, car: steered}.build()
	r := rand.New(rand.NewPCG(3, 8))
	near, cold := circuit.NewSolver(n.Circuit), mustSolve(t, n.Circuit)
	answer := cold.AppendVoltages(nil)
	var cutSteps, coldSteps int
	for p := range circuit.Part(n.Parts()) {
		a, b := n.Ends(p)
		for _, change := range []struct {
			name string
			do   func()
		}{
			{"cut", func() { n.SetCondition(p, circuit.Cut) }},
			{"shorted", func() { n.SetCondition(p, circuit.Shorted) }},
			{"turned", func() { n.SetEnds(p, b, a) }},
		} {
			if p == n.supply {
				continue
			}
			change.do()
			mustEqual := func(from string, volts []float64) {
				if err := errors.Join(near.SolveNear(n.Circuit, volts), cold.Solve(n.Circuit)); err != nil {
					t.Fatalf("%s %s from %s: %v", n.PartName(p), change.name, from, err)
				}
				for node := range n.Nodes() {
					if a, b := near.Voltage(circuit.Node(node)), cold.Voltage(circuit.Node(node)); math.Abs(a-b) > 1e-6 {
						t.Errorf("%s %s: node %s: %.12g from %s, %.12g from nothing", n.PartName(p), change.name, n.NodeName(circuit.Node(node)), a, from, b)
					}
				}
			}
			mustEqual("the sound answer", answer)
			steps, _ := near.Effort()
			cutSteps += steps
			steps, _ = cold.Effort()
			coldSteps += steps
			anywhere := make([]float64, n.Nodes())
			for i := range anywhere {
				anywhere[i] = 40*r.Float64() - 20
			}
			mustEqual("anywhere", anywhere)
			mustEqual("too few nodes", anywhere[:2])
			n.SetCondition(p, circuit.Sound)
			n.SetEnds(p, a, b)
		}
	}
	t.Logf("%d steps from the sound answer, %d from nothing", cutSteps, coldSteps)
	if cutSteps >= coldSteps {
		t.Errorf("%d steps from the sound answer, %d from nothing", cutSteps, coldSteps)
	}
}

// A warm start gives the cold start's answer.
func TestSolveWarm(t *testing.T) {
	n := harness{tail: true, left: true, right: true, car: steered}.build()
	warm, cold := mustSolve(t, n.Circuit), circuit.NewSolver(n.Circuit)
	for _, volts := range []float64{13.4, 12, 0, -13.5, 14.4} {
		n.SetVolts(n.supply, volts)
		if err := errors.Join(warm.SolveWarm(n.Circuit), cold.Solve(n.Circuit)); err != nil {
			t.Fatal(err)
		}
		for node := range n.Nodes() {
			if a, b := warm.Voltage(circuit.Node(node)), cold.Voltage(circuit.Node(node)); math.Abs(a-b) > 1e-8 {
				t.Errorf("%g V: node %s: %.12g warm, %.12g cold", volts, n.NodeName(circuit.Node(node)), a, b)
			}
		}
	}
}
