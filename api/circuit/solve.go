package circuit

import (
	"math"
	"strconv"
)

const (
	// Residual is the greatest sum of currents in amperes that Solve leaves at a
	// node. Hundreds of kiloamperes have no digits left for that: such a network
	// gets a *ConvergenceError.
	Residual = 1e-9

	// Iterations is how many steps Solve takes before it gives up.
	Iterations = 200

	settled = 1e-6 // volts: a last step as short leaves an error below 1e-10
	still   = 1e-9 // volts: so short a step is rounding
	trusted = 30   // so many steps are taken whole; later ones are guarded
)

// ConvergenceError says that Solve gave up.
type ConvergenceError struct {
	Iterations int
	Residual   float64 // the greatest sum of currents at a node, in amperes
}

func (e *ConvergenceError) Error() string {
	return "circuit: no answer after " + strconv.Itoa(e.Iterations) + " iterations: " +
		strconv.FormatFloat(e.Residual, 'g', 3, 64) + " A are left over at a node"
}

// Solver solves circuits. It keeps the last answer, and what it needs to solve
// again without allocating. One goroutine at a time may use it.
type Solver struct {
	network
	of    *Circuit
	shown int // the shape the network was read from

	lines     []line
	lamps     []lamp
	junctions []junction
	straight  []float64 // by slot: the conductances of the lines and the leaks
	leak      []float64 // by unknown: siemens of the leaks of its nodes,
	leaking   []float64 // and what they carry when its root is at 0
	offset    []float64 // by node: volts above the root of its supernode
	spread    float64   // no voltage is further from zero

	x         []float64 // by unknown, then Ground: volts of the root
	before    []float64 // x before a guarded step
	step      []float64
	flow      []float64 // by unknown: the currents that leave it,
	lost      []float64 // and what rounding took of their sum
	g         []float64 // by slot: all conductances
	unsettled bool      // some junction is not at the voltage across it

	volts []float64 // by node
	away  []float64 // by node: the currents that leave it
	amps  []float64 // by part
	watts []float64 // by part
	steps int       // 0 if there is no answer
	left  float64
}

// NewSolver returns a solver with room for c. It may be used for any other
// circuit, and makes more room when that is larger.
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
func (s *Solver) Solve(c *Circuit) error { return s.solve(c, nil) }

// SolveWarm is Solve that starts from its last answer, if that was for the same
// circuit. The last digits may differ from Solve's.
func (s *Solver) SolveWarm(c *Circuit) error {
	if s.of != c || s.steps == 0 {
		return s.solve(c, nil)
	}
	return s.solve(c, s.volts)
}

// SolveNear is Solve that starts from the voltages, one for each node, of an
// answer thought to be like this one. They decide how long it takes, and the
// last digits.
func (s *Solver) SolveNear(c *Circuit, volts []float64) error {
	if len(volts) != len(c.names) {
		return s.solve(c, nil)
	}
	return s.solve(c, volts)
}

// AppendVoltages appends the voltage of every node, Ground's first.
func (s *Solver) AppendVoltages(to []float64) []float64 { return append(to, s.volts...) }

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
	if p < 0 || int(p) >= len(s.watts) {
		return 0
	}
	return s.watts[p]
}

// Effort returns how many steps the last answer took and the greatest sum of
// currents it leaves at a node, in amperes.
func (s *Solver) Effort() (steps int, residual float64) { return s.steps, s.left }

// line, lamp and junction are the parts in the form the iteration goes through.
type line struct {
	branch
	siemens float64
}

type lamp struct {
	branch
	curve *lampCurve
	amps  float64
}

type junction struct {
	branch
	curve         *junctionCurve
	at            float64 // volts where the tangent touches the curve
	amps, siemens float64 // there
}

type branch struct {
	a, b   int32 // supernodes
	slot   int32
	part   Part
	offset float64 // volts across when both roots are at 0
}

func (s *Solver) solve(c *Circuit, near []float64) error {
	s.steps, s.left = 0, 0
	err := s.ready(c)
	if err == nil {
		s.load(c)
		s.start(c, near)
		err = s.iterate()
	}
	if err != nil {
		s.steps = 0
		clear(s.volts)
		clear(s.amps)
		clear(s.watts)
		return err
	}
	s.finish(c)
	return nil
}

