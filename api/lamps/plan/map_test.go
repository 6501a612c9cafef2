package plan_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pintail/api/circuit"
	"pintail/api/lamps/plan"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

// harnesses are one of every kind.
func harnesses() map[string][]func(*rig.Rig) {
	interrupted := func(r *rig.Rig) {
		r.Harness.StopSwitchInterrupted, r.Harness.InterrupterFailSafe = ptr(true), ptr(true)
	}
	turns := func(r *rig.Rig) { r.Harness.Lamps.Turn = rig.Pair{Left: ptr(true), Right: ptr(true)} }
	wide := func(r *rig.Rig) { r.Harness.Lamps.Clearance = rig.Pair{Left: ptr(true), Right: ptr(true)} }
	splits := func(r *rig.Rig) { r.Harness.Converter = rig.SeparatesSignals }
	leds := func(r *rig.Rig) {
		r.Harness.Bulbs = rig.Bulbs{Tail: rig.Bulb{ID: "LED-TAIL"}, Stop: rig.Bulb{ID: "LED-STOP"}, Turn: rig.Bulb{ID: "LED-STOP"}}
	}
	return map[string][]func(*rig.Rig){
		"steering diodes":       {pressed},
		"interrupted":           {pressed, interrupted},
		"spliced on":            {approach(rig.SplicedOn)},
		"separate bulbs":        {approach(rig.SeparateBulbs)},
		"lamp bar of LEDs":      {approach(rig.RemovableLamps), leds},
		"relays":                {approach(rig.RelayBypass), pressed},
		"combining converter":   {converting(rig.ConverterXOR)},
		"amber, three feeds":    {amber, separate, withStopWire, turns, pressed},
		"amber, split":          {amber, splits, turns},
		"amber, reds only":      {amber},
		"amber, both on one":    {amber, turns},
		"clearance lamps":       {wide, tapped},
		"lamp bar, three feeds": {approach(rig.RemovableLamps), separate, withStopWire, turns},
		"nothing connected": {func(r *rig.Rig) {
			r.Harness.Lamps = rig.LampSet{Tail: rig.Pair{Left: ptr(false), Right: ptr(false)}, Stop: rig.Pair{Left: ptr(false), Right: ptr(false)}, Plate: ptr(false)}
		}},
		"nothing runs": {func(r *rig.Rig) {
			no := ptr(false)
			r.Harness.Feeds = rig.Feeds{Tail: no, Left: no, Right: no, Brake: no, Ground: no}
		}},
		"right tail lamp only": {func(r *rig.Rig) { r.Harness.Lamps.Tail.Left = ptr(false) }},
	}
}

// The map holds together: every link joins two points, ids are unique, the nodes
// are those of the circuit, every point is joined, and every lamp that is
// connected can be reached from the supply and reaches the ground.
func TestMap(t *testing.T) {
	for name, edits := range harnesses() {
		t.Run(name, func(t *testing.T) {
			r := mustPlan(t, edits...)
			net := wiring.Build(wiring.Describe(*mustRig(t, edits...)))
			points := map[string]plan.Point{}
			for _, p := range r.Points {
				if _, twice := points[p.ID]; twice {
					t.Errorf("two points are %s", p.ID)
				}
				points[p.ID] = p
				if _, ok := net.Node(p.Node); p.Node != "" && !ok {
					t.Errorf("%s is on node %s, which the circuit has not", p.ID, p.Node)
				}
				if strings.HasPrefix(p.Name.Sentence, "plan.") {
					t.Errorf("%s has no name: %s", p.ID, p.Name.Sentence)
				}
			}
			seen, joined := map[string]bool{}, map[string]bool{}
			for _, l := range r.Links {
				if seen[l.ID] {
					t.Errorf("two links are %s", l.ID)
				}
				seen[l.ID], joined[l.From], joined[l.To] = true, true, true
				if points[l.From].ID == "" || points[l.To].ID == "" || l.From == l.To {
					t.Errorf("%s runs from %s to %s", l.ID, l.From, l.To)
				}
				if l.New && l.Colour == "" && l.Function != plan.OwnWire && l.From[:3] != "at_" {
					t.Errorf("%s is new and has no colour", l.ID)
				}
			}
			for id, p := range points {
				if !joined[id] && name != "nothing runs" && name != "nothing connected" {
					t.Errorf("nothing runs to %s (%s)", id, p.Kind)
				}
			}
			if name == "nothing runs" || name == "nothing connected" {
				return
			}
			from, back := reach(r.Links, "supply"), reach(r.Links, "ground_motorhome")
			for _, p := range r.Points {
				if p.Kind == plan.LampPoint && (!from[p.ID] || !back[p.ID]) {
					t.Errorf("%s: reached from the supply %t, reaches ground %t", p.ID, from[p.ID], back[p.ID])
				}
			}
		})
	}
}

// reach is what can be reached over the links, whichever way they run.
func reach(links []plan.Link, from string) map[string]bool {
	seen := map[string]bool{from: true}
	for grown := true; grown; {
		grown = false
		for _, l := range links {
			if seen[l.From] != seen[l.To] {
				seen[l.From], seen[l.To], grown = true, true, true
			}
		}
	}
	return seen
}

