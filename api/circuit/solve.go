package circuit

import (
	"math"
	"strconv"
)

const (
	// Residual is the greatest sum of currents in amperes that Solve leaves at a node.
	Residual = 1e-9

	// Iterations is how often Solve tries to come closer before it gives up.
	Iterations = 200

	settled = 1e-7 // volts: a last step as short leaves an error below 1e-12
	free    = 30   // so many steps are taken whole; later ones are guarded
)

// ConvergenceError says that Solve gave up.
type ConvergenceError struct {
	Iterations int
	Residual   float64 // the greatest sum of currents at a node, in amperes
}

func (e *ConvergenceError) Error() string {
	return "circuit: no answer after " + strconv.Itoa(e.Iterations) + " iterations: " + strconv.FormatFloat(e.Residual, 'g', 3, 64) + " A are left over at a node"
}

// Solver solves circuits. It keeps what it needs to do so again without
// allocating, and the last answer. One goroutine at a time may use it.
type Solver struct {
	network
	of    *Circuit
	shown int // the shape the network was made from

	offset []float64 // by node: volts above the root of its supernode
	x      []float64 // by unknown, then Ground: volts of the root
	last   []float64 // x before a guarded step
	flow   []float64 // by unknown: currents that leave it, and what rounding took
	lost   []float64
	step   []float64
	fixed  []float64 // conductances of the parts that are straight lines
	g      []float64 // all conductances
	spread float64   // no voltage is further from zero

	lines     []branch
	lamps     []branch
	junctions []branch

	volts  []float64 // by node
	amps   []float64 // by part
	away   []float64 // by node: currents that leave it
	rounds int
	left   float64
}

// branch is a part in the form the iteration goes through.
type branch struct {
	a, b    int32 // supernodes
	slot    int32
	part    Part
	offset  float64 // volts between the ends when both roots are at 0
	siemens float64 // of a line
	lamp    *lampCurve
	diode   *junctionCurve
}

// NewSolver returns a solver with room for c. It may be used for any other
// circuit, and will make more room when that is larger.
func NewSolver(c *Circuit) *Solver {
	s := &Solver{}
	if c.sound() == nil {
		s.fit(c)
	}
	return s
}

// Solve finds the answer from nothing. It returns what Check returns for a
// circuit that makes no sense, and a *ConvergenceError if it finds no answer.
// After an error every voltage and current is 0.
func (s *Solver) Solve(c *Circuit) error { return s.solve(c, false) }

// SolveWarm is Solve that starts from its last answer if that was for a circuit
// of the same shape. It may differ from Solve in the last digits.
func (s *Solver) SolveWarm(c *Circuit) error { return s.solve(c, true) }

// Voltage returns the voltage of a node against Ground; 0 for no such node.
func (s *Solver) Voltage(n Node) float64 {
	if n < 0 || int(n) >= len(s.volts) {
		return 0
	}
	return s.volts[n]
}

// Current returns the current through a part from its first end to its second,
// so it is positive in a conducting diode and negative in a source that
// delivers, as in SPICE; 0 for no such part.
func (s *Solver) Current(p Part) float64 {
	if p < 0 || int(p) >= len(s.amps) {
		return 0
	}
	return s.amps[p]
}

// Power returns the watts a part takes up: negative for a source that delivers.
func (s *Solver) Power(p Part) float64 {
	if p < 0 || int(p) >= len(s.amps) {
		return 0
	}
	q := &s.of.parts[p]
	return s.amps[p] * (s.volts[q.a] - s.volts[q.b])
}

// Iterations returns how many steps the last answer took, and the greatest sum
// of currents it leaves at a node, in amperes.
func (s *Solver) Iterations() (steps int, residual float64) { return s.rounds, s.left }

func (s *Solver) solve(c *Circuit, warm bool) error {
	warm = warm && s.of == c && s.shown == c.shape && s.rounds > 0
	s.rounds, s.left = 0, 0
	if err := s.ready(c); err != nil {
		s.clear()
		return err
	}
	s.load(c)
	if !warm {
		s.guess()
	}
	if !s.iterate() {
		err := &ConvergenceError{Iterations: s.rounds, Residual: s.left}
		s.rounds = 0
		s.clear()
		return err
	}
	s.finish(c)
	return nil
}

func (s *Solver) ready(c *Circuit) error {
	if err := c.sound(); err != nil {
		return err
	}
	if s.of == c && s.shown == c.shape {
		return nil
	}
	if err := s.fit(c); err != nil {
		return err
	}
	return nil
}

