// Package pictures solves every step of a light test for one harness, sound and
// with everything that can be wrong with it, and keeps what lamps, voltmeter and
// ammeter show.
//
// What a fault does not touch is not solved again: in a step where no current
// passes the parts it changes, it shows what the sound harness shows. Nor is what
// makes the same circuit as another fault, or the same fault in another step.
package pictures

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
	"strings"
	"sync/atomic"

	"pintail/api/circuit"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/sorting"
)

// Cause is one explanation of what lamps show: nothing wrong, one fault or two.
type Cause struct {
	Faults []*wiring.Fault
	// Prior is how likely it is before anybody has looked, between 0 and 1: a
	// judgement from the weights of the faults.
	Prior float64
}

// Sound reports whether nothing is wrong.
func (c *Cause) Sound() bool { return len(c.Faults) == 0 }

// Site names what is wrong without its size, empty for a sound harness: causes of
// one site are mended alike.
func (c *Cause) Site() string {
	sites := make([]string, len(c.Faults))
	for i, f := range c.Faults {
		sites[i] = f.Site()
	}
	return strings.Join(sites, "+")
}

// IDs names the faults, none for a sound harness.
func (c *Cause) IDs() []string {
	ids := make([]string, len(c.Faults))
	for i, f := range c.Faults {
		ids[i] = f.ID
	}
	return ids
}

// Pictures is what every cause shows in every step. It does not change once it
// is made; any number of goroutines may read it.
type Pictures struct {
	Network *wiring.Network
	// Causes begin with the sound harness, then every single fault in the order
	// of the catalogue, then pairs from the likeliest.
	Causes []Cause
	// Singles is how many of them are no pair.
	Singles int
	// Steps are those that this harness can be put through.
	Steps  []wiring.Step
	Points []Point

	pairs   int // as asked for
	states  []wiring.State
	firsts  []int   // by step: its first state
	flashes []bool  // by step
	alike   []int32 // by step and cause: the first cause that shows the same
	rows    []int32 // by cause and state: the row below
	lamps   int
	light   []float32 // by row and lamp
	log     []float32 // its logarithm
	value   []float32 // by row and point: volts or amps
}

// Of solves the network's steps with up to so many pairs of faults. The error is
// one of package circuit.
func Of(n *wiring.Network, pairs int) (*Pictures, error) {
	p := &Pictures{Network: n, pairs: pairs, Causes: causes(n.Faults(), pairs), Steps: StepsOf(&n.Harness), Points: PointsOf(n), lamps: len(n.Lamps())}
	for _, c := range p.Causes {
		if len(c.Faults) < 2 {
			p.Singles++
		}
	}
	p.list()
	p.rows = make([]int32, len(p.Causes)*len(p.states))
	if err := p.solve(); err != nil {
		return nil, err
	}
	p.compare()
	return p, nil
}

// kept are the last pictures that Kept made.
var kept atomic.Pointer[Pictures]

// Kept is Of for a harness, and keeps the last pictures: who traces asks again and
// again of one harness. Callers share them, and must not Set their network. An
// answer from them is the same to the byte: they hold what Of makes of an equal
// harness.
func Kept(h wiring.Harness, pairs int) (*Pictures, error) {
	if p := kept.Load(); p != nil && p.pairs == pairs && p.Network.Harness.Electric == h.Electric {
		return p, nil
	}
	p, err := Of(wiring.Build(h), pairs)
	if err == nil {
		kept.Store(p)
	}
	return p, err
}

// Step returns where a step is in Steps, -1 if the harness has none such.
func (p *Pictures) Step(s wiring.Step) int { return slices.Index(p.Steps, s) }

// Lamp returns where a lamp is in the network's Lamps, -1 if there is none.
func (p *Pictures) Lamp(id string) int {
	return slices.IndexFunc(p.Network.Lamps(), func(l wiring.Lamp) bool { return l.ID == id })
}

// Point returns where a point is in Points, -1 if there is none.
func (p *Pictures) Point(id string) int { return Find(p.Points, id) }

// Find returns where a point is among points, -1 if it is not.
func Find(points []Point, id string) int {
	return slices.IndexFunc(points, func(x Point) bool { return x.ID == id })
}

// Tried returns which of hazard and brake the harness lets win: both where that
// is not recorded.
func (p *Pictures) Tried() []rig.HazardAndBrake { return tried(&p.Network.Harness) }