// A steering diode's links run the way its current does: in at the anode, out at
// the cathode, as the circuit has it.
func TestDiodeDirection(t *testing.T) {
	r := mustPlan(t, pressed)
	net := wiring.Build(wiring.Describe(*mustRig(t, pressed)))
	diodes := 0
	for _, p := range r.Points {
		if p.Kind != plan.DiodePoint {
			continue
		}
		diodes++
		part, ok := net.Part(strings.TrimPrefix(p.ID, "diode_"))
		if !ok {
			t.Fatalf("%s is no part of the circuit", p.ID)
		}
		_, cathode := net.Circuit().Ends(part)
		ins, outs := 0, 0
		for _, l := range r.Links {
			if l.To == p.ID {
				ins++
			}
			if l.From == p.ID {
				outs++
				i := slices.IndexFunc(r.Points, func(q plan.Point) bool { return q.ID == l.To })
				if node := circuit.Node(cathode); r.Points[i].Node != net.Circuit().NodeName(node) {
					t.Errorf("%s leads to node %s, its cathode is on %s", p.ID, r.Points[i].Node, net.Circuit().NodeName(node))
				}
			}
		}
		if ins != 1 || outs != 1 {
			t.Errorf("%s has %d wires in and %d out", p.ID, ins, outs)
		}
	}
	if diodes != 6 {
		t.Errorf("%d diodes, want 6: two for each of three feeds", diodes)
	}
}

// Colours and contacts: ISO 1724 in the umbilical, North American functions in
// the car.
func TestColours(t *testing.T) {
	r := mustPlan(t, separate, withStopWire, amber, func(r *rig.Rig) { r.Harness.Connector = rig.Connector{Kind: "iso_1724"} })
	for id, want := range map[string]string{
		"umbilical_left": "1 yellow", "umbilical_right": "4 green", "umbilical_stop": "6 red", "umbilical_tail": "5 brown", "umbilical_ground": "3 white",
		"car_stop": " red", "car_left": " yellow", "car_ground": " white",
	} {
		i := slices.IndexFunc(r.Links, func(l plan.Link) bool { return l.ID == id })
		if i < 0 {
			t.Fatalf("no link %s", id)
		}
		if l := r.Links[i]; l.Contact+" "+l.Colour != want {
			t.Errorf("%s: contact and colour %q, want %q", id, l.Contact+" "+l.Colour, want)
		}
	}
}

// Every harness gives an answer that can be written: no NaN, no infinity, no
// sentence without words.
func TestEveryHarnessAnswers(t *testing.T) {
	for name, edits := range harnesses() {
		for _, volts := range []float64{9, 13.5, 16} {
			for _, awg := range []int{4, 22} {
				all := append(slices.Clone(edits), func(r *rig.Rig) {
					r.Towing.Circuits.SupplyV = &volts
					r.Harness.CarWire.AWG, r.Harness.UmbilicalWire.AWG = &awg, &awg
				})
				b, err := strictjson.Marshal(mustPlan(t, all...))
				if err != nil {
					t.Errorf("%s, %g V, %d AWG: %v", name, volts, awg, err)
				}
				if strings.Contains(string(b), `"sentence":"plan.`) {
					t.Errorf("%s, %g V, %d AWG: a sentence has no words", name, volts, awg)
				}
			}
		}
	}
}

// A thicker wire never makes the lamp that gets least dimmer; on the common way
// back it makes none dimmer. A thicker jumper may cost the near lamp a little, under
// a ten-thousandth:
// the far one draws more.
func TestThickerIsNeverDimmer(t *testing.T) {
	runs := map[string]func(*rig.Rig, int){
		"car":       func(r *rig.Rig, awg int) { r.Harness.CarWire.AWG = &awg },
		"umbilical": func(r *rig.Rig, awg int) { r.Harness.UmbilicalWire.AWG = &awg },
		"return":    func(r *rig.Rig, awg int) { r.Harness.UmbilicalWire.GroundAWG = &awg },
		"ground":    func(r *rig.Rig, awg int) { r.Harness.Ground.Wire.AWG = &awg },
		"jumper":    func(r *rig.Rig, awg int) { r.Harness.JumperWire.AWG = &awg },
	}
	for name, edits := range harnesses() {
		for run, set := range runs {
			var before []plan.Lit
			for awg := 22; awg >= 4; awg -= 3 {
				now := mustPlan(t, append(slices.Clone(edits), func(r *rig.Rig) { set(r, awg) })...).Lamps
				if before != nil && worst(now) < worst(before)*(1-1e-4) && worst(before) > 1 {
					t.Errorf("%s: %s in %d AWG: the worst lamp falls from %g to %g %%", name, run, awg, worst(before), worst(now))
				}
				for i, l := range now {
					if before == nil || l.LowestLightPct == nil || run != "return" && run != "ground" {
						continue
					}
					if *l.LowestLightPct < *before[i].LowestLightPct*(1-1e-9) {
						t.Errorf("%s: %s in %d AWG: %s falls from %g to %g %%", name, run, awg, l.ID, *before[i].LowestLightPct, *l.LowestLightPct)
					}
				}
				before = now
			}
		}
	}
}

// worst is the least of its design voltage that any lit lamp gets, in per cent.
func worst(lamps []plan.Lit) float64 {
	least := math.Inf(1)
	for _, l := range lamps {
		if l.Point != "" && l.LowestPct != nil {
			least = min(least, *l.LowestPct)
		}
	}
	return least
}
