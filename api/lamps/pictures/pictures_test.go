package pictures

import (
	"math"
	"testing"

	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

func ptr[T any](v T) *T { return &v }

// topologies are rigs that differ in how current reaches the lamps and comes back.
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
		"bar":    with(func(r *rig.Rig) { r.Harness.Approach = rig.RemovableLamps }),
	}
}

// A fault taken for idle shows what it shows when it is solved.
func TestIdle(t *testing.T) {
	for name, r := range topologies() {
		t.Run(name, func(t *testing.T) {
			n := wiring.Build(wiring.Describe(r))
			p, err := Of(n, 20)
			if err != nil {
				t.Fatal(err)
			}
			solved := 0
			for i := range p.Causes {
				for s, state := range p.states {
					row := int(p.rows[i*len(p.states)+s])
					if row != int(p.rows[s]) {
						solved++
					}
					n.Set(state, p.Causes[i].Faults...)
					if err := n.Solve(); err != nil {
						t.Fatal(err)
					}
					for at := range p.Points {
						if state.Step == wiring.StepUnplugged {
							break // the car hangs on the leaks of its nodes; nothing is measured
						}
						kept, now := float64(p.value[row*len(p.Points)+at]), p.Points[at].Read(n)
						if math.Abs(kept-now) > 2e-4 {
							t.Errorf("%v in %v: %s is kept as %.6f and solved as %.6f", p.Causes[i].IDs(), state, p.Points[at].ID, kept, now)
						}
					}
					for at := range p.lamps {
						kept, now := float64(p.light[row*p.lamps+at]), n.Light(at)
						if math.Abs(kept-now) > 1e-5 {
							t.Errorf("%v in %v: %s is kept as %.6f and solved as %.6f", p.Causes[i].IDs(), state, n.Lamps()[at].ID, kept, now)
						}
					}
				}
			}
			t.Logf("%d causes, %d states, %d of %d solved", len(p.Causes), len(p.states), solved, len(p.Causes)*len(p.states))
		})
	}
}

// BenchmarkSingles is every single fault in every step of the light test.
func BenchmarkSingles(b *testing.B) {
	n := wiring.Build(wiring.Describe(topologies()["schottky, plate, unit"]))
	for b.Loop() {
		if _, err := Of(n, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPairs is that with the pairs that a trace considers.
func BenchmarkPairs(b *testing.B) {
	n := wiring.Build(wiring.Describe(topologies()["schottky, plate, unit"]))
	for b.Loop() {
		if _, err := Of(n, 150); err != nil {
			b.Fatal(err)
		}
	}
}
