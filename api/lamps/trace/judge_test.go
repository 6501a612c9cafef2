//go:build !js

package trace

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pintail/api/circuit"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// car is a real car as it stands with one fault: drawn, not modelled.
type car struct {
	n     *wiring.Network
	fault wiring.Fault
	lumen []float64 // by lamp: its light over the catalogue's
	won   rig.HazardAndBrake
	// volts are the nodes' voltages, by state and node.
	volts map[wiring.State][]float64
}

// drawn is a harness as it might really be: supply, bulbs and contacts. The
// spreads are those the trace is judged by.
func drawn(h wiring.Harness, rnd *rand.Rand) wiring.Harness {
	around := func(v *float64, share float64) { *v *= 1 + share*(2*rnd.Float64()-1) }
	h.SupplyV = 12.2 + 2.2*rnd.Float64()
	for _, b := range []*wiring.Bulb{&h.StopBulb, &h.TailBulb, &h.TurnBulb, &h.PlateBulb} {
		around(&b.Amps, 0.1)
	}
	contact := func(v *float64) { *v += 0.04 * rnd.Float64() }
	for i := range h.Ohms.Source {
		contact(&h.Ohms.Source[i])
	}
	o := &h.Ohms
	for _, v := range []*float64{&o.Umbilical, &o.Car, &o.UmbilicalGround, &o.CarGround, &o.Housing[0], &o.Housing[1]} {
		contact(v)
	}
	return h
}

func draw(model wiring.Harness, p *pictures.Pictures, fault string, rnd *rand.Rand) *car {
	c := &car{n: wiring.Build(drawn(model, rnd)), won: p.Tried()[rnd.IntN(len(p.Tried()))], volts: map[wiring.State][]float64{}}
	c.fault, _ = c.n.Fault(fault)
	for range c.n.Lamps() {
		c.lumen = append(c.lumen, 1+0.25*(2*rnd.Float64()-1))
	}
	return c
}

func (c *car) states(p *pictures.Pictures) []wiring.State {
	var all []wiring.State
	for _, s := range p.Steps {
		all = append(all, c.state(s, wiring.Lit))
		if s.Flashes() {
			all = append(all, c.state(s, wiring.Dark))
		}
	}
	return all
}

// solved reports whether every state has its voltages: ngspice gives up on a few.
func (c *car) solved(p *pictures.Pictures) bool {
	return !slices.ContainsFunc(c.states(p), func(s wiring.State) bool { return c.volts[s] == nil })
}

func (c *car) state(s wiring.Step, half wiring.Half) wiring.State {
	if !s.Flashes() {
		half = wiring.Lit
	}
	return wiring.State{Step: s, Half: half, HazardAndBrake: c.won}
}

// light is a lamp's light: the voltage to the power 3.4, in an LED the current in
// proportion to the voltage above its threshold. Source: Standard Handbook for
// Electrical Engineers, 11th ed., p. 22-8.
func (c *car) light(s wiring.Step, half wiring.Half, lamp int) float64 {
	state := c.state(s, half)
	c.n.Set(state, &c.fault)
	l := &c.n.Lamps()[lamp]
	if c.n.Circuit().Condition(l.Part) == circuit.Cut {
		return 0
	}
	a, b := c.n.Circuit().Ends(l.Part)
	v := math.Abs(c.volts[state][a] - c.volts[state][b])
	return c.lumen[lamp] * math.Pow(v/l.Volts, 3.4)
}

func (c *car) pictures(p *pictures.Pictures) Evidence {
	var e Evidence
	for step, s := range p.Steps {
		for i, l := range p.Network.Lamps() {
			if !l.Connected || p.Hidden(step, 0, i) {
				continue
			}
			k := pictures.LookOf(c.light(s, wiring.Lit, i), c.light(s, wiring.Dark, i))
			e.Pictures = append(e.Pictures, Picture{Step: s, Lamp: l.ID, Glow: k.Glow, Pattern: k.Pattern, Phase: k.Phase})
		}
	}
	return e
}

// spoiled loses one answer in twenty and gives one in twenty wrong.
func spoiled(e Evidence, rnd *rand.Rand) Evidence {
	var out Evidence
	for _, x := range e.Pictures {
		switch u := rnd.Float64(); {
		case u < 0.05:
			continue
		case u < 0.10:
			x.Glow = glows[rnd.IntN(len(glows))]
			if x.Glow == wiring.IsDark {
				x.Pattern, x.Phase = "", ""
			}
		}
		out.Pictures = append(out.Pictures, x)
	}
	return out
}

// read takes a reading with a meter good for one in a hundred.
func (c *car) read(p *pictures.Pictures, step wiring.Step, point int, rnd *rand.Rand) Reading {
	x := &p.Points[point]
	state := c.state(step, wiring.Lit)
	r := Reading{Step: step, Point: x.ID}
	volts := c.volts[state]
	if !x.Amps {
		v := (volts[x.Plus]-volts[x.Minus])*(1+0.01*rnd.NormFloat64()) + 0.03*rnd.NormFloat64()
		r.V = &v
		return r
	}
	c.n.Set(state, &c.fault)
	a, b := c.n.Circuit().Ends(x.Part)
	amps := 0.0
	if c.n.Circuit().Condition(x.Part) != circuit.Cut {
		amps = (volts[a] - volts[b]) / c.ohms(x.ID) * (1 + 0.04*rnd.NormFloat64())
	}
	r.A = &amps
	return r
}

