package circuit

import (
	"math"
	"strconv"
)

// Reason is what is wrong with a part.
type Reason uint8

const (
	NotFinite   Reason = 1 + iota // a value is NaN or infinite
	OutOfRange                    // a value is outside what its model allows
	UnknownNode                   // an end is on no node of this circuit
	SameNode                      // both ends are on one node
	SourceLoop                    // a source closes a loop of ideal sources
	ShortSource                   // a source is shorted
	WrongKind                     // it was given a value of another kind of part
	UnknownPart                   // there is no such part
)

// String returns what is wrong, for a developer.
func (r Reason) String() string {
	switch r {
	case NotFinite:
		return "a value is not a finite number"
	case OutOfRange:
		return "a value is out of range"
	case UnknownNode:
		return "an end is on no node"
	case SameNode:
		return "both ends are on one node"
	case SourceLoop:
		return "it closes a loop of ideal sources"
	case ShortSource:
		return "an ideal source is shorted"
	case WrongKind:
		return "it was given a value of another kind of part"
	case UnknownPart:
		return "there is no such part"
	}
	return "sound"
}

// PartError says which part of a circuit makes no sense, and why.
type PartError struct {
	Part   Part
	Name   string // "" if there is no such part
	Reason Reason
	Value  float64 // the value that is wrong, for NotFinite and OutOfRange
}

func (e *PartError) Error() string {
	s := "circuit: part " + strconv.Itoa(int(e.Part)) + " (" + strconv.Quote(e.Name) + "): " + e.Reason.String()
	if e.Reason == NotFinite || e.Reason == OutOfRange {
		s += ": " + strconv.FormatFloat(e.Value, 'g', -1, 64)
	}
	return s
}

// NodeError says that a node has a name SPICE could not read; see Circuit.Node.
type NodeError struct{ Name string }

func (e *NodeError) Error() string {
	return "circuit: node " + strconv.Quote(e.Name) + ": a name is a lower-case letter, then lower-case letters, digits and underscores, and no word SPICE keeps for itself"
}

// Check returns nil if the circuit can be solved, and otherwise a *PartError
// or a *NodeError for the first thing that makes no sense. Solve asks the same.
func (c *Circuit) Check() error {
	if err := c.sound(); err != nil {
		return err
	}
	var n network
	if err := n.read(c); err != nil {
		return err
	}
	return nil
}

// sound is what Check asks of each part for itself.
func (c *Circuit) sound() error {
	if c.problem != nil {
		return c.problem
	}
	for i := range c.parts {
		q := &c.parts[i]
		switch {
		case q.reason != 0:
			return &PartError{Part: Part(i), Name: q.name, Reason: q.reason, Value: q.wrong}
		case !c.has(q.a) || !c.has(q.b):
			return &PartError{Part: Part(i), Name: q.name, Reason: UnknownNode}
		case q.a == q.b:
			return &PartError{Part: Part(i), Name: q.name, Reason: SameNode}
		}
	}
	return nil
}

func (c *Circuit) has(n Node) bool { return n >= 0 && int(n) < len(c.names) }

// weigh judges a part's values and makes its curve ready.
func (q *part) weigh() {
	q.reason = 0
	switch q.kind {
	case resistor:
		q.within(q.value, MinOhms, MaxOhms)
	case source:
		q.within(q.value, -MaxVolts, MaxVolts)
		if q.condition == Shorted {
			q.reason = ShortSource
		}
	case filament:
		m := q.filament
		q.within(m.Volts, 0.1, MaxVolts)
		q.within(m.Amps, 1e-6, 1000)
		q.within(m.ColdRatio, 0.01, 1)
		q.lamp = m.curve()
	case led:
		q.within(q.led.Volts, 0.1, MaxVolts)
		q.within(q.led.Amps, 1e-6, 1000)
		q.within(q.led.Threshold, 0.1, q.led.Volts)
		q.junctionWithin()
	case diode:
		q.junctionWithin()
	}
}

func (q *part) junctionWithin() {
	m := q.diode
	q.within(m.SaturationAmps, 1e-30, 0.1)
	q.within(m.Ideality, 0.1, 100)
	q.within(m.SeriesOhms, MinOhms, 1e6)
	q.junction = m.curve()
}

// within keeps the first value that is not in its range.
func (q *part) within(v, low, high float64) {
	switch {
	case q.reason != 0:
	case math.IsNaN(v) || math.IsInf(v, 0):
		q.reason, q.wrong = NotFinite, v
	case v < low || v > high:
		q.reason, q.wrong = OutOfRange, v
	}
}

func nodeName(s string) bool {
	for i := range len(s) {
		letter := s[i] >= 'a' && s[i] <= 'z'
		if !letter && (i == 0 || s[i] != '_' && (s[i] < '0' || s[i] > '9')) {
			return false
		}
	}
	return s != "" && !taken(s)
}

// taken reports whether ngspice 39 reads a word as something else than a node:
// ground, an operator, the temperature, every node at once.
func taken(s string) bool {
	switch s {
	case "gnd", "and", "or", "not", "eq", "ne", "lt", "le", "gt", "ge", "temper", "all":
		return true
	}
	return false
}
