package trace

import "pintail/api/rig"

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
	}
}
