// Package circuit solves direct-current networks of resistors, ideal sources,
// tungsten filaments, diodes, LED lamps and switches. It knows nothing of cars.
//
// A Circuit is a list of two-ended parts between named nodes. A Solver finds
// the voltage of every node and the current in every part. The same Circuit is
// written as SPICE text by Netlist, so that anyone can have it solved again.
//
// What the package promises:
//
//   - Every node has a leak of Leak siemens to Ground, so a part of the network
//     that touches nothing still has one answer. The netlist holds the same leak.
//   - Every part is passive but the sources, and its current rises with its
//     voltage. Such a network has exactly one answer (W. Millar, "Some general
//     theorems for non-linear systems possessing resistance", 1951: the answer
//     is the minimum of a convex function, the co-content).
//   - Solve returns that answer, with the currents at every node adding up to
//     zero within Residual amperes, or a typed error; never NaN.
//   - Once a Solver has seen a Circuit, solving it again with other values,
//     with parts cut or shorted or with ends moved allocates nothing.
//
// Volts, amperes, ohms, siemens and watts throughout.
package circuit

const (
	// Leak is the conductance in siemens from every node to Ground, 100 gigohm.
	// It is small enough that even at MaxVolts it carries no more than Residual.
	Leak = 1e-11

	// JunctionLeak is the conductance in siemens beside every diode and LED. It
	// is what SPICE calls gmin, and the netlist states it.
	JunctionLeak = 1e-12

	// ShortOhms is the resistance of a closed switch and of a shorted part: 5
	// milliohm.
	ShortOhms = 5e-3

	// MinOhms and MaxOhms bound a resistor. Below MinOhms the rounding of its
	// two voltages alone would be a current near Residual; above MaxOhms it is
	// less than the leak, and should be cut instead.
	MinOhms, MaxOhms = 1e-4, 1e12

	// MaxVolts bounds a source, both ways, and the rating of a lamp.
	MaxVolts = 100.0
)

// Node is a point of a circuit where parts meet.
type Node int32

// Ground is the node every voltage is measured against. Its name is "0".
const Ground Node = 0

// Part is one two-ended element of a circuit.
type Part int32

// Condition is what has become of a part.
type Condition uint8

const (
	Sound   Condition = iota // as it was made
	Cut                      // carries nothing, as if taken out
	Shorted                  // a resistance of ShortOhms in its place
)

// Circuit is a network. The zero value is not ready; use New. Its methods are
// not safe for use while another goroutine changes it; any number of Solvers
// may read it at once.
type Circuit struct {
	names   []string // by node
	byName  map[string]Node
	parts   []part
	shape   int   // goes up when anything but a value changes
	problem error // the first thing asked of the circuit that makes no sense
}

// usualSize is room for a usual circuit in one piece.
const usualSize = 48

// New returns a circuit that has one node, Ground, and no part.
func New() *Circuit {
	c := &Circuit{names: make([]string, 1, usualSize), byName: make(map[string]Node, usualSize), parts: make([]part, 0, usualSize)}
	c.names[0], c.byName["0"] = "0", Ground
	return c
}

// Node returns the node of that name and adds it at first use. "0" is Ground.
//
// A name is a lower-case letter followed by lower-case letters, digits and
// underscores, so that SPICE reads it as it stands. Check refuses any other, and
// the words SPICE keeps for itself: gnd, temper, all, and, or, not, eq, ne, lt, le,
// gt, ge.
func (c *Circuit) Node(name string) Node {
	if n, ok := c.byName[name]; ok {
		return n
	}
	n := Node(len(c.names))
	c.names = append(c.names, name)
	c.byName[name] = n
	c.shape++
	if !nodeName(name) {
		c.refuse(&NodeError{Name: name})
	}
	return n
}

// Nodes returns how many nodes there are, Ground among them: the nodes are 0
// to Nodes()-1.
func (c *Circuit) Nodes() int { return len(c.names) }

// NodeName returns the name of a node, "" if there is no such node.
func (c *Circuit) NodeName(n Node) string {
	if n < 0 || int(n) >= len(c.names) {
		return ""
	}
	return c.names[n]
}

// Parts returns how many parts there are: they are 0 to Parts()-1.
func (c *Circuit) Parts() int { return len(c.parts) }

// PartName returns the name of a part, "" if there is no such part.
func (c *Circuit) PartName(p Part) string {
	if p < 0 || int(p) >= len(c.parts) {
		return ""
	}
	return c.parts[p].name
}

// Ends returns the two nodes of a part, in the order it was given them.
func (c *Circuit) Ends(p Part) (a, b Node) {
	if p < 0 || int(p) >= len(c.parts) {
		return -1, -1
	}
	return c.parts[p].a, c.parts[p].b
}

// Ohms returns what a resistor was set to, 0 for any other part.
func (c *Circuit) Ohms(p Part) float64 {
	if p < 0 || int(p) >= len(c.parts) || c.parts[p].kind != resistor {
		return 0
	}
	return c.parts[p].value
}

