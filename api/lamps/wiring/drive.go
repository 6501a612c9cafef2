package wiring

import (
	"pintail/api/circuit"
	"pintail/api/rig"
)

// trouble is what faults do to switches, fuses and logic rather than to a part.
type trouble struct {
	tailFuse, turnFuse, stopFuse bool // blown
	// branchOhm lies between the supply and everything that the function feeds.
	stopBranchOhm float64
	logic         rig.ConverterLogic
	flasherStuck  bool // the turn signal burns steadily
	pedalHeld     bool // the car's stop switch stays closed
	notCut        bool // the interrupter does not open
	shorted       [feeds]bool
	stuckOn       [feeds]bool
}

// Set puts the network into a state with the given faults of its catalogue, and
// without those it had.
func (n *Network) Set(s State, faults ...*Fault) {
	n.restore()
	t := trouble{logic: n.Harness.Logic}
	for _, f := range faults {
		for i := range f.ops {
			t.add(&f.ops[i])
		}
	}
	if !s.Prospective {
		n.blow(&t)
	}
	for _, f := range faults {
		for i := range f.ops {
			n.apply(&f.ops[i], s.Prospective)
		}
	}
	n.drive(s, &t)
}

// restore makes every touched part as it was built.
func (n *Network) restore() {
	for _, p := range n.touched {
		b := &n.base[p]
		n.circuit.SetEnds(p, b.a, b.b)
		if b.ohms > 0 {
			n.circuit.SetOhms(p, b.ohms)
		}
		n.circuit.SetCondition(p, b.condition)
	}
	n.touched = n.touched[:0]
	n.bridges = 0
}

func (n *Network) touch(p circuit.Part) { n.touched = append(n.touched, p) }

func (n *Network) condition(p circuit.Part, c circuit.Condition) {
	n.touch(p)
	n.circuit.SetCondition(p, c)
}

// blow opens the fuses behind shorted feeds. In a motorhome with combined
// signals a turn feed is fed through the turn fuse and the stop fuse in turn, so
// that a light test blows both.
func (n *Network) blow(t *trouble) {
	t.tailFuse = t.tailFuse || t.shorted[Tail]
	side := t.shorted[Left] || t.shorted[Right]
	t.turnFuse = t.turnFuse || side
	t.stopFuse = t.stopFuse || t.shorted[Stop] || side && (n.Harness.Signals == rig.CombinedSignals || n.Harness.Combines())
}

// drive switches the feeds as motorhome and converter do in the state, and the
// car's stop switch.
func (n *Network) drive(s State, t *trouble) {
	c := s.Step.controls()
	lit := s.Half == Lit || t.flasherStuck
	on := n.signals(s, c, lit, t)
	on[Tail] = c.tail && !t.tailFuse
	for f := range feeds {
		if n.source[f] >= 0 && !on[f] && !t.stuckOn[f] {
			n.condition(n.source[f], circuit.Cut)
		}
	}
	if c.unplugged {
		for _, p := range n.plug {
			n.condition(p, circuit.Cut)
		}
	}
	if n.pedal(c, t) || s.Car == CarStopSwitch {
		n.condition(n.carStop, circuit.Sound)
	}
	n.carSwitch(s.Car)
}

// carSwitch feeds one of the car's own wires from its battery. A turn switch that
// is worked parts its side from the stop lamps'.
func (n *Network) carSwitch(s CarSwitch) {
	wire := map[CarSwitch]string{CarLeftTurn: "fl", CarRightTurn: "fr", CarParkSwitch: "ft"}[s]
	if wire == "" {
		return
	}
	to, there := n.Node(wire)
	if !there {
		return // the harness has nothing to do with the car's own tail lamps
	}
	if s != CarParkSwitch {
		n.condition(n.byName["tie_"+string(s)], circuit.Cut)
	}
	n.span(n.node("cb"), to, n.Harness.Ohms.CarStop)
}