// ohms is the resistance of the conductor a clamp is around.
func (c *car) ohms(point string) float64 {
	feed := strings.TrimPrefix(point, "amps_")
	ohms := c.n.Harness.Ohms.Umbilical
	if feed == "ground" {
		ohms = c.n.Harness.Ohms.UmbilicalGround
	}
	if s := c.fault.Site(); s == "contact_"+feed || s == feed {
		ohms += c.fault.Ohm()
	}
	return ohms
}

// tally is how the traces of one topology went.
type tally struct {
	trials, top, three, alone, readings, size int
	misses                                    []string
}

func (y *tally) add(o *tally) {
	y.trials, y.top, y.three, y.alone = y.trials+o.trials, y.top+o.top, y.three+o.three, y.alone+o.alone
	y.readings, y.size = y.readings+o.readings, y.size+o.size
}

func pct(part, of int) float64 { return 100 * float64(part) / float64(max(1, of)) }

// rank is the place of the group that has a fault, 99 if none has.
func rank(p *pictures.Pictures, gs []group, fault string) int {
	for i := range gs {
		for _, s := range gs[i].sites {
			if slices.ContainsFunc(s.causes, func(c int) bool { return slices.Equal(p.Causes[c].IDs(), []string{fault}) }) {
				return i + 1
			}
		}
	}
	return 99
}

// judge traces one car three times: as it is seen, as it is seen badly, and with
// the readings that are suggested.
func (y *tally) judge(p *pictures.Pictures, c *car, rnd *rand.Rand) {
	y.trials++
	id := c.fault.ID
	e := c.pictures(p)
	b := believe(p, bind(p, &e), nil)
	gs := b.groups()
	if r := rank(p, gs, id); r == 1 {
		y.top++
		y.size += len(gs[0].sites)
	} else {
		y.miss("eye", p, gs, id, r)
	}
	bad := spoiled(e, rnd)
	spoiledGroups := believe(p, bind(p, &bad), nil).groups()
	if r := rank(p, spoiledGroups, id); r <= 3 {
		y.three++
	} else {
		y.miss("spoiled", p, spoiledGroups, id, r)
	}
	for range 12 {
		a, ok := b.next(gs, Meter, func(a action) bool {
			return a.point < 0 || slices.ContainsFunc(e.Readings, func(r Reading) bool { return r.Step == p.Steps[a.step] && r.Point == p.Points[a.point].ID })
		})
		if !ok {
			break
		}
		y.readings++
		e.Readings = append(e.Readings, c.read(p, p.Steps[a.step], a.point, rnd))
		b = believe(p, bind(p, &e), nil)
		gs = b.groups()
	}
	if r := rank(p, gs, id); r == 1 && twins(p, &gs[0]) {
		y.alone++
	} else {
		y.miss("readings", p, gs, id, r)
	}
}

func (y *tally) miss(what string, p *pictures.Pictures, gs []group, id string, r int) {
	var members []string
	for _, s := range gs[0].sites[:min(6, len(gs[0].sites))] {
		members = append(members, strings.Join(p.Causes[s.causes[0]].IDs(), "+"))
	}
	y.misses = append(y.misses, fmt.Sprintf("%s: %s is %d; first %v %.2f", what, id, r, members, gs[0].posterior))
}

// twins reports whether physics tells none of a group from another: nowhere, in
// no step, do they differ by what a meter resolves.
func twins(p *pictures.Pictures, g *group) bool {
	first := g.sites[0].causes[0]
	for _, s := range g.sites[1:] {
		for step := range p.Steps {
			for point := range p.Points {
				for won := range p.Tried() {
					if p.Steps[step] != wiring.StepUnplugged && math.Abs(p.Value(first, step, won, wiring.Lit, point)-p.Value(s.causes[0], step, won, wiring.Lit, point)) > 0.3 {
						return false
					}
				}
			}
		}
	}
	return true
}

