package circuit_test

import (
	"testing"

	"pintail/api/circuit"
)

// The reference harness of the tests: 13.5 V, feeds of 40 ft of 14 AWG copper
// with fuse and switch, a connector, 28 ft of 16 AWG to the car's lamps, a
// white wire back, lamps of 12.8 V 2.10 A and 14 V 0.59 A.
const (
	feedOhms    = 0.131
	runOhms     = 0.132448
	groundOhms  = 0.079176
	housingOhms = 0.01
	offOhms     = 1e7 // a feed that is off
	openOhms    = 1e9 // a wire that is open, as the SPICE cases write it
)

var (
	stop     = circuit.FilamentModel{Volts: 12.8, Amps: 2.10, ColdRatio: circuit.ColdRatio}
	tail     = circuit.FilamentModel{Volts: 14, Amps: 0.59, ColdRatio: circuit.ColdRatio}
	towTail  = circuit.FilamentModel{Volts: 14, Amps: 3.23, ColdRatio: circuit.ColdRatio}
	highStop = circuit.FilamentModel{Volts: 14, Amps: 0.54, ColdRatio: circuit.ColdRatio}
	parks    = circuit.FilamentModel{Volts: 14, Amps: 1.08, ColdRatio: circuit.ColdRatio}

	silicon  = circuit.DiodeModel{SaturationAmps: 2.8e-8, Ideality: 1.8, SeriesOhms: 0.0085}
	schottky = circuit.DiodeModel{SaturationAmps: 1.10e-5, Ideality: 1.05, SeriesOhms: 0.0616}
)

// harness says how the reference harness is wired and what is wrong with it.
type harness struct {
	tail, left, right bool    // feeds that are on
	tapped            bool    // onto the motorhome's own lamps
	ground            float64 // ohms of the white wire; 0 is sound
	leftHousing       float64 // ohms; 0 is sound
	car               carSide
	swapped           bool // brown and yellow
	short             bool // yellow to ground at the car, 5 milliohm
}

type carSide int

const (
	separate carSide = iota // bulbs of their own
	steered                 // factory lamps, a diode in each feed and in each wire of the car
	spliced                 // factory lamps, no diode
)

// net is a circuit that is built by names.
type net struct {
	*circuit.Circuit
	supply circuit.Part
}

func newNet() *net {
	n := &net{Circuit: circuit.New()}
	n.supply = n.Source("vb", n.Node("bat"), circuit.Ground, 13.5)
	return n
}

func (n *net) r(a, b string, ohms float64) circuit.Part {
	return n.Resistor(a+" to "+b, n.Node(a), n.Node(b), ohms)
}

func (n *net) lamp(a, b string, m circuit.FilamentModel) circuit.Part {
	return n.Filament(a+" to "+b, n.Node(a), n.Node(b), m)
}

func (n *net) d(a, b string, m circuit.DiodeModel) circuit.Part {
	return n.Diode(a+" to "+b, n.Node(a), n.Node(b), m)
}

func (h harness) build() *net {
	n := newNet()
	h.motorhome(n)
	yellow, brown := "ml", "mt"
	if h.swapped {
		yellow, brown = brown, yellow
	}
	n.r(yellow, "kl", runOhms)
	n.r("mr", "kr", runOhms)
	n.r(brown, "kt", runOhms)
	n.r("g", "0", or(h.ground, groundOhms))
	n.r("gl", "g", or(h.leftHousing, housingOhms))
	n.r("gr", "g", housingOhms)
	h.carSide(n)
	n.r("tl", "tr", 0.012)
	n.lamp("sl", "gl", stop)
	n.lamp("sr", "gr", stop)
	n.lamp("tl", "gl", tail)
	n.lamp("tr", "gr", tail)
	if h.short {
		n.r("kl", "g", 0.005)
	}
	return n
}

func (h harness) motorhome(n *net) {
	for _, f := range []struct {
		node string
		on   bool
		own  circuit.FilamentModel
	}{{"ml", h.left, stop}, {"mr", h.right, stop}, {"mt", h.tail, towTail}} {
		if f.on {
			n.r("bat", f.node, feedOhms)
		} else {
			n.r(f.node, "0", offOhms)
		}
		if h.tapped {
			n.lamp(f.node, "0", f.own)
		}
	}
}

func (h harness) carSide(n *net) {
	switch h.car {
	case separate:
		n.r("kl", "sl", 0.001)
		n.r("kr", "sr", 0.001)
		n.r("kt", "tl", 0.001)
		return
	case steered:
		for _, ends := range [][2]string{{"kl", "sl"}, {"kr", "sr"}, {"kt", "tl"}, {"fl", "sl"}, {"fr", "sr"}, {"ft", "tl"}} {
			n.d(ends[0], ends[1], silicon)
		}
	case spliced:
		n.r("kl", "sl", 0.001)
		n.r("kr", "sr", 0.001)
		n.r("kt", "tl", 0.001)
		n.r("fl", "sl", 0.01)
		n.r("fr", "sr", 0.01)
		n.r("ft", "tl", 0.01)
	}
	n.r("fl", "sb", 0.03)
	n.r("fr", "sb", 0.03)
	n.lamp("sb", "g", highStop)
	n.lamp("ft", "g", parks)
	n.r("sb", "g", offOhms)
	n.r("ft", "g", offOhms)
}

func or(v, otherwise float64) float64 {
	if v == 0 {
		return otherwise
	}
	return v
}

// mustSolve solves a circuit from nothing.
func mustSolve(tb testing.TB, c *circuit.Circuit) *circuit.Solver {
	tb.Helper()
	s := circuit.NewSolver(c)
	if err := s.Solve(c); err != nil {
		tb.Fatal(err)
	}
	return s
}