// Light is the light of a lamp, 1 at its design point, in one half of a step.
// won is an index into Tried.
func (p *Pictures) Light(cause, step, won int, half wiring.Half, lamp int) float64 {
	return float64(p.light[p.row(cause, step, won, half)*p.lamps+lamp])
}

// LogLight is the logarithm of the light, that of darkest where there is none.
func (p *Pictures) LogLight(cause, step, won int, half wiring.Half, lamp int) float64 {
	return float64(p.log[p.row(cause, step, won, half)*p.lamps+lamp])
}

// darkest is far below what anybody sees.
const darkest = 1e-5

var logDarkest = math.Log(darkest)

// Brightest is the greater of a lamp's lights in the two halves of a step.
func (p *Pictures) Brightest(cause, step, won, lamp int) float64 {
	return max(p.Light(cause, step, won, wiring.Lit, lamp), p.Light(cause, step, won, wiring.Dark, lamp))
}

// Look is how a lamp looks in a step, at the model's supply.
func (p *Pictures) Look(cause, step, won, lamp int) Look {
	return LookOf(p.Light(cause, step, won, wiring.Lit, lamp), p.Light(cause, step, won, wiring.Dark, lamp))
}

// Hidden reports whether the light of a lamp cannot be seen in a step of a sound
// harness, because a brighter one in the same lens outshines it.
func (p *Pictures) Hidden(step, won, lamp int) bool {
	lamps := p.Network.Lamps()
	if lamps[lamp].Job != wiring.TailJob {
		return false
	}
	for i := range lamps {
		if lamps[i].Lens == lamps[lamp].Lens && lamps[i].Job != wiring.TailJob && p.Light(0, step, won, wiring.Lit, i) >= outshines && p.Light(0, step, won, wiring.Dark, i) >= outshines {
			return true
		}
	}
	return false
}

// outshines is the light of a stop lamp, ten times as strong as a tail lamp,
// from which nobody sees the tail lamp beside it.
const outshines = 0.2

// Value is the reading at a point, in volts or amperes.
func (p *Pictures) Value(cause, step, won int, half wiring.Half, point int) float64 {
	return float64(p.value[p.row(cause, step, won, half)*len(p.Points)+point])
}

// Same reports whether a step shows two causes through the very same rows.
func (p *Pictures) Same(step, one, other int) bool { return p.Alike(step, one) == p.Alike(step, other) }

// Alike is the first cause that a step shows through the very same rows.
func (p *Pictures) Alike(step, cause int) int { return int(p.alike[step*len(p.Causes)+cause]) }

// compare finds what Alike answers.
func (p *Pictures) compare() {
	p.alike = make([]int32, 0, len(p.Steps)*len(p.Causes))
	for step, from := range p.firsts {
		to := len(p.states)
		if step+1 < len(p.firsts) {
			to = p.firsts[step+1]
		}
		var key []byte
		known := map[string]int32{}
		for i := range p.Causes {
			key = key[:0]
			for _, row := range p.rows[i*len(p.states)+from : i*len(p.states)+to] {
				key = binary.LittleEndian.AppendUint32(key, uint32(row))
			}
			first, ok := known[string(key)]
			if !ok {
				first = int32(i)
				known[string(key)] = first
			}
			p.alike = append(p.alike, first)
		}
	}
}

func (p *Pictures) row(cause, step, won int, half wiring.Half) int {
	s := p.firsts[step]
	if p.states[s].HazardAndBrake != "" {
		s += 2 * won
	}
	if half == wiring.Dark && p.flashes[step] {
		s++
	}
	return int(p.rows[cause*len(p.states)+s])
}

// list makes the states: one for a step that does not flash, two for one that
// does, and two more where hazard and brake are not settled.
func (p *Pictures) list() {
	for _, step := range p.Steps {
		p.firsts, p.flashes = append(p.firsts, len(p.states)), append(p.flashes, step.Flashes())
		precedences := []rig.HazardAndBrake{""}
		if step == wiring.StepHazardBrake {
			precedences = p.Tried()
		}
		for _, won := range precedences {
			p.states = append(p.states, wiring.State{Step: step, Half: wiring.Lit, HazardAndBrake: won})
			if step.Flashes() {
				p.states = append(p.states, wiring.State{Step: step, Half: wiring.Dark, HazardAndBrake: won})
			}
		}
	}
}

func tried(h *wiring.Harness) []rig.HazardAndBrake {
	if h.HazardRecorded {
		return []rig.HazardAndBrake{h.HazardAndBrake}
	}
	return []rig.HazardAndBrake{rig.HazardFlashes, rig.BrakeSteady}
}