func (s *Solver) ready(c *Circuit) error {
	if err := c.sound(); err != nil {
		return err
	}
	if s.of == c && (s.shown == c.shape || s.fits(c)) {
		s.shown = c.shape
		return nil
	}
	if err := s.fit(c); err != nil {
		return err
	}
	return nil
}

// fit reads the shape of c and makes room for its numbers.
func (s *Solver) fit(c *Circuit) *PartError {
	s.of = nil
	if err := s.read(c); err != nil {
		return err
	}
	nodes, parts, unknowns, slots := len(c.names), len(c.parts), s.unknowns+1, len(s.column)+1
	for _, f := range []*[]float64{&s.offset, &s.away} {
		*f = fill(*f, nodes, 0)
	}
	for _, f := range []*[]float64{&s.x, &s.before, &s.step, &s.flow, &s.lost, &s.leak, &s.leaking} {
		*f = fill(*f, unknowns, 0)
	}
	if len(s.volts) != nodes { // else they are where SolveWarm starts from
		s.volts = fill(s.volts, nodes, 0)
	}
	s.straight, s.g = fill(s.straight, slots, 0), fill(s.g, slots, 0)
	s.amps, s.watts = fill(s.amps, parts, 0), fill(s.watts, parts, 0)
	s.lines = fill(s.lines, parts, line{})
	s.lamps = fill(s.lamps, parts, lamp{})
	s.junctions = fill(s.junctions, parts, junction{})
	s.of, s.shown = c, c.shape
	return nil
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
	clear(s.leak)
	clear(s.leaking)
	for n, k := range s.super {
		s.leak[k] += Leak
		s.leaking[k] += Leak * s.offset[n]
	}
	clear(s.straight)
	for k := range s.unknowns {
		s.straight[s.rows[k+1]-1] = s.leak[k]
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
		s.line(b, 1/ShortOhms)
	case q.kind == resistor:
		s.line(b, 1/q.value)
	case q.kind == filament:
		s.lamps = append(s.lamps, lamp{branch: b, curve: &q.lamp})
	case q.kind == diode || q.kind == led:
		s.junctions = append(s.junctions, junction{branch: b, curve: &q.junction})
	case q.closed:
		s.line(b, 1/ShortOhms)
	}
}

func (s *Solver) line(b branch, siemens float64) {
	s.lines = append(s.lines, line{branch: b, siemens: siemens})
	s.straight[b.slot] += siemens
}

// start finds where to begin: where the network would be if each lamp were a
// resistor as it is at the voltages near the answer, and each diode the tangent
// there. Where none are known, each lamp is as when lit and each diode as at 0 V.
func (s *Solver) start(c *Circuit, near []float64) {
	clear(s.x)
	s.begin()
	for i := range s.lamps {
		l := &s.lamps[i]
		g := l.curve.amps * l.curve.perVolt
		if near != nil {
			g = l.curve.chord(between(c, near, l.part))
		}
		s.add(&l.branch, g*l.offset, g)
	}
	for i := range s.junctions {
		j := &s.junctions[i]
		j.siemens = j.curve.atZero()
		if near != nil {
			j.at = between(c, near, j.part)
			j.amps, j.siemens = j.curve.at(j.at)
		}
		s.add(&j.branch, j.amps+j.siemens*(j.offset-j.at), j.siemens)
	}
	s.newton()
	s.whole()
}

// between is the voltage across a part.
func between(c *Circuit, volts []float64, p Part) float64 {
	q := &c.parts[p]
	return volts[q.a] - volts[q.b]
}

// iterate takes Newton's steps until the currents balance. The first are taken
// whole: far out every curve is a straight line, so they do not overshoot for
// long. What has not settled by then is guarded.
func (s *Solver) iterate() error {
	moved := math.Inf(1)
	for s.steps < Iterations {
		s.steps++
		guarded := s.steps > trusted
		s.left = s.balance(!guarded)
		if s.balanced(moved) {
			return nil
		}
		s.newton()
		if guarded {
			moved = s.guarded()
		} else {
			moved = s.whole()
		}
	}
	return &ConvergenceError{Iterations: Iterations, Residual: s.left}
}