// signals says which feeds have current for stop and turn.
func (n *Network) signals(s State, c controls, lit bool, t *trouble) (on [feeds]bool) {
	h := &n.Harness
	turn := [2]bool{c.left && lit && !t.turnFuse, c.right && lit && !t.turnFuse}
	stop := c.brake && !t.stopFuse
	switch {
	case h.Combines():
		signals := [2]bool{c.left && !t.turnFuse, c.right && !t.turnFuse}
		for i := range turn {
			on[Left+Feed(i)] = combine(t.logic, stop, signals[i], turn[i])
		}
		return on
	case h.Signals == rig.SeparateSignals:
		on[Left], on[Right], on[Stop] = turn[LeftSide], turn[RightSide], stop
	default:
		precedence := h.HazardAndBrake
		if s.HazardAndBrake != "" {
			precedence = s.HazardAndBrake
		}
		steady := c.hazard && c.brake && precedence == rig.BrakeSteady
		n.oneSide(&on, Left, c.left && !steady, turn[LeftSide], stop, t)
		n.oneSide(&on, Right, c.right && !steady, turn[RightSide], stop, t)
		on[Stop] = stop
	}
	if h.Splits() {
		return n.split(on)
	}
	if on[Stop] && h.Signals == rig.SeparateSignals {
		n.throughBus(Stop, t)
	}
	return on
}

// oneSide feeds one side of a motorhome with combined signals: from the turn
// circuit while that side signals, otherwise from the stop circuit.
func (n *Network) oneSide(on *[feeds]bool, f Feed, signals, turn, stop bool, t *trouble) {
	if signals {
		on[f] = turn
		return
	}
	on[f] = stop
	if stop {
		n.throughBus(f, t)
	}
}

// throughBus puts a resistance that all stop current passes in front of a feed.
func (n *Network) throughBus(f Feed, t *trouble) {
	if t.stopBranchOhm == 0 || n.source[f] < 0 || n.Harness.Splits() {
		return
	}
	n.condition(n.bus, circuit.Sound)
	n.circuit.SetOhms(n.bus, t.stopBranchOhm)
	n.touch(n.source[f])
	_, bus := n.circuit.Ends(n.bus)
	_, to := n.circuit.Ends(n.source[f])
	n.circuit.SetEnds(n.source[f], bus, to)
}

// combine is a combining converter's output on one side: signals is whether that
// side signals at all, turn whether it is in the lit half.
func combine(l rig.ConverterLogic, stop, signals, turn bool) bool {
	switch {
	case l == rig.ConverterOR:
		return stop || turn
	case l == rig.ConverterInhibit && signals:
		return turn
	}
	return stop != turn
}

// split is a separating converter's outputs. With a stop wire of its own it
// takes a turn lamp for on where its feed and the stop wire differ; without one
// it reads both feeds on as brake.
func (n *Network) split(in [feeds]bool) (out [feeds]bool) {
	l, r := in[Left] && n.whole(Left), in[Right] && n.whole(Right)
	out[Stop] = l && r
	if n.Harness.Wires[Stop] {
		out[Stop] = in[Stop] && n.whole(Stop)
	}
	out[Left], out[Right] = l != out[Stop], r != out[Stop]
	return out
}

// whole reports whether a feed reaches a converter in the car.
func (n *Network) whole(f Feed) bool {
	return n.circuit.Condition(n.umbilical[f]) != circuit.Cut && n.circuit.Condition(n.source[f]) != circuit.Cut
}

// pedal reports whether the car's stop switch has current and is closed.
func (n *Network) pedal(c controls, t *trouble) bool {
	h := &n.Harness
	pressed := t.pedalHeld || c.unit && h.UnitPresses || c.brake && h.UnitFollows && !c.unplugged
	cut := h.Interrupted && !t.notCut && !(c.unplugged && h.InterrupterFailSafe)
	return pressed && h.CarBattery && (c.awake || h.CarStopLive) && !cut
}