// Condition returns what has become of a part.
func (c *Circuit) Condition(p Part) Condition {
	if p < 0 || int(p) >= len(c.parts) {
		return Sound
	}
	return c.parts[p].condition
}

// Resistor adds a resistance of MinOhms to MaxOhms between two nodes.
func (c *Circuit) Resistor(name string, a, b Node, ohms float64) Part {
	p := c.add(part{name: name, a: a, b: b, kind: resistor})
	c.SetOhms(p, ohms)
	return p
}

// Source adds an ideal source that holds plus volts above minus.
func (c *Circuit) Source(name string, plus, minus Node, volts float64) Part {
	p := c.add(part{name: name, a: plus, b: minus, kind: source})
	c.SetVolts(p, volts)
	return p
}

// Filament adds a tungsten lamp between two nodes. It has no direction.
func (c *Circuit) Filament(name string, a, b Node, m FilamentModel) Part {
	p := c.add(part{name: name, a: a, b: b, kind: filament})
	c.SetFilament(p, m)
	return p
}

// Diode adds a diode that conducts from anode to cathode.
func (c *Circuit) Diode(name string, anode, cathode Node, m DiodeModel) Part {
	p := c.add(part{name: name, a: anode, b: cathode, kind: diode})
	c.SetDiode(p, m)
	return p
}

// LED adds an LED lamp with its ballast that conducts from anode to cathode.
func (c *Circuit) LED(name string, anode, cathode Node, m LEDModel) Part {
	p := c.add(part{name: name, a: anode, b: cathode, kind: led})
	c.SetLED(p, m)
	return p
}

// Switch adds a switch: ShortOhms when closed, nothing when open.
func (c *Circuit) Switch(name string, a, b Node, closed bool) Part {
	p := c.add(part{name: name, a: a, b: b, kind: breaker})
	c.SetClosed(p, closed)
	return p
}

// SetOhms changes a resistor.
func (c *Circuit) SetOhms(p Part, ohms float64) {
	if q := c.of(p, resistor); q != nil {
		q.value = ohms
		q.weigh()
	}
}

// SetVolts changes a source.
func (c *Circuit) SetVolts(p Part, volts float64) {
	if q := c.of(p, source); q != nil {
		q.value = volts
		q.weigh()
	}
}

// SetClosed opens or closes a switch.
func (c *Circuit) SetClosed(p Part, closed bool) {
	if q := c.of(p, breaker); q != nil {
		q.closed = closed
	}
}

// SetFilament changes a filament.
func (c *Circuit) SetFilament(p Part, m FilamentModel) {
	if q := c.of(p, filament); q != nil {
		q.filament = m
		q.weigh()
	}
}

// SetDiode changes a diode.
func (c *Circuit) SetDiode(p Part, m DiodeModel) {
	if q := c.of(p, diode); q != nil {
		q.diode = m
		q.weigh()
	}
}

// SetLED changes an LED lamp.
func (c *Circuit) SetLED(p Part, m LEDModel) {
	if q := c.of(p, led); q != nil {
		q.led, q.diode = m, m.diode()
		q.weigh()
	}
}

// SetCondition cuts a part, shorts it or makes it sound again. A shorted
// source is refused by Check: its current would have no bound.
func (c *Circuit) SetCondition(p Part, x Condition) {
	q := c.at(p)
	if q == nil || q.condition == x {
		return
	}
	q.condition = x
	if q.kind == source {
		c.shape++
	}
	q.weigh()
}

// SetEnds moves a part to other nodes: a wire on the wrong contact, a diode
// turned round.
func (c *Circuit) SetEnds(p Part, a, b Node) {
	q := c.at(p)
	if q == nil || q.a == a && q.b == b {
		return
	}
	q.a, q.b = a, b
	c.shape++
}

func (c *Circuit) add(q part) Part {
	c.parts = append(c.parts, q)
	c.shape++
	return Part(len(c.parts) - 1)
}

// at returns a part to be changed, nil if there is none; then Check will say so.
func (c *Circuit) at(p Part) *part {
	if p < 0 || int(p) >= len(c.parts) {
		c.refuse(&PartError{Part: p, Reason: UnknownPart})
		return nil
	}
	return &c.parts[p]
}

// of is at for a part that has to be of one kind.
func (c *Circuit) of(p Part, k kind) *part {
	q := c.at(p)
	if q != nil && q.kind != k {
		c.refuse(&PartError{Part: p, Name: q.name, Reason: WrongKind})
		return nil
	}
	return q
}

func (c *Circuit) refuse(err error) {
	if c.problem == nil {
		c.problem = err
	}
}

type kind uint8

const (
	resistor kind = iota
	source
	filament
	diode
	led
	breaker // a switch
)

type part struct {
	name      string
	a, b      Node
	kind      kind
	condition Condition
	closed    bool
	reason    Reason  // what is wrong with its values, 0 if nothing
	wrong     float64 // the value that is wrong
	value     float64 // ohms or volts

	filament FilamentModel
	diode    DiodeModel
	led      LEDModel
	lamp     lampCurve
	junction junctionCurve
}
