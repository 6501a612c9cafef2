package wiring

import (
	"math"
	"slices"

	"pintail/api/circuit"
)

// What counts as no current and no voltage: less than open switches leak.
const (
	noAmps  = 2e-11 // through what is cut: less than the leak of a node
	noVolts = 1e-6  // across what is joined or made worse
)

// Idle reports whether a fault would change nothing in the state that the network
// was last Set to without it and solved for: no current passes what it opens, no
// voltage lies across what it joins. It may be false for a fault that changes
// nothing, never true for one that does.
func (n *Network) Idle(s State, f *Fault) bool {
	c := s.Step.controls()
	return !slices.ContainsFunc(f.ops, func(o op) bool { return !n.idle(&o, s, c) })
}

func (n *Network) idle(o *op, s State, c controls) bool {
	switch o.does {
	case cut:
		return math.Abs(n.Current(o.p)) < noAmps && !n.sensed(o.p)
	case add:
		return math.Abs(n.Current(o.p))*o.ohms < noVolts
	case short, turn, mend:
		a, b := n.circuit.Ends(o.p)
		return n.level(a, b)
	case swap:
		a, b := n.circuit.Ends(o.p)
		d, e := n.circuit.Ends(o.q)
		return n.level(a, b) && n.level(a, d) && n.level(a, e)
	case bridge:
		return n.level(o.a, o.b)
	case stuck:
		return n.circuit.Condition(n.source[o.feed]) == circuit.Sound
	case fuse:
		return o.fuse == "tail" && !c.tail || o.fuse == "turn" && !s.Step.Flashes() || o.fuse == "stop" && !c.brake
	case toGround:
		return o.feed == Tail && !c.tail || o.feed == Stop && !c.brake || (o.feed == Left || o.feed == Right) && !c.brake && !s.Step.Flashes()
	case branch:
		return !c.brake
	case flasher:
		return !s.Step.Flashes() || s.Half == Lit
	}
	return false
}

// level reports whether no voltage lies between two nodes.
func (n *Network) level(a, b circuit.Node) bool {
	return math.Abs(n.Voltage(a)-n.Voltage(b)) < noVolts
}

// sensed reports whether a separating converter reads its input through a part:
// then its outputs may change with no current anywhere.
func (n *Network) sensed(p circuit.Part) bool {
	return n.Harness.Splits() && (slices.Contains(n.source[:], p) || slices.Contains(n.umbilical[:], p))
}