// TestJudge has ngspice solve drawn cars with one fault each, and traces them.
// Evidence comes from other parameters than the model's: supply 12.2 to 14.4 V,
// bulbs' amperes a tenth and light a quarter either way, contacts drawn.
func TestJudge(t *testing.T) {
	solve, each := withNgspice(t), 10
	if testing.Short() || os.Getenv("SOLVER") != "" {
		solve, each = withSolver, 3
	}
	if s := os.Getenv("TRIALS"); s != "" {
		each, _ = strconv.Atoi(s)
	}
	seed := uint64(20261125)
	if s := os.Getenv("SEED"); s != "" {
		seed, _ = strconv.ParseUint(s, 10, 64)
	}
	t.Logf("seed %d, %d faults to a topology", seed, each)
	var sum tally
	for name, r := range topologies() {
		model := wiring.Describe(r)
		p, err := pictures.Of(wiring.Build(model), pairsTried)
		if err != nil {
			t.Fatal(err)
		}
		rnd := rand.New(rand.NewPCG(seed, uint64(len(name))))
		var cars []*car
		for _, i := range rnd.Perm(p.Singles - 1)[:min(each, p.Singles-1)] {
			cars = append(cars, draw(model, p, p.Causes[i+1].Faults[0].ID, rnd))
		}
		solve(t, p, cars)
		var y tally
		for _, c := range cars {
			if !c.solved(p) {
				t.Logf("ngspice finds no answer for %s with %s; left out", name, c.fault.ID)
				continue
			}
			y.judge(p, c, rnd)
		}
		y.log(t, name)
		sum.add(&y)
	}
	sum.log(t, "all")
	if testing.Short() {
		return // too few to say a share
	}
	// Asked are 97, 90 and 90 in a hundred. 280 cars each (TRIALS=40, SEED 5, 6, 11
	// and 77) gave 97.1 to 98.6, 100 and 96.1 to 97.1; the 70 of a usual run lie up
	// to six either way.
	if pct(sum.top, sum.trials) < 92 || pct(sum.three, sum.trials) < 90 || pct(sum.alone, sum.trials) < 90 {
		t.Error("worse than it was: 97, 100 and 96 in a hundred")
	}
}

func (y *tally) log(t *testing.T, name string) {
	t.Logf("%-26s %4d cars: top group %5.1f %% (of %.1f causes), top three spoiled %5.1f %%, alone after readings %5.1f %% (%.1f readings)",
		name, y.trials, pct(y.top, y.trials), float64(y.size)/float64(max(1, y.top)), pct(y.three, y.trials), pct(y.alone, y.trials), float64(y.readings)/float64(max(1, y.trials)))
	for _, m := range y.misses {
		t.Log("   " + m)
	}
}

// withSolver solves the cars with our own solver.
func withSolver(t *testing.T, p *pictures.Pictures, cars []*car) {
	for _, c := range cars {
		for _, s := range c.states(p) {
			c.n.Set(s, &c.fault)
			if err := c.n.Solve(); err != nil {
				t.Fatal(err)
			}
			volts := make([]float64, c.n.Circuit().Nodes())
			for i := range volts {
				volts[i] = c.n.Voltage(circuit.Node(i))
			}
			c.volts[s] = volts
		}
	}
}

// withNgspice has one run of ngspice solve all states of all cars.
func withNgspice(t *testing.T) func(*testing.T, *pictures.Pictures, []*car) {
	program, err := exec.LookPath("ngspice")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("ngspice is missing")
		}
		t.Skip("ngspice is missing")
	}
	return func(t *testing.T, p *pictures.Pictures, cars []*car) {
		dir := t.TempDir()
		var driver strings.Builder
		driver.WriteString("* each netlist in its turn\n.control\n")
		count := 0
		for _, c := range cars {
			for _, s := range c.states(p) {
				c.n.Set(s, &c.fault)
				text, err := c.n.Circuit().Netlist("car", circuit.NetlistOptions{RelTol: 1e-5, AbsTol: 1e-11, VnTol: 1e-6, Digits: 9})
				if err != nil {
					t.Fatal(err)
				}
				file := filepath.Join(dir, strconv.Itoa(count)+".cir")
				write(t, file, strings.Replace(text, "\nquit\n", "\n", 1))
				fmt.Fprintf(&driver, "echo ==== %d\nsource %s\ndestroy all\nremcirc\n", count, file)
				count++
			}
		}
		driver.WriteString("quit\n.endc\n.end\n")
		file := filepath.Join(dir, "driver.cir")
		write(t, file, driver.String())
		cmd := exec.Command(program, "-n", "-b", file)
		cmd.Dir = dir
		out, _ := cmd.Output() // its exit code says nothing of the circuits
		answers := printed(out, count)
		count = 0
		for _, c := range cars {
			for _, s := range c.states(p) {
				c.volts[s] = named(t, c.n.Circuit(), answers[count])
				count++
			}
		}
	}
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// printed takes "==== 12" and "v(name) = 1.23e+00" from what ngspice prints.
func printed(out []byte, count int) []map[string]float64 {
	answers := make([]map[string]float64, count)
	at := -1
	for lines := bufio.NewScanner(bytes.NewReader(out)); lines.Scan(); {
		line := lines.Text()
		if i, ok := strings.CutPrefix(line, "==== "); ok {
			at, _ = strconv.Atoi(strings.TrimSpace(i))
			answers[at] = map[string]float64{}
			continue
		}
		rest, isNode := strings.CutPrefix(line, "v(")
		name, value, _ := strings.Cut(rest, ") = ")
		if v, err := strconv.ParseFloat(value, 64); isNode && err == nil && at >= 0 {
			answers[at][name] = v
		}
	}
	return answers
}

func named(t *testing.T, c *circuit.Circuit, volts map[string]float64) []float64 {
	t.Helper()
	if len(volts) != c.Nodes()-1 {
		return nil
	}
	all := make([]float64, c.Nodes())
	for i := 1; i < len(all); i++ {
		all[i] = volts[c.NodeName(circuit.Node(i))]
	}
	return all
}