// balanced reports whether the currents balance: well within Residual, or
// within it when only rounding still moves the voltages.
func (s *Solver) balanced(moved float64) bool {
	return !s.unsettled && (s.left <= Residual/10 && moved <= settled || s.left <= Residual && moved <= still)
}

// balance adds up the currents that leave each unknown, and the conductances,
// and returns the greatest sum. If limit is set a junction may be taken at
// another voltage than the one across it, and continued on its tangent.
func (s *Solver) balance(limit bool) float64 {
	s.begin()
	s.unsettled = false
	for i := range s.lamps {
		l := &s.lamps[i]
		amps, siemens := l.curve.at(s.across(&l.branch))
		l.amps = amps
		s.add(&l.branch, amps, siemens)
	}
	for i := range s.junctions {
		j := &s.junctions[i]
		v := s.across(&j.branch)
		to := v
		if limit && v < j.at {
			to = j.curve.lower(v, j.amps+j.siemens*(v-j.at))
			s.unsettled = s.unsettled || to != v
		}
		j.at = to
		j.amps, j.siemens = j.curve.at(to)
		s.add(&j.branch, j.amps+j.siemens*(v-to), j.siemens)
	}
	worst := 0.0
	for k := range s.unknowns {
		s.flow[k] += s.lost[k]
		worst = max(worst, math.Abs(s.flow[k]))
	}
	return worst
}

// begin starts the sums with the leaks and the lines.
func (s *Solver) begin() {
	for k := range s.flow {
		s.flow[k], s.lost[k] = s.leak[k]*s.x[k]+s.leaking[k], 0
	}
	copy(s.g, s.straight)
	for i := range s.lines {
		l := &s.lines[i]
		s.current(&l.branch, l.siemens*s.across(&l.branch))
	}
}

func (s *Solver) across(b *branch) float64 { return s.x[b.a] - s.x[b.b] + b.offset }

func (s *Solver) add(b *branch, amps, siemens float64) {
	s.g[b.slot] += siemens
	s.current(b, amps)
}

// current adds a branch's current at both ends, and keeps what rounding loses:
// a network that hangs on its leak is held by picoamperes beside amperes
// (D. Knuth, The Art of Computer Programming 2, 4.2.2, theorem B).
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

// whole takes the step and returns its length. It keeps within the spread:
// parts without a source of their own lift no node above every source.
func (s *Solver) whole() float64 {
	for k := range s.unknowns {
		s.x[k] = max(-s.spread, min(s.spread, s.x[k]+s.step[k]))
	}
	return s.longest()
}

// guarded takes as much of the step as does not climb the co-content again, by
// halving: its slope along the step is the sum of current times step, which
// only grows on the way. It returns the step's length, or more if it took only
// a part.
func (s *Solver) guarded() float64 {
	if s.longest() <= still {
		return s.whole()
	}
	copy(s.before, s.x)
	slope := math.Abs(s.slope())
	low, high, t := 0.0, 1.0, 1.0
	for range 60 {
		for k := range s.unknowns {
			s.x[k] = s.before[k] + t*s.step[k]
		}
		s.balance(false)
		switch after := s.slope(); {
		case after > 0.9*slope:
			high = t
		case t < 1 && after < -0.9*slope:
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

// finish works out every node's voltage and every part's current and power.
func (s *Solver) finish(c *Circuit) {
	for n := range s.volts {
		s.volts[n] = s.x[s.super[n]] + s.offset[n]
		s.away[n] = Leak * s.volts[n]
	}
	clear(s.amps)
	clear(s.watts)
	for i := range s.lines {
		l := &s.lines[i]
		s.carries(c, l.part, l.siemens*s.across(&l.branch))
	}
	for i := range s.lamps {
		l := &s.lamps[i]
		s.carries(c, l.part, l.amps)
	}
	for i := range s.junctions {
		j := &s.junctions[i]
		s.carries(c, j.part, j.amps)
	}
	for i := len(s.tree) - 1; i >= 0; i-- {
		h := s.tree[i]
		s.carries(c, h.part, -h.sign*s.away[h.child])
	}
}

func (s *Solver) carries(c *Circuit, p Part, amps float64) {
	q := &c.parts[p]
	s.amps[p] = amps
	s.watts[p] = amps * (s.volts[q.a] - s.volts[q.b])
	s.away[q.a] += amps
	s.away[q.b] -= amps
}
