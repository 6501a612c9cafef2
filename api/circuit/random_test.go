package circuit_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"pintail/api/circuit"
)

// randomNet is a network no one would build: 3 to 24 nodes, on a tree of parts
// so that most is reached, with as many parts again between any two, and some
// parts cut or shorted, so that not all is.
func randomNet(r *rand.Rand) *circuit.Circuit {
	c := circuit.New()
	nodes := 3 + r.IntN(22)
	for i := 1; i < nodes; i++ {
		c.Node("n" + strconv.Itoa(i))
	}
	c.Source("supply", 1, circuit.Ground, pick(r, 12.6, 13.5, 14.2, 24, 0, -13.5))
	if r.IntN(4) == 0 {
		c.Source("second", circuit.Node(2), circuit.Node(r.IntN(2)), 12.6*r.Float64())
	}
	for n := 2; n < nodes; n++ {
		randomPart(r, c, circuit.Node(n), circuit.Node(r.IntN(n)))
	}
	for range r.IntN(2 * nodes) {
		if a, b := circuit.Node(r.IntN(nodes)), circuit.Node(r.IntN(nodes)); a != b {
			randomPart(r, c, a, b)
		}
	}
	return c
}

func randomPart(r *rand.Rand, c *circuit.Circuit, a, b circuit.Node) {
	var p circuit.Part
	name := "p" + strconv.Itoa(c.Parts())
	switch r.IntN(10) {
	case 0, 1:
		p = c.Filament(name, a, b, circuit.FilamentModel{Volts: pick(r, 12.8, 13.5, 14), Amps: between(r, 0.2, 3.3), ColdRatio: pick(r, circuit.ColdRatio, 1.0/8, 1.0/15)})
	case 2, 3:
		p = c.Diode(name, a, b, pick(r, silicon, schottky, circuit.DiodeModel{SaturationAmps: 7.02e-9, Ideality: 1.8, SeriesOhms: 0.0341}))
	case 4:
		p = c.LED(name, a, b, circuit.LEDModel{Volts: 13.5, Amps: between(r, 0.03, 0.5), Threshold: between(r, 2, 8)})
	case 5:
		p = c.Switch(name, a, b, r.IntN(2) == 0)
	case 6:
		p = c.Resistor(name, a, b, pick(r, 1e7, 1e6, 1e9))
	default:
		p = c.Resistor(name, a, b, between(r, 1e-3, 100))
	}
	switch r.IntN(12) {
	case 0:
		c.SetCondition(p, circuit.Cut)
	case 1:
		c.SetCondition(p, circuit.Shorted)
	}
}

func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

// between is spread evenly over the logarithm.
func between(r *rand.Rand, low, high float64) float64 {
	return low * math.Pow(high/low, r.Float64())
}

// Twenty thousand networks: each has an answer, found in few steps, and the
// currents balance.
func TestRandomNetworksConverge(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	s := circuit.NewSolver(circuit.New())
	most, sum, count := 0, 0, 20_000
	if testing.Short() {
		count = 2000
	}
	for i := range count {
		c := randomNet(r)
		if err := s.Solve(c); err != nil {
			t.Fatalf("network %d: %v", i, err)
		}
		steps, residual := s.Effort()
		most, sum = max(most, steps), sum+steps
		if residual > circuit.Residual {
			t.Errorf("network %d: %g A left over", i, residual)
		}
		balanced(t, c, s)
	}
	if mean := float64(sum) / float64(count); mean > 6 || most > 100 {
		t.Errorf("%.1f steps on average, %d at most", mean, most)
	}
}

// balanced adds up what leaves each node.
func balanced(t interface{ Errorf(string, ...any) }, c *circuit.Circuit, s *circuit.Solver) {
	away := make([]float64, c.Nodes())
	for n := range away {
		v := s.Voltage(circuit.Node(n))
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("node %s is at %g V", c.NodeName(circuit.Node(n)), v)
		}
		away[n] = circuit.Leak * v
	}
	for p := range c.Parts() {
		a, b := c.Ends(circuit.Part(p))
		amps := s.Current(circuit.Part(p))
		away[a] += amps
		away[b] -= amps
	}
	for n, amps := range away[1:] {
		if !(math.Abs(amps) <= circuit.Residual) {
			t.Errorf("%g A leave node %s", amps, c.NodeName(circuit.Node(n+1)))
		}
	}
}

// The same with every value its model allows, from end to end, and up to 48 V;
// but 1 milliohm at least, for 480 kA have no digits left for 1e-9 A.
func TestEveryValueConverges(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	s := circuit.NewSolver(circuit.New())
	for i := range 3000 {
		c := wildNet(r)
		if err := s.Solve(c); err != nil {
			t.Fatalf("network %d: %v", i, err)
		}
		if _, residual := s.Effort(); residual > circuit.Residual {
			t.Errorf("network %d: %g A left over", i, residual)
		}
	}
}

func wildNet(r *rand.Rand) *circuit.Circuit {
	c := circuit.New()
	nodes := 3 + r.IntN(22)
	for i := 1; i < nodes; i++ {
		c.Node("n" + strconv.Itoa(i))
	}
	c.Source("supply", 1, circuit.Ground, 96*r.Float64()-48)
	for n := 2; n < nodes; n++ {
		wildPart(r, c, circuit.Node(n), circuit.Node(r.IntN(n)))
	}
	for range r.IntN(2 * nodes) {
		if a, b := circuit.Node(r.IntN(nodes)), circuit.Node(r.IntN(nodes)); a != b {
			wildPart(r, c, a, b)
		}
	}
	return c
}

func wildPart(r *rand.Rand, c *circuit.Circuit, a, b circuit.Node) {
	switch r.IntN(4) {
	case 0:
		c.Filament("f", a, b, circuit.FilamentModel{Volts: between(r, 0.1, 100), Amps: between(r, 1e-6, 100), ColdRatio: between(r, 0.01, 1)})
	case 1:
		c.Diode("d", a, b, circuit.DiodeModel{SaturationAmps: between(r, 1e-30, 0.1), Ideality: between(r, 0.1, 100), SeriesOhms: between(r, 1e-3, 1e6)})
	case 2:
		threshold := between(r, 0.1, 50)
		c.LED("l", a, b, circuit.LEDModel{Volts: threshold * between(r, 1.2, 2), Amps: between(r, 1e-4, 10), Threshold: threshold})
	default:
		c.Resistor("r", a, b, between(r, 1e-3, circuit.MaxOhms))
	}
}