// StepsOf lists the steps that a harness can be put through: those that need a
// brake unit on the pedal only where there is one.
func StepsOf(h *wiring.Harness) []wiring.Step {
	return slices.DeleteFunc(wiring.Steps(), func(s wiring.Step) bool { return s.NeedsUnit() && !h.UnitPresses })
}

// unsolved is the row of a cause in a state that is still to be solved.
const unsolved = -1

// solve fills in all rows, those of the sound harness first: the others are
// solved only where they differ from it, starting there.
func (p *Pictures) solve() error {
	n := p.Network
	near := make([][]float64, len(p.states))
	for s, state := range p.states {
		n.Set(state)
		if err := n.Solve(); err != nil {
			return err
		}
		near[s] = n.AppendVoltages(nil)
		sound := p.keep()
		for i := range p.Causes {
			row := &p.rows[i*len(p.states)+s]
			*row = sound
			if slices.ContainsFunc(p.Causes[i].Faults, func(f *wiring.Fault) bool { return !n.Idle(state, f) }) {
				*row = unsolved
			}
		}
	}
	known := map[string]int32{}
	var key []byte
	for i := range p.Causes {
		for s, state := range p.states {
			at := i*len(p.states) + s
			if p.rows[at] != unsolved {
				continue
			}
			n.Set(state, p.Causes[i].Faults...)
			key = n.AppendKey(key[:0])
			row, ok := known[string(key)]
			if !ok {
				if err := n.SolveNear(near[s]); err != nil {
					return err
				}
				row = p.keep()
				known[string(key)] = row
			}
			p.rows[at] = row
		}
	}
	return nil
}

// keep appends what the network now shows and returns its row.
func (p *Pictures) keep() int32 {
	row := int32(len(p.light) / p.lamps)
	for i := range p.lamps {
		light, log := p.Network.Light(i), logDarkest
		if light > darkest {
			log = math.Log(light)
		}
		p.light = append(p.light, float32(light))
		p.log = append(p.log, float32(log))
	}
	for i := range p.Points {
		p.value = append(p.value, float32(p.Points[i].Read(p.Network)))
	}
	return row
}

// soundWeight is a sound harness against the weights of single faults: a person
// traces because something looked wrong. pairing is how much rarer two faults at
// once are than the product of their shares says for independent ones.
// Judgement.
const (
	soundWeight = 30
	pairing     = 0.5
)

// causes lists the sound harness, each fault and the likeliest pairs.
func causes(faults []wiring.Fault, pairs int) []Cause {
	total := 0.0
	for i := range faults {
		total += faults[i].Weight
	}
	all := []Cause{{Prior: soundWeight}}
	for i := range faults {
		all = append(all, Cause{Faults: []*wiring.Fault{&faults[i]}, Prior: faults[i].Weight})
	}
	all = append(all, likeliest(faults, pairs, total)...)
	sum := 0.0
	for _, c := range all {
		sum += c.Prior
	}
	for i := range all {
		all[i].Prior /= sum
	}
	return all
}

// likeliest lists so many pairs of faults, the likeliest first, equals in the
// order of the faults.
func likeliest(faults []wiring.Fault, pairs int, total float64) []Cause {
	if pairs == 0 {
		return nil
	}
	type pair struct {
		prior    float64
		one, two int
	}
	all := make([]pair, 0, len(faults)*len(faults)/2)
	for i := range faults {
		for j := i + 1; j < len(faults); j++ {
			all = append(all, pair{pairing * faults[i].Weight * faults[j].Weight / total, i, j})
		}
	}
	sorting.By(all, func(a, b pair) int { return cmp.Compare(b.prior, a.prior) })
	causes := make([]Cause, min(pairs, len(all)))
	for i := range causes {
		causes[i] = Cause{Faults: []*wiring.Fault{&faults[all[i].one], &faults[all[i].two]}, Prior: all[i].prior}
	}
	return causes
}

// Point is something that a meter can be held to.
type Point struct {
	// ID is stable, for example end_left.
	ID    string
	Place wiring.Place
	// Amps is whether it is a current, read with a clamp around the conductor.
	Amps bool

	// A voltage lies between Plus and Minus, a current runs through Part.
	Plus, Minus circuit.Node
	Part        circuit.Part
}

// Read is what is measured at the point of a network that is solved, in volts or
// amperes.
func (x *Point) Read(n *wiring.Network) float64 {
	if x.Amps {
		return n.Current(x.Part)
	}
	return n.Voltage(x.Plus) - n.Voltage(x.Minus)
}
