package trace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

func ptr[T any](v T) *T { return &v }

func topologies() map[string]rig.Rig {
	combined := rig.Rig{
		Towed:   rig.Towed{RearLamps: rig.CombinedLamps},
		Harness: rig.Harness{Signals: rig.CombinedSignals, Approach: rig.SteeringDiodes, Converter: rig.NoConverter},
	}
	with := func(change func(*rig.Rig)) rig.Rig {
		r := combined
		change(&r)
		return r
	}
	tapped := rig.Branch{Tapped: ptr(true)}
	return map[string]rig.Rig{
		"diodes": combined,
		"schottky, plate, unit": with(func(r *rig.Rig) {
			r.Harness.Diodes.Kind = rig.Schottky
			r.Harness.Lamps.Plate = ptr(true)
			r.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), PressesPedal: ptr(true)}
		}),
		"bulbs, tapped": with(func(r *rig.Rig) {
			r.Harness.Approach = rig.SeparateBulbs
			r.Towing.Circuits.Tail, r.Towing.Circuits.Left, r.Towing.Circuits.Right = tapped, tapped, tapped
		}),
		"separate, combined lamps": with(func(r *rig.Rig) {
			r.Harness.Signals, r.Harness.Converter = rig.SeparateSignals, rig.CombinesSignals
		}),
		"separate, amber": with(func(r *rig.Rig) {
			r.Harness.Signals, r.Towed.RearLamps = rig.SeparateSignals, rig.AmberTurn
		}),
		"split, amber": with(func(r *rig.Rig) {
			r.Harness.Converter, r.Towed.RearLamps = rig.SeparatesSignals, rig.AmberTurn
		}),
		"relays": with(func(r *rig.Rig) { r.Harness.Approach = rig.RelayBypass }),
	}
}

// drawn is the harness as it might really be: other supply, bulbs and contacts.
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
	contact(&h.Ohms.Umbilical)
	contact(&h.Ohms.Car)
	contact(&h.Ohms.UmbilicalGround)
	contact(&h.Ohms.CarGround)
	contact(&h.Ohms.Housing[0])
	contact(&h.Ohms.Housing[1])
	return h
}

// real is a drawn car with a fault and what one sees and measures at it.
type real struct {
	n     *wiring.Network
	fault *wiring.Fault
	lumen []float64 // by lamp: its light over the model's
	won   rig.HazardAndBrake
}

func (r *real) solve(tb testing.TB, s wiring.Step, half wiring.Half) {
	state := wiring.State{Step: s, Half: half, HazardAndBrake: r.won}
	if r.fault == nil {
		r.n.Set(state)
	} else {
		r.n.Set(state, r.fault)
	}
	if err := r.n.Solve(); err != nil {
		tb.Fatal(err)
	}
}

// see is a picture of a lamp of two lights.
func see(s wiring.Step, lamp string, light [2]float64) Picture {
	k := pictures.LookOf(light[0], light[1])
	return Picture{Step: s, Lamp: lamp, Glow: k.Glow, Pattern: k.Pattern, Phase: k.Phase}
}

func (r *real) all(tb testing.TB, p *pictures.Pictures) Evidence {
	var e Evidence
	lamps := p.Network.Lamps()
	for step, s := range p.Steps {
		light := make([][2]float64, len(lamps))
		for half, h := range []wiring.Half{wiring.Lit, wiring.Dark} {
			r.solve(tb, s, h)
			for i := range lamps {
				light[i][half] = r.n.Light(i) * r.lumen[i]
			}
		}
		for i := range lamps {
			if !p.Hidden(step, 0, i) {
				e.Pictures = append(e.Pictures, see(s, lamps[i].ID, light[i]))
			}
		}
	}
	return e
}

