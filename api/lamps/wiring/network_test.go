package wiring

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pintail/api/circuit"
	"pintail/api/finding"
	"pintail/api/lamps/parts"
	"pintail/api/rig"
)

// AnyRig draws a harness of any kind.
func AnyRig(r *rand.Rand) rig.Rig {
	maybe := func() *bool {
		return [](*bool){nil, new(true), new(false)}[r.IntN(3)]
	}
	often := func() *bool {
		if r.IntN(8) > 0 {
			return nil
		}
		return maybe()
	}
	word := func(values []string) string { return values[r.IntN(len(values))] }
	number := func(low, high float64) *float64 {
		if r.IntN(2) == 0 {
			return nil
		}
		return new(low + (high-low)*r.Float64())
	}
	branch := func() rig.Branch {
		return rig.Branch{Tapped: maybe(), OwnLampsA: number(0.3, 6), Ohm: number(0.02, 2)}
	}
	pair := func() rig.SteeringPair { return rig.SteeringPair{Feed: often(), Car: often()} }
	sides := func() rig.Pair { return rig.Pair{Left: often(), Right: often()} }
	var x rig.Rig
	x.Towing.Circuits = rig.TowingCircuits{
		SupplyV: number(10, 15), HazardAndBrake: rig.HazardAndBrake(word(rig.HazardAndBrake("").Values())),
		Tail: branch(), Left: branch(), Right: branch(), Stop: branch(),
	}
	x.Towed.RearLamps = rig.RearLamps(word(rig.RearLamps("").Values()))
	x.Towed.Circuits = rig.TowedCircuits{SupplyV: number(10, 14), SidesTied: often(), StopOhm: number(0.01, 1)}
	h := &x.Harness
	h.Signals = rig.Signals(word(rig.Signals("").Values()))
	h.Approach = rig.Approach(word(rig.Approach("").Values()))
	h.Converter = rig.Converter(word(rig.Converter("").Values()))
	h.ConverterLogic = rig.ConverterLogic(word(rig.ConverterLogic("").Values()))
	h.ConverterDropV = number(0, 3)
	h.Feeds = rig.Feeds{Tail: often(), Left: often(), Right: often(), Brake: maybe(), Ground: often()}
	h.Lamps = rig.LampSet{Tail: sides(), Stop: sides(), Turn: rig.Pair{Left: maybe(), Right: maybe()}, Plate: maybe(), Clearance: rig.Pair{Left: maybe(), Right: maybe()}}
	h.Diodes = rig.Diodes{Kind: rig.DiodeKind(word(rig.DiodeKind("").Values())), Tail: pair(), Left: pair(), Right: pair(), Stop: pair()}
	h.FarSideJumper, h.StopSwitchInterrupted = often(), maybe()
	h.Connector.ContactOhm = number(0.002, 1)
	h.Ground.HitchOhm = number(0.2, 50)
	if r.IntN(4) == 0 {
		h.Bulbs.Stop.ID, h.Bulbs.Tail.ID, h.Bulbs.Turn.ID = "LED-STOP", "LED-TAIL", "LED-STOP"
		h.Bulbs.Plate.ID = "W5W/LED"
	} else if r.IntN(2) == 0 {
		h.Bulbs.Stop.ID, h.Bulbs.Tail.ID, h.Bulbs.Turn.ID = "P21/5W", "P21/5W", "PY21W"
	}
	x.BrakeUnit.PressesPedal = maybe()
	return x
}

// AnyState draws a state.
func AnyState(r *rand.Rand) State {
	steps := Steps()
	return State{Step: steps[r.IntN(len(steps))], Half: []Half{Lit, Dark}[r.IntN(2)], Prospective: r.IntN(2) == 0}
}

// What a network has been through leaves no trace: after any states and faults
// it answers like one just built.
func TestSetLeavesNoTrace(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	for range 60 {
		h := Describe(AnyRig(r))
		used := Build(h)
		faults := used.Faults()
		for range 12 {
			s := AnyState(r)
			pair := []*Fault{&faults[r.IntN(len(faults))], &faults[r.IntN(len(faults))]}[:r.IntN(3)]
			mustSolve(t, used, s, pair...)
			fresh := Build(h)
			var again []*Fault
			for _, f := range pair {
				again = append(again, mustFaults(t, fresh, f.ID)...)
			}
			mustSolve(t, fresh, s, again...)
			for i := range used.circuit.Nodes() {
				a, b := used.Voltage(circuit.Node(i)), fresh.Voltage(circuit.Node(i))
				if a != b && (a-b > 1e-6 || b-a > 1e-6) {
					t.Fatalf("%v %v: node %s has %g V, fresh %g V", s, pair, used.circuit.NodeName(circuit.Node(i)), a, b)
				}
			}
		}
	}
}