func (s *Solver) clear() {
	clear(s.volts)
	clear(s.amps)
}

// fit makes the network of c and room for its numbers.
func (s *Solver) fit(c *Circuit) *PartError {
	s.of = nil
	if err := s.read(c); err != nil {
		return err
	}
	m, n := s.unknowns+1, len(c.names)
	s.offset, s.volts, s.away = fill(s.offset, n, 0), fill(s.volts, n, 0), fill(s.away, n, 0)
	s.x, s.last, s.step = fill(s.x, m, 0), fill(s.last, m, 0), fill(s.step, m, 0)
	s.flow, s.lost = fill(s.flow, m, 0), fill(s.lost, m, 0)
	s.fixed, s.g = fill(s.fixed, len(s.column)+1, 0), fill(s.g, len(s.column)+1, 0)
	s.amps = fill(s.amps, len(c.parts), 0)
	s.lines = room(s.lines, len(c.parts)+n)
	s.lamps = room(s.lamps, len(c.parts))
	s.junctions = room(s.junctions, len(c.parts))
	s.of, s.shown = c, c.shape
	return nil
}

func room(s []branch, n int) []branch {
	if cap(s) < n {
		return make([]branch, 0, n)
	}
	return s
}

// load takes the circuit's values over.
func (s *Solver) load(c *Circuit) {
	s.lines, s.lamps, s.junctions = s.lines[:0], s.lamps[:0], s.junctions[:0]
	clear(s.offset)
	s.spread = 0
	for _, h := range s.tree {
		v := c.parts[h.part].value
		s.offset[h.child] = s.offset[h.parent] + h.sign*v
		s.spread += math.Abs(v)
	}
	clear(s.fixed)
	for n := range s.super {
		if k := s.super[n]; int(k) < s.unknowns {
			s.line(branch{a: k, b: int32(s.unknowns), slot: s.rows[k+1] - 1, part: -1, offset: s.offset[n], siemens: Leak})
		}
	}
	for i := range c.parts {
		s.part(&c.parts[i], Part(i))
	}
}

func (s *Solver) part(q *part, p Part) {
	b := branch{a: s.super[q.a], b: s.super[q.b], slot: s.slot[p], part: p, offset: s.offset[q.a] - s.offset[q.b]}
	switch {
	case q.kind == source || q.condition == Cut:
	case q.condition == Shorted:
		b.siemens = 1 / ShortOhms
		s.line(b)
	case q.kind == resistor:
		b.siemens = 1 / q.value
		s.line(b)
	case q.kind == breaker && q.closed:
		b.siemens = 1 / ShortOhms
		s.line(b)
	case q.kind == filament:
		b.lamp = &q.lamp
		s.lamps = append(s.lamps, b)
	case q.kind == diode || q.kind == led:
		b.diode = &q.junction
		s.junctions = append(s.junctions, b)
	}
}

func (s *Solver) line(b branch) {
	s.lines = append(s.lines, b)
	s.fixed[b.slot] += b.siemens
}

// guess solves the network once with each lamp a resistor at its rating and
// each diode the tangent at its knee.
func (s *Solver) guess() {
	clear(s.x)
	s.begin()
	for i := range s.lamps {
		b := &s.lamps[i]
		g := b.lamp.amps * b.lamp.perVolt
		s.add(b, g*b.offset, g)
	}
	for i := range s.junctions {
		b := &s.junctions[i]
		v, amps, g := b.diode.knee()
		s.add(b, amps+g*(b.offset-v), g)
	}
	s.newton()
	for k := range s.unknowns {
		s.x[k] = s.bounded(s.step[k])
	}
}

// bounded keeps a voltage where the answer must be: parts without sources
// cannot lift a node above every source.
func (s *Solver) bounded(v float64) float64 { return max(-s.spread, min(s.spread, v)) }

// iterate takes Newton's steps until the currents balance, and reports whether
// they do. The first are taken whole: every curve becomes a straight line far
// out, so that they seldom overshoot for long. What has not settled by then is
// guarded by a search along the step, on which the co-content is convex.
func (s *Solver) iterate() bool {
	moved := math.Inf(1)
	for s.rounds = 1; s.rounds <= Iterations; s.rounds++ {
		s.left = s.balance()
		if s.left <= Residual/10 && moved <= settled {
			return true
		}
		s.newton()
		if s.rounds > free {
			moved = s.guarded()
		} else {
			moved = s.whole()
		}
	}
	s.rounds = Iterations
	s.left = s.balance()
	return s.left <= Residual && moved <= settled
}

