package circuit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/circuit"
)

// Currents at every node add up to zero within 1e-9 A, and the parts take up
// what the sources give.
func TestPropertyBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := randomNet(drawRand(t))
		s := solved(t, c)
		balanced(t, c, s)
		watts := 0.0
		for p := range c.Parts() {
			watts += s.Power(circuit.Part(p))
		}
		for n := range c.Nodes() {
			v := s.Voltage(circuit.Node(n))
			watts += circuit.Leak * v * v
		}
		if math.Abs(watts) > 1e-6 {
			t.Errorf("%g W come from nowhere", watts)
		}
	})
}

// Every part but a source takes up power, and no node is beyond what the
// sources add up to.
func TestPropertyPassive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := randomNet(drawRand(t))
		s := solved(t, c)
		reach := math.Abs(s.Voltage(1)) + 12.6 + 1e-9
		for n := range c.Nodes() {
			if v := s.Voltage(circuit.Node(n)); math.Abs(v) > reach {
				t.Errorf("node %d is at %g V", n, v)
			}
		}
		for p := range c.Parts() {
			name := c.PartName(circuit.Part(p))
			if w := s.Power(circuit.Part(p)); name != "supply" && name != "second" && w < -1e-12 {
				t.Errorf("%s gives %g W", name, -w)
			}
		}
	})
}

// A network whose sources are at 0 V or cut is at zero everywhere.
func TestPropertyNothingFromNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := randomNet(drawRand(t))
		cut := rapid.Bool().Draw(t, "cut")
		for p := range c.Parts() {
			switch name := c.PartName(circuit.Part(p)); {
			case name != "supply" && name != "second":
			case cut:
				c.SetCondition(circuit.Part(p), circuit.Cut)
			default:
				c.SetVolts(circuit.Part(p), 0)
			}
		}
		s := solved(t, c)
		for n := range c.Nodes() {
			if v := s.Voltage(circuit.Node(n)); math.Abs(v) > 1e-12 {
				t.Errorf("node %d is at %g V", n, v)
			}
		}
		for p := range c.Parts() {
			if amps := s.Current(circuit.Part(p)); math.Abs(amps) > 1e-12 {
				t.Errorf("%s carries %g A", c.PartName(circuit.Part(p)), amps)
			}
		}
	})
}

// Every source and every diode turned round: every voltage changes its sign.
func TestPropertyMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := drawSeed(t)
		c, m := randomNet(rand.New(rand.NewPCG(seed, 0))), randomNet(rand.New(rand.NewPCG(seed, 0)))
		for p := range m.Parts() {
			a, b := m.Ends(circuit.Part(p))
			m.SetEnds(circuit.Part(p), b, a)
		}
		s, r := solved(t, c), solved(t, m)
		for n := range c.Nodes() {
			if a, b := s.Voltage(circuit.Node(n)), r.Voltage(circuit.Node(n)); math.Abs(a+b) > 1e-8 {
				t.Errorf("node %d is at %.12g V, mirrored at %.12g V", n, a, b)
			}
		}
	})
}

// More resistance in the common ground never brightens a lamp: lamps side by
// side, each behind its own run and perhaps a diode, all on one white wire.
func TestPropertyGroundResistanceNeverBrightens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRand(t)
		n := newNet()
		ohms := between(r, 1e-3, 5)
		ground := n.r("g", "0", ohms)
		var lamps []circuit.Part
		for i := range 1 + r.IntN(5) {
			run, socket := "k"+string(rune('a'+i)), "s"+string(rune('a'+i))
			n.r("bat", run, between(r, 0.05, 2))
			if r.IntN(2) == 0 {
				n.d(run, socket, pick(r, silicon, schottky))
			} else {
				n.r(run, socket, 0.01)
			}
			if r.IntN(4) == 0 {
				lamps = append(lamps, n.LED("led", n.Node(socket), n.Node("g"), circuit.LEDModel{Volts: 13.5, Amps: 0.25, Threshold: 6.4}))
			} else {
				lamps = append(lamps, n.lamp(socket, "g", pick(r, stop, tail)))
			}
		}
		s := solved(t, n.Circuit)
		before := make([]float64, len(lamps))
		for i, p := range lamps {
			before[i] = s.Power(p)
		}
		n.SetOhms(ground, ohms+between(r, 1e-3, 20))
		s = solved(t, n.Circuit)
		for i, p := range lamps {
			if s.Power(p) > before[i]+1e-12 {
				t.Errorf("lamp %d takes %g W, then %g W", i, before[i], s.Power(p))
			}
		}
	})
}

func drawSeed(t *rapid.T) uint64 { return rapid.Uint64().Draw(t, "seed") }

func drawRand(t *rapid.T) *rand.Rand { return rand.New(rand.NewPCG(drawSeed(t), 0)) }

func solved(t *rapid.T, c *circuit.Circuit) *circuit.Solver {
	s := circuit.NewSolver(c)
	if err := s.Solve(c); err != nil {
		t.Fatal(err)
	}
	return s
}