// States with one key are one circuit.
func TestKey(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	shared := 0
	for range 20 {
		n := Build(Describe(AnyRig(r)))
		faults := n.Faults()
		netlists := map[string]string{}
		for range 150 {
			n.Set(AnyState(r), []*Fault{&faults[r.IntN(len(faults))], &faults[r.IntN(len(faults))]}[:r.IntN(3)]...)
			text, err := n.Circuit().Netlist("state", circuit.NetlistOptions{})
			if err != nil {
				t.Fatal(err)
			}
			key := string(n.AppendKey(nil))
			before, seen := netlists[key]
			if seen && before != text {
				t.Fatalf("two circuits of one key:\n%s\n%s", before, text)
			}
			if seen {
				shared++
			}
			netlists[key] = text
		}
	}
	if shared == 0 {
		t.Error("no two states were the same circuit")
	}
}

// A whole catalogue of faults is tried without allocating.
func TestSetAndSolveAllocateNothing(t *testing.T) {
	n := Build(reference(rig.SteeringDiodes, true))
	faults := n.Faults()
	one := make([]*Fault, 1)
	sweep := func() {
		for i := range faults {
			one[0] = &faults[i]
			n.Set(State{Step: StepTailLeft, Half: Lit}, one...)
			if err := n.Solve(); err != nil {
				t.Fatal(err)
			}
		}
	}
	sweep() // makes room
	if a := testing.AllocsPerRun(3, sweep); a > 0 {
		t.Errorf("%g allocations in %d solves", a, len(faults))
	}
}

// Every fault of every harness converges in every step.
func TestEveryFaultConverges(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	solved := 0
	for range 25 {
		n := Build(Describe(AnyRig(r)))
		faults := n.Faults()
		for i := range faults {
			s := AnyState(r)
			n.Set(s, &faults[i])
			if err := n.Solve(); err != nil {
				t.Fatalf("%s %v: %v", faults[i].ID, s, err)
			}
			solved++
			for j := range n.Lamps() {
				if l := n.Light(j); !(l >= 0) {
					t.Fatalf("%s: light %g", faults[i].ID, l)
				}
			}
		}
	}
	t.Logf("%d solves", solved)
}

// More resistance in the common ground never brightens a lamp of the car.
func TestGroundNeverBrightens(t *testing.T) {
	for _, a := range []rig.Approach{rig.SteeringDiodes, rig.SeparateBulbs} {
		n := Build(reference(a, false))
		for _, s := range Steps() {
			if s.NeedsUnit() {
				continue // the car's own battery does not use that ground
			}
			var last []float64
			for _, id := range []string{"", "ground_0_5", "ground_1", "ground_2", "ground_5", "ground_open"} {
				var faults []*Fault
				if id != "" {
					faults = mustFaults(t, n, id)
				}
				mustSolve(t, n, State{Step: s, Half: Lit}, faults...)
				var light []float64
				for i := range n.Lamps() {
					light = append(light, n.Light(i))
				}
				for i, l := range light {
					if last != nil && GlowOf(l) != IsDark && l > last[i]+1e-9 {
						t.Errorf("%s %s: %s went from %g to %g at %s", a, s, n.Lamps()[i].ID, last[i], l, id)
					}
				}
				last = light
			}
		}
	}
}