// balance adds up the currents that leave each unknown, and the conductances,
// and returns the greatest sum.
func (s *Solver) balance() float64 {
	s.begin()
	for i := range s.lamps {
		b := &s.lamps[i]
		amps, g := b.lamp.at(s.across(b))
		s.add(b, amps, g)
	}
	for i := range s.junctions {
		b := &s.junctions[i]
		amps, g := b.diode.at(s.across(b))
		s.add(b, amps, g)
	}
	worst := 0.0
	for k := range s.unknowns {
		s.flow[k] += s.lost[k]
		worst = max(worst, math.Abs(s.flow[k]))
	}
	return worst
}

// begin starts the sums with the parts that are straight lines.
func (s *Solver) begin() {
	clear(s.flow)
	clear(s.lost)
	copy(s.g, s.fixed)
	for i := range s.lines {
		b := &s.lines[i]
		s.current(b, b.siemens*s.across(b))
	}
}

func (s *Solver) across(b *branch) float64 { return s.x[b.a] - s.x[b.b] + b.offset }

func (s *Solver) add(b *branch, amps, siemens float64) {
	s.g[b.slot] += siemens
	s.current(b, amps)
}

// current adds a branch's current at both ends, and keeps what rounding loses:
// a network that hangs on its leak is held by picoamperes beside amperes
// (A. Neumaier, Zeitschrift für Angewandte Mathematik und Mechanik 54, 1974).
func (s *Solver) current(b *branch, amps float64) {
	sum := s.flow[b.a]
	t := sum + amps
	z := t - sum
	s.lost[b.a] += (sum - (t - z)) + (amps - z)
	s.flow[b.a] = t

	sum = s.flow[b.b]
	t = sum - amps
	z = t - sum
	s.lost[b.b] += (sum - (t - z)) - (amps + z)
	s.flow[b.b] = t
}

// newton finds the step that would balance the currents were all curves lines.
func (s *Solver) newton() {
	for k := range s.unknowns {
		s.step[k] = -s.flow[k]
	}
	s.voltages(s.g, s.step)
}

// whole takes the step and returns its length.
func (s *Solver) whole() float64 {
	for k := range s.unknowns {
		s.x[k] = s.bounded(s.x[k] + s.step[k])
	}
	return s.longest()
}

// guarded takes as much of the step as does not climb the co-content again, by
// halving. Its slope along the step is the sum of current times step. It
// returns the step's length, or more if it took only a part.
func (s *Solver) guarded() float64 {
	copy(s.last, s.x)
	before := math.Abs(s.slope())
	low, high, t := 0.0, 1.0, 1.0
	for range 60 {
		for k := range s.unknowns {
			s.x[k] = s.last[k] + t*s.step[k]
		}
		s.balance()
		switch after := s.slope(); {
		case after > 0.9*before:
			high = t
		case t < 1 && after < -0.9*before:
			low = t
		default:
			return s.longest() / t
		}
		t = (low + high) / 2
	}
	return math.Inf(1)
}

func (s *Solver) slope() float64 {
	sum := 0.0
	for k := range s.unknowns {
		sum += s.flow[k] * s.step[k]
	}
	return sum
}

func (s *Solver) longest() float64 {
	l := 0.0
	for k := range s.unknowns {
		l = max(l, math.Abs(s.step[k]))
	}
	return l
}

// finish works out every node's voltage and every part's current.
func (s *Solver) finish(c *Circuit) {
	for n := range s.volts {
		s.volts[n] = s.x[s.super[n]] + s.offset[n]
		s.away[n] = Leak * s.volts[n]
	}
	clear(s.amps)
	for i := range s.lines {
		if b := &s.lines[i]; b.part >= 0 {
			s.carries(c, b.part, b.siemens*s.across(b))
		}
	}
	for i := range s.lamps {
		b := &s.lamps[i]
		amps, _ := b.lamp.at(s.across(b))
		s.carries(c, b.part, amps)
	}
	for i := range s.junctions {
		b := &s.junctions[i]
		amps, _ := b.diode.at(s.across(b))
		s.carries(c, b.part, amps)
	}
	for i := len(s.tree) - 1; i >= 0; i-- {
		h := s.tree[i]
		s.carries(c, h.part, -h.sign*s.away[h.child])
	}
}

func (s *Solver) carries(c *Circuit, p Part, amps float64) {
	s.amps[p] = amps
	s.away[c.parts[p].a] += amps
	s.away[c.parts[p].b] -= amps
}
