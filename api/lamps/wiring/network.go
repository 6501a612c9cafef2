package wiring

import (
	"encoding/binary"
	"math"
	"strings"

	"pintail/api/circuit"
	"pintail/api/lamps/parts"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Network is the circuit of one harness with the lamps on it. One goroutine at a
// time may use it.
type Network struct {
	Harness Harness
	circuit *circuit.Circuit
	solver  *circuit.Solver
	lamps   []Lamp
	// base is how every part stands without a fault, by part.
	base []standing
	// touched are the parts a state or a fault changed.
	touched []circuit.Part
	byName  map[string]circuit.Part
	// source, umbilical and car are the parts of each feed, -1 where there is none.
	source, umbilical, car [feeds]circuit.Part
	carStop, bus           circuit.Part
	// spare are resistors that a fault puts where it bridges two nodes, bridges
	// how many of them are in use.
	spare   [2]circuit.Part
	bridges int
	// plug are the parts that unplugging the umbilical parts.
	plug []circuit.Part
}

// standing is one part as it was built.
type standing struct {
	a, b      circuit.Node
	ohms      float64 // 0 for all but resistors
	oneWay    bool    // a diode or LED lamp
	condition circuit.Condition
}

// offOhm is what an open switch of the motorhome or the car leaves.
const offOhm = 1e7

// Build makes the circuit of a harness.
func Build(h Harness) *Network {
	n := &Network{Harness: h, circuit: circuit.New(), byName: map[string]circuit.Part{}}
	n.motorhome()
	n.ground()
	n.lampsAt()
	n.drops()
	n.carOwn()
	n.spare = [2]circuit.Part{n.resistor("bridge_1", "mg", "g", 1, circuit.Cut), n.resistor("bridge_2", "mg", "g", 1, circuit.Cut)}
	n.solver = circuit.NewSolver(n.circuit)
	return n
}

// AppendKey appends what of the network differs from how it was built. States
// with the same key are the same circuit, and have the same answer.
func (n *Network) AppendKey(to []byte) []byte {
	for p := range n.base {
		part := circuit.Part(p)
		a, b := n.circuit.Ends(part)
		now := standing{a: a, b: b, ohms: n.circuit.Ohms(part), oneWay: n.base[p].oneWay, condition: n.circuit.Condition(part)}
		if now == n.base[p] {
			continue
		}
		to = binary.LittleEndian.AppendUint16(to, uint16(p))
		to = binary.LittleEndian.AppendUint16(to, uint16(a))
		to = binary.LittleEndian.AppendUint16(to, uint16(b))
		to = binary.LittleEndian.AppendUint64(to, math.Float64bits(now.ohms))
		to = append(to, byte(now.condition))
	}
	return to
}

// Lamps lists the light sources. Callers must not change it.
func (n *Network) Lamps() []Lamp { return n.lamps }

// Circuit is the circuit as it now stands.
func (n *Network) Circuit() *circuit.Circuit { return n.circuit }

// Node returns the node of that name, false if the network has none.
func (n *Network) Node(name string) (circuit.Node, bool) {
	for i := range n.circuit.Nodes() {
		if n.circuit.NodeName(circuit.Node(i)) == name {
			return circuit.Node(i), true
		}
	}
	return 0, false
}

// Part returns the part of that name, false if the network has none.
func (n *Network) Part(name string) (circuit.Part, bool) {
	p, ok := n.byName[name]
	return p, ok
}

// Solve finds the voltages of the state it was Set to. The error is one of
// package circuit.
func (n *Network) Solve() error { return n.solver.Solve(n.circuit) }

// SolveWarm is Solve that starts from the answer before it: faster for a state
// like the last, and equal but for the last digits.
func (n *Network) SolveWarm() error { return n.solver.SolveWarm(n.circuit) }

// SolveNear is Solve that starts from the voltages, by node, of an answer like
// the one sought.
func (n *Network) SolveNear(volts []float64) error { return n.solver.SolveNear(n.circuit, volts) }

// AppendVoltages appends the voltage of every node, in the order of the circuit.
func (n *Network) AppendVoltages(to []float64) []float64 { return n.solver.AppendVoltages(to) }

// Voltage is the voltage of a node against the motorhome's chassis.
func (n *Network) Voltage(node circuit.Node) float64 { return n.solver.Voltage(node) }

// Current is the current through a part, in amperes.
func (n *Network) Current(p circuit.Part) float64 { return n.solver.Current(p) }

// Power is what a part turns into heat, in watts.
func (n *Network) Power(p circuit.Part) float64 { return n.solver.Power(p) }

// Volts is the voltage over a lamp.
func (n *Network) Volts(lamp int) float64 {
	a, b := n.circuit.Ends(n.lamps[lamp].Part) // a fault may have changed them
	return n.solver.Voltage(a) - n.solver.Voltage(b)
}

// Amps is the current through a lamp.
func (n *Network) Amps(lamp int) float64 { return n.solver.Current(n.lamps[lamp].Part) }

// Light is the light of a lamp, 1 at its design point, 0 with its bulb out.
func (n *Network) Light(lamp int) float64 {
	if n.circuit.Condition(n.lamps[lamp].Part) == circuit.Cut {
		return 0
	}
	return n.lamps[lamp].light(n.Volts(lamp), n.Amps(lamp))
}

// Fed reports whether a feed of the harness as built leads to a lamp of the car
// that the harness lights; the motorhome's and the car's own need none.
func (n *Network) Fed(lamp int) bool {
	l := &n.lamps[lamp]
	if !l.Connected || strings.HasPrefix(string(l.Lens), "motorhome_") || strings.HasPrefix(string(l.Lens), "car_") || l.Lens == HighStop {
		return true
	}
	live := l.Live
	if tr, ok := n.Node("tr"); ok && live == tr && n.base[n.byName["jumper"]].condition == circuit.Sound {
		live, _ = n.Node("tl")
	}
	for f := range feeds {
		if n.umbilical[f] < 0 || n.base[n.umbilical[f]].condition == circuit.Cut {
			continue
		}
		_, end := n.circuit.Ends(n.car[f])
		for p := range n.base {
			if b := &n.base[p]; b.a == end && b.b == live && b.condition == circuit.Sound {
				return true
			}
		}
	}
	return false
}

// keep remembers how a part was built.
func (n *Network) keep(name string, p circuit.Part, ohms float64, condition circuit.Condition) circuit.Part {
	a, b := n.circuit.Ends(p)
	n.circuit.SetCondition(p, condition)
	n.base = append(n.base, standing{a: a, b: b, ohms: ohms, condition: condition})
	n.byName[name] = p
	return p
}

func (n *Network) node(name string) circuit.Node { return n.circuit.Node(name) }

func (n *Network) resistor(name, a, b string, ohms float64, condition circuit.Condition) circuit.Part {
	ohms = unit.Round9(max(ohms, circuit.MinOhms)) // the same circuit on every processor
	return n.keep(name, n.circuit.Resistor(name, n.node(a), n.node(b), ohms), ohms, condition)
}

func (n *Network) filament(name, a, b string, volts, amps float64, condition circuit.Condition) circuit.Part {
	m := circuit.FilamentModel{Volts: volts, Amps: amps, ColdRatio: circuit.ColdRatio}
	return n.keep(name, n.circuit.Filament(name, n.node(a), n.node(b), m), 0, condition)
}

// ledThreshold is three red dies in series, in volts. Assumed, as the currents
// of lamps without a number are.
const ledThreshold = 6

func (n *Network) bulb(name, a, b string, bulb Bulb, condition circuit.Condition) circuit.Part {
	if !bulb.LED {
		return n.filament(name, a, b, bulb.Volts, bulb.Amps, condition)
	}
	m := circuit.LEDModel{Volts: bulb.Volts, Amps: bulb.Amps, Threshold: ledThreshold}
	p := n.keep(name, n.circuit.LED(name, n.node(a), n.node(b), m), 0, condition)
	n.base[p].oneWay = true
	return p
}

func (n *Network) supply(name, plus, minus string, volts float64) {
	n.keep(name, n.circuit.Source(name, n.node(plus), n.node(minus), volts), 0, circuit.Sound)
}

func soundIf(yes bool) circuit.Condition {
	if yes {
		return circuit.Sound
	}
	return circuit.Cut
}

// has reports whether a feed is part of this network.
func (n *Network) has(f Feed) bool { return f != Stop || n.Harness.ThreeFeeds() }

// motorhome builds supply, branches, socket, umbilical and car wires.
func (n *Network) motorhome() {
	h := &n.Harness
	n.supply("supply", "bat", "0", h.SupplyV)
	from := "bat"
	if h.Combines() || h.Splits() {
		// A converter's outputs take their current from a supply lower by its drop;
		// the motorhome's own lamps stay on its inputs.
		from = "cv"
		n.supply("converter", "cv", "0", h.SupplyV-h.ConverterDropV)
	}
	n.bus = n.resistor("bus", "bat", "bs", 1, circuit.Cut)
	for f := range feeds {
		n.source[f], n.umbilical[f], n.car[f] = -1, -1, -1
		if !n.has(f) {
			continue
		}
		x := f.letter()
		supply := from
		if f == Tail {
			supply = "bat"
		}
		n.source[f] = n.resistor("source_"+f.Name(), supply, "m"+x, h.Ohms.Source[f], circuit.Sound)
		n.resistor("off_"+f.Name(), "m"+x, "0", offOhm, circuit.Sound)
		if h.Tapped[f] && supply == "bat" {
			n.towingLamp(f)
		}
		wired := soundIf(h.Wires[f] || f == Stop && h.Splits())
		n.umbilical[f] = n.resistor("umbilical_"+f.Name(), "m"+x, "c"+x, h.Ohms.Umbilical, wired)
		n.car[f] = n.resistor("car_"+f.Name(), "c"+x, "k"+x, h.Ohms.Car, wired)
		n.plug = append(n.plug, n.umbilical[f])
	}
}

func (n *Network) towingLamp(f Feed) {
	h := &n.Harness
	volts, job, lens := 12.8, StopTurnJob, [...]Lens{TowingTail, TowingLeft, TowingRight, TowingStop}[f]
	switch {
	case f == Tail:
		volts, job = 14, TailJob
	case f == Stop:
		job = StopJob
	case h.Signals == rig.SeparateSignals:
		job = TurnJob
	}
	node := "m" + f.letter()
	p := n.filament("motorhome_"+f.Name(), node, "0", volts, h.OwnLampsA[f], circuit.Sound)
	n.lamps = append(n.lamps, Lamp{ID: "motorhome_" + f.Name(), Lens: lens, Job: job, Part: p, Live: n.node(node), Volts: volts, Amps: h.OwnLampsA[f], Connected: true})
}

// ground builds the way back: chassis, socket, umbilical, car wire, body.
func (n *Network) ground() {
	h := &n.Harness
	wired := soundIf(h.Ground)
	n.resistor("chassis", "0", "mg", h.Ohms.Chassis, circuit.Sound)
	n.plug = append(n.plug, n.resistor("umbilical_ground", "mg", "cg", h.Ohms.UmbilicalGround, wired))
	n.resistor("car_ground", "cg", "g", h.Ohms.CarGround, wired)
	n.resistor("hitch", "g", "0", max(h.Ohms.Hitch, circuit.MinOhms), soundIf(h.Ohms.Hitch > 0))
	n.resistor("damp", "g", "0", h.Ohms.Damp, circuit.Sound)
	n.resistor("housing_left", "gl", "g", h.Ohms.Housing[LeftSide], circuit.Sound)
	n.resistor("housing_right", "gr", "g", h.Ohms.Housing[RightSide], circuit.Sound)
}

var sides = [2]struct {
	name, letter string
	rear, turn   Lens
}{{"left", "l", LeftRear, LeftTurn}, {"right", "r", RightRear, RightTurn}}

// lampsAt builds the light sources that the harness lights.
func (n *Network) lampsAt() {
	h := &n.Harness
	stop := StopTurnJob
	if h.Apart() && h.ThreeFeeds() {
		stop = StopJob
	}
	for i, side := range sides {
		n.lamp("stop_"+side.name, side.rear, stop, "s"+side.letter, "g"+side.letter, h.StopBulb, h.StopLamps[i])
		n.lamp("tail_"+side.name, side.rear, TailJob, "t"+side.letter, "g"+side.letter, h.TailBulb, h.TailLamps[i])
		if h.Apart() {
			n.lamp("turn_"+side.name, side.turn, TurnJob, "a"+side.letter, "g"+side.letter, h.TurnBulb, h.TurnLamps[i])
		}
		if h.Clearance[i] {
			n.lamp("clearance_"+side.name, side.rear, TailJob, "t"+side.letter, "g"+side.letter, clearance, true)
		}
		n.resistor("touching_"+side.name, "s"+side.letter, "t"+side.letter, circuit.ShortOhms, circuit.Cut)
	}
	if h.Plate {
		n.lamp("plate", PlateLens, PlateJob, "tl", "g", h.PlateBulb, true)
	}
}

// clearance is the bulb of a clearance lamp: US trade number 194.
var clearance = Bulb{ID: "194", Volts: 14, Amps: 0.27}

func (n *Network) lamp(id string, lens Lens, job Job, live, back string, b Bulb, connected bool) {
	p := n.bulb(id, live, back, b, soundIf(connected))
	n.lamps = append(n.lamps, Lamp{
		ID: id, Lens: lens, Job: job, Part: p, Live: n.node(live), Back: n.node(back),
		Volts: b.Volts, Amps: b.Amps, LED: b.LED, Connected: connected,
	})
}

// drops joins each feed to its lamps.
func (n *Network) drops() {
	h := &n.Harness
	n.drop(Tail, "tail", "tl", true)
	n.resistor("jumper", "tl", "tr", h.Ohms.Jumper, soundIf(h.Jumper))
	for i, side := range sides {
		f := Left + Feed(i)
		toTurn := h.Apart() && (h.ThreeFeeds() || h.TurnLamps[i])
		toStop := !h.Apart() || !h.ThreeFeeds() && h.StopLamps[i]
		n.drop(f, side.name, "s"+side.letter, toStop)
		if h.Apart() {
			n.drop(f, side.name+"_turn", "a"+side.letter, toTurn)
		}
		if n.has(Stop) {
			n.drop(Stop, "stop_"+side.name, "s"+side.letter, true)
		}
	}
}

// drop is one place where a feed meets a lamp: a diode, a splice or a relay's
// contact.
func (n *Network) drop(f Feed, name, lamp string, connected bool) {
	if !connected {
		return
	}
	h := &n.Harness
	if h.FeedDiodes[f] {
		n.diode("feed_"+name, "k"+f.letter(), lamp)
		return
	}
	n.resistor("feed_"+name, "k"+f.letter(), lamp, h.Ohms.Splice, circuit.Sound)
}

func (n *Network) diode(name, anode, cathode string) {
	d, _ := parts.FindDiode(string(n.Harness.DiodeKind))
	m := circuit.DiodeModel{SaturationAmps: d.IS, Ideality: d.N, SeriesOhms: d.RS}
	p := n.keep(name, n.circuit.Diode(name, n.node(anode), n.node(cathode), m), 0, circuit.Sound)
	n.base[p].oneWay = true
}

// carOwn builds the car's own wires: its stop switch, the tie between the sides,
// the high stop lamp, park lamps, and where they meet the lamps.
func (n *Network) carOwn() {
	h := &n.Harness
	n.supply("car_battery", "cb", "g", h.CarSupplyV)
	n.carStop = n.resistor("stop_switch", "cb", "sb", h.Ohms.CarStop, circuit.Cut)
	n.resistor("car_off", "sb", "g", offOhm, circuit.Sound)
	n.carLamp("high_stop", HighStop, StopJob, "sb", "g", h.HighStopA)
	tied := soundIf(h.SidesTied)
	for i, side := range sides {
		n.resistor("tie_"+side.name, "sb", "f"+side.letter, h.Ohms.Tie, tied)
		if h.Added() {
			volts, amps := h.StopBulb.Volts, h.StopBulb.Amps
			p := n.filament("car_lamp_"+side.name, "f"+side.letter, "g", volts, amps, circuit.Sound)
			n.lamps = append(n.lamps, Lamp{ID: "car_stop_" + side.name, Lens: [2]Lens{CarLeft, CarRight}[i], Job: StopJob, Part: p,
				Live: n.node("f" + side.letter), Back: n.node("g"), Volts: volts, Amps: amps, Connected: true})
			continue
		}
		f := Left + Feed(i)
		if h.Apart() && h.ThreeFeeds() {
			f = Stop
		}
		n.meet("own_"+side.name, "f"+side.letter, "s"+side.letter, h.CarDiodes[f])
	}
	if h.Added() {
		return
	}
	n.resistor("park_off", "ft", "g", offOhm, circuit.Sound)
	n.carLamp("car_park", CarPark, ParkJob, "ft", "g", h.ParkLampsA)
	n.meet("own_tail", "ft", "tl", h.CarDiodes[Tail])
}

// smallBulbVolts is the design voltage of park, dash and high stop bulbs.
const smallBulbVolts = 14

func (n *Network) carLamp(id string, lens Lens, job Job, live, back string, amps float64) {
	p := n.filament(id, live, back, smallBulbVolts, amps, circuit.Sound)
	n.lamps = append(n.lamps, Lamp{ID: id, Lens: lens, Job: job, Part: p, Live: n.node(live), Back: n.node(back), Volts: smallBulbVolts, Amps: amps, Connected: true})
}

// meet joins a wire of the car to a lamp. Relays part it while the car is towed.
func (n *Network) meet(name, wire, lamp string, diode bool) {
	h := &n.Harness
	if diode {
		n.diode(name, wire, lamp)
		return
	}
	n.resistor(name, wire, lamp, h.Ohms.CarSplice, soundIf(h.Approach != rig.RelayBypass))
}