// The catalogue: ids told apart, places and weights sensible, every name a
// sentence, every line met by some harness, every part named once.
func TestCatalogue(t *testing.T) {
	seen, met := map[string]bool{}, map[string]bool{}
	words := finding.Catalogue()
	for _, row := range catalogue() {
		if seen[row.ID] {
			t.Errorf("%s stands twice", row.ID)
		}
		seen[row.ID] = true
		if row.Weight <= 0 || !slices.Contains(Place("").Values(), string(row.Place)) {
			t.Errorf("%s: weight %g at %q", row.ID, row.Weight, row.Place)
		}
		if strings.ContainsAny(row.ID+strings.Join(row.Do, ""), "{}") {
			t.Errorf("%s leaves something open: %v", row.ID, row.Do)
		}
	}
	r := rand.New(rand.NewPCG(1, 3))
	for range 400 {
		n := Build(Describe(AnyRig(r)))
		if len(n.byName) != n.circuit.Parts() {
			t.Fatalf("%d names for %d parts", len(n.byName), n.circuit.Parts())
		}
		faults := n.Faults()
		for i := range faults {
			met[faults[i].ID] = true
			name := faults[i].Name()
			if name.Sentence == name.ID || strings.ContainsAny(name.Sentence, "{}") {
				t.Errorf("%s is named %q", faults[i].ID, name.Sentence)
			}
			for _, p := range name.Params {
				if f := p.Form(); f.Word != "" && words[f.Word] == "" {
					t.Errorf("%s: no word %s", faults[i].ID, f.Word)
				}
			}
		}
	}
	for id := range seen {
		if !met[id] {
			t.Errorf("no harness can have %s", id)
		}
	}
	t.Logf("%d faults", len(seen))
}

// The rig knows exactly the bulbs, connectors, diodes and conductors of the
// tables.
func TestRigKnowsTheParts(t *testing.T) {
	for what, c := range map[string]struct{ rig, table []string }{
		"bulbs":      {rig.BulbID("").Values(), parts.BulbIDs()},
		"connectors": {rig.ConnectorKind("").Values(), parts.ConnectorIDs()},
	} {
		if !slices.Equal(slices.Sorted(slices.Values(c.rig)), slices.Sorted(slices.Values(c.table))) {
			t.Errorf("%s: the rig has %v, the table %v", what, c.rig, c.table)
		}
	}
	for _, k := range rig.DiodeKind("").Values() {
		if _, ok := parts.FindDiode(k); !ok {
			t.Errorf("no diode %s", k)
		}
	}
}

// Values say where each comes from: a template, what was entered, a survey.
func TestValues(t *testing.T) {
	volts, ohm, other := 14.1, 0.02, 0.03
	r := rig.Rig{Measured: map[string]rig.Measurement{
		"supply":  {Field: "/towing/circuits/supply_v", Number: &volts},
		"contact": {Field: "/harness/connector/contact_ohm", Number: &other}, // entered anew since
		"signals": {Field: "/harness/signals", Word: "separate"},             // nobody recorded it
	}, Towing: rig.Towing{Circuits: rig.TowingCircuits{SupplyV: &volts}}, Harness: rig.Harness{Connector: rig.Connector{ContactOhm: &ohm}}}
	h := Describe(r)
	want := map[string]How{"/towing/circuits/supply_v": Measured, "/harness/connector/contact_ohm": Entered, "/towed/circuits/supply_v": Template, "/harness/signals": Template}
	seen := map[string]bool{}
	for _, v := range h.Values {
		if seen[v.Field] {
			t.Errorf("%s stands twice", v.Field)
		}
		seen[v.Field] = true
		if how, asked := want[v.Field]; asked && v.How != how {
			t.Errorf("%s is %s, want %s", v.Field, v.How, how)
		}
		if (v.Word == "") == (v.Number == nil) {
			t.Errorf("%s has word %q and number %v", v.Field, v.Word, v.Number)
		}
		delete(want, v.Field)
	}
	if len(want) > 0 {
		t.Errorf("not listed: %v", want)
	}
}

// BenchmarkBuild: from a rig to a circuit.
func BenchmarkBuild(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Build(Describe(rig.Rig{}))
	}
}

// BenchmarkEverySingleFault: every fault of the reference harness in every step
// and both halves of the flash, each state warm from the one before it.
func BenchmarkEverySingleFault(b *testing.B) {
	n := Build(reference(rig.SteeringDiodes, false))
	faults := n.Faults()
	solves := 0
	b.ReportAllocs()
	for b.Loop() {
		solves = 0
		for _, s := range Steps() {
			for _, half := range []Half{Lit, Dark} {
				if half == Dark && !s.Flashes() {
					continue
				}
				for i := range faults {
					n.Set(State{Step: s, Half: half}, &faults[i])
					if err := n.SolveWarm(); err != nil {
						b.Fatal(err)
					}
					solves++
				}
			}
		}
	}
	b.ReportMetric(float64(solves), "solves")
}