func spoil(e Evidence, rnd *rand.Rand) Evidence {
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

func (g *group) all() (causes []int) {
	for _, s := range g.sites {
		causes = append(causes, s.causes...)
	}
	return causes
}

func (g *group) firsts() (causes []int) {
	for _, s := range g.sites {
		causes = append(causes, s.causes[0])
	}
	return causes
}

func rank(gs []group, causes []pictures.Cause, id string) int {
	for i, g := range gs {
		for _, c := range g.all() {
			if ids := causes[c].IDs(); len(ids) == 1 && ids[0] == id || len(ids) == 0 && id == "" {
				return i + 1
			}
		}
	}
	return 99
}

func TestMatrix(t *testing.T) {
	for name, r := range topologies() {
		model := wiring.Describe(r, nil)
		p, err := pictures.Of(wiring.Build(model), 150)
		if err != nil {
			t.Fatal(err)
		}
		rnd := rand.New(rand.NewPCG(5, 7))
		var top, three, trials, alone, size, actions int
		var missed, lost, stuck []string
		for i := range p.Causes[:p.Singles] {
			id := strings.Join(p.Causes[i].IDs(), "+")
			if i == 0 {
				continue
			}
			trials++
			n := wiring.Build(drawn(model, rnd))
			car := &real{n: n, won: p.Tried()[rnd.IntN(len(p.Tried()))]}
			f, _ := n.Fault(id)
			car.fault = &f
			for range n.Lamps() {
				car.lumen = append(car.lumen, 1+0.25*(2*rnd.Float64()-1))
			}
			e := car.all(t, p)
			b := believe(p, bind(p, &e), nil)
			gs := b.groups()
			if rank(gs, p.Causes, id) == 1 {
				top++
				size += len(gs[0].sites)
			} else {
				missed = append(missed, fmt.Sprintf("%s(%d, top %v %.2f)", id, rank(gs, p.Causes, id), p.Causes[gs[0].sites[0].causes[0]].IDs(), gs[0].posterior))
			}
			bad := spoil(e, rnd)
			if gs := believe(p, bind(p, &bad), nil).groups(); rank(gs, p.Causes, id) <= 3 {
				three++
			} else {
				lost = append(lost, fmt.Sprintf("%s(%d, top %v %.2f)", id, rank(gs, p.Causes, id), p.Causes[gs[0].sites[0].causes[0]].IDs(), gs[0].posterior))
			}
			// Take what is suggested until nothing more tells.
			for range 12 {
				a, ok := b.next(b.groups(), Meter, func(a action) bool {
					return a.point < 0 || slices.ContainsFunc(e.Readings, func(r Reading) bool { return r.Step == p.Steps[a.step] && r.Point == p.Points[a.point].ID })
				})
				if !ok {
					break
				}
				actions++
				car.solve(t, p.Steps[a.step], wiring.Lit)
				e.Readings = append(e.Readings, measure(p, n, a, rnd))
				b = believe(p, bind(p, &e), nil)
			}
			gs = b.groups()
			if rank(gs, p.Causes, id) == 1 && twins(p, gs[0].firsts()) {
				alone++
			} else {
				var members []string
				for _, c := range gs[0].firsts() {
					members = append(members, strings.Join(p.Causes[c].IDs(), "+"))
				}
				stuck = append(stuck, fmt.Sprintf("%s(%d: %v)", id, rank(gs, p.Causes, id), members))
			}
		}
		t.Logf("%-26s %3d trials: top group %.1f %% (mean size %.1f), top three spoiled %.1f %%, alone after readings %.1f %% (%.1f readings)", name, trials,
			100*float64(top)/float64(trials), float64(size)/float64(max(1, top)), 100*float64(three)/float64(trials), 100*float64(alone)/float64(trials), float64(actions)/float64(trials))
		t.Logf("   missed %v", missed)
		t.Logf("   lost %v", lost)
		t.Logf("   stuck %v", stuck)
	}
}

// twins reports whether no step and no point tells the causes apart at all.
func twins(p *pictures.Pictures, causes []int) bool {
	for _, i := range causes[1:] {
		for step := range p.Steps {
			for point := range p.Points {
				for won := range p.Tried() {
					if math.Abs(p.Value(causes[0], step, won, wiring.Lit, point)-p.Value(i, step, won, wiring.Lit, point)) > 0.2 {
						return false
					}
				}
			}
		}
	}
	return true
}

func measure(p *pictures.Pictures, n *wiring.Network, a action, rnd *rand.Rand) Reading {
	x := p.Points[a.point]
	v := x.Read(n)
	r := Reading{Step: p.Steps[a.step], Point: x.ID}
	if x.Amps {
		v *= 1 + 0.05*rnd.NormFloat64()
		r.A = &v
		return r
	}
	v += 0.05 * rnd.NormFloat64()
	r.V = &v
	return r
}
