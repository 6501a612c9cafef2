package lighttest

import (
	"math"

	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// BenchTest is the test in the shop, without the motorhome: a fused source of 12 V on
// each pin of the car's plug in turn, then a voltmeter on every pin while the
// car's own switches are worked.
type BenchTest struct {
	Do   []finding.Text `json:"do"`
	Pins []BenchPin     `json:"pins"`
	// Back is what the pins show with each of the car's switches on.
	Back []BackFeed `json:"back"`
}

// BenchPin is what the source sees on one pin.
type BenchPin struct {
	Pin string `json:"pin"`
	// A is what the source gives, GroundDropV what is lost from the car's body to
	// the source.
	A           float64  `json:"a"`
	GroundDropV float64  `json:"ground_drop_v"`
	Lamps       []LampVA `json:"lamps"`
}

// LampVA is a lamp that is lit on the bench.
type LampVA struct {
	Lamp  string  `json:"lamp"`
	V     float64 `json:"v"`
	A     float64 `json:"a"`
	Light float64 `json:"light"`
}

// BackFeed is every pin with one of the car's switches on.
type BackFeed struct {
	Switch wiring.CarSwitch `json:"switch"`
	Pins   []PinVolts       `json:"pins"`
}

// PinVolts is what a voltmeter shows on a pin. OK is whether that is no voltage.
type PinVolts struct {
	Pin string  `json:"pin"`
	V   float64 `json:"v"`
	OK  bool    `json:"ok"`
}

// The bench: its source and leads, and the volts from which a pin counts as fed.
const (
	benchV, benchOhm = 12, 0.02
	fedV             = 0.5
)

// onBench is the harness with a source on its plug in place of the motorhome. The
// motorhome's switches leave 10 megohm when they are open: a voltmeter's input.
func onBench(h wiring.Harness) wiring.Harness {
	if h.Combines() {
		h.Converter, h.Signals = rig.NoConverter, rig.CombinedSignals
	}
	h.SupplyV, h.ConverterDropV = benchV, 0
	for i := range h.Ohms.Source {
		h.Ohms.Source[i], h.Tapped[i] = benchOhm, false
	}
	o := &h.Ohms
	o.Umbilical, o.UmbilicalGround, o.Chassis, o.Hitch = 0, 0, benchOhm, 0
	h.Interrupted, h.UnitFollows = h.Interrupted && !h.InterrupterFailSafe, false
	return h
}

// pins are the pins of the plug with the step that feeds each alone.
func pins(h *wiring.Harness) (names []string, steps []wiring.Step) {
	for f, s := range [...]wiring.Step{wiring.StepTail, wiring.StepLeft, wiring.StepRight, wiring.StepBrake} {
		feed := wiring.Feed(f)
		if h.Wires[f] && (feed != wiring.Stop || h.ThreeFeeds() && h.Signals == rig.SeparateSignals) {
			names, steps = append(names, feed.Name()), append(steps, s)
		}
	}
	return names, steps
}

func bench(h wiring.Harness) (*BenchTest, error) {
	h = onBench(h)
	n := wiring.Build(h)
	b := &BenchTest{Do: []finding.Text{say("light.bench.source"), say("light.bench.pin"), say("light.bench.back")}, Pins: []BenchPin{}, Back: []BackFeed{}}
	names, steps := pins(&h)
	for i, s := range steps {
		n.Set(wiring.State{Step: s, Half: wiring.Lit})
		if err := n.Solve(); err != nil {
			return nil, err
		}
		b.Pins = append(b.Pins, pin(n, names[i]))
	}
	for _, s := range []wiring.CarSwitch{wiring.CarStopSwitch, wiring.CarLeftTurn, wiring.CarRightTurn, wiring.CarParkSwitch} {
		n.Set(wiring.State{Step: wiring.StepAllOff, Half: wiring.Lit, Car: s})
		if err := n.Solve(); err != nil {
			return nil, err
		}
		b.Back = append(b.Back, back(n, s, names))
	}
	return b, nil
}

func pin(n *wiring.Network, name string) BenchPin {
	x := BenchPin{Pin: name, Lamps: []LampVA{}}
	if p, ok := n.Part("umbilical_" + name); ok {
		x.A = milli(n.Current(p))
	}
	if g, ok := n.Node("g"); ok {
		x.GroundDropV = milli(n.Voltage(g))
	}
	for i, l := range n.Lamps() {
		if light := n.Light(i); l.Connected && wiring.GlowOf(light) != wiring.IsDark {
			x.Lamps = append(x.Lamps, LampVA{Lamp: l.ID, V: milli(n.Volts(i)), A: milli(n.Amps(i)), Light: milli(light)})
		}
	}
	return x
}

func back(n *wiring.Network, s wiring.CarSwitch, names []string) BackFeed {
	f := BackFeed{Switch: s, Pins: []PinVolts{}}
	ground, _ := n.Node("cg")
	for _, name := range names {
		at, _ := n.Node("c" + name[:1])
		v := milli(math.Abs(n.Voltage(at) - n.Voltage(ground)))
		f.Pins = append(f.Pins, PinVolts{Pin: name, V: v, OK: !Fed(v)})
	}
	return f
}

// Fed reports whether so many volts on a pin, of either sign, mean that something
// feeds it.
func Fed(volts float64) bool { return math.Abs(volts) >= fedV }

// milli rounds to a thousandth: what a meter shows at best.
func milli(v float64) float64 { return unit.Round9(math.Round(1000*v) / 1000) }
