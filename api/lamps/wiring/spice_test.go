package wiring

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pintail/api/rig"
)

// reference is the harness of the cases solved with ngspice 39.3, an independent
// Newton solver beside it: 13.5 V, feeds of 0.131 and 0.132448 ohm, 0.079176 ohm
// back, 1157-class bulbs, silicon diodes where the approach has any.
func reference(a rig.Approach, tapped bool) Harness {
	h := Describe(rig.Rig{
		Towed: rig.Towed{RearLamps: rig.CombinedLamps},
		Harness: rig.Harness{
			Signals: rig.CombinedSignals, Approach: a, Converter: rig.NoConverter,
			Diodes: rig.Diodes{Kind: rig.Silicon},
		},
	})
	o := &h.Ohms
	o.Umbilical, o.Car, o.Jumper = 0.042, 0.132448-0.042, 0.012
	o.Chassis, o.UmbilicalGround, o.CarGround = 0.01, 0.042, 0.079176-0.052
	o.Damp = 1e9
	h.Tapped = [feeds]bool{tapped, tapped, tapped}
	h.OwnLampsA = [feeds]float64{3.23, 2.10, 2.10}
	return h
}

func mustFaults(tb testing.TB, n *Network, ids ...string) []*Fault {
	tb.Helper()
	var fs []*Fault
	for _, id := range ids {
		f, ok := n.Fault(id)
		if !ok {
			tb.Fatalf("this network has no fault %s", id)
		}
		fs = append(fs, &f)
	}
	return fs
}

func mustSolve(tb testing.TB, n *Network, s State, faults ...*Fault) {
	tb.Helper()
	n.Set(s, faults...)
	if err := n.Solve(); err != nil {
		tb.Fatal(err)
	}
}

func mustVolts(tb testing.TB, n *Network, node string) float64 {
	tb.Helper()
	at, ok := n.Node(node)
	if !ok {
		tb.Fatalf("no node %s", node)
	}
	return n.Voltage(at)
}

// Node voltages of solved cases, ngspice 39.3 with reltol 1e-6; i is the current
// of the supply as SPICE signs it.
func TestSolvedCases(t *testing.T) {
	for _, c := range []struct {
		name     string
		approach rig.Approach
		tapped   bool
		state    State
		fault    string
		change   func(*Harness)
		want     string
	}{
		{"c03 tail and brake, bulbs of their own, tapped", rig.SeparateBulbs, true, State{Step: StepTailBrake}, "", nil,
			"ml 12.954624 mr 12.954624 mt 12.950272 kl 12.683203 kr 12.683203 kt 12.804321 sl 12.681154 sr 12.681154 tl 12.803219 tr 12.796608 gl 0.43775637 gr 0.43775476 g 0.41175317 i -12.52275"},
		{"c04 white wire open, left", rig.SeparateBulbs, true, State{Step: StepLeft, Half: Lit}, "ground_open", nil,
			"ml 13.020725 mr 2.699851 mt 0.75325877 kl 12.81692 kr 2.8180193 kt 0.83889527 sl 12.815382 sr 2.8189115 tl 0.83954183 tr 0.84341482 gl 5.5430627 gr 5.518764 g 5.5309133 i -3.658587"},
		{"c05 white wire open, brake", rig.SeparateBulbs, true, State{Step: StepBrake}, "ground_open", nil,
			"ml 13.155267 mr 13.155267 mt 1.6596959 kl 13.089083 kr 13.089083 kt 1.7920637 sl 13.088583 sr 13.088583 tl 1.7930631 tr 1.7990585 gl 12.146532 gr 12.146533 g 12.146533 i -5.263099"},
		{"c06 white wire open, tail", rig.SeparateBulbs, true, State{Step: StepTail}, "ground_open", nil,
			"ml 0.98187303 mr 0.98187225 mt 12.960508 kl 1.0495849 kr 1.0495841 kt 12.825084 sl 1.0500961 sr 1.0500953 tl 12.824061 tr 12.817928 gl 2.0319695 gr 2.0319679 g 2.0319687 i -4.118263"},
		{"c07 white wire open, tail and brake", rig.SeparateBulbs, true, State{Step: StepTailBrake}, "ground_open", nil,
			"ml 13.215729 mr 13.215729 mt 13.100632 kl 13.211388 kr 13.211388 kt 13.109313 sl 13.211355 sr 13.211355 tl 13.109379 tr 13.109772 gl 13.194308 gr 13.194309 g 13.194309 i -7.388633"},
		{"c08 left housing open, left", rig.SeparateBulbs, false, State{Step: StepLeft, Half: Lit}, "housing_open_left", nil,
			"ml 13.449798 mr 0.034174073 mt 6.4274141 kl 13.399041 kr 0.034174074 kt 6.4274142 sl 13.398658 sr 0.034174074 tl 6.4274142 tr 6.4228155 gl 12.816075 gr 0.034174075 g 0.03034187 i -0.3832212"},
		{"c09 left housing open, tail, tapped", rig.SeparateBulbs, true, State{Step: StepTail}, "housing_open_left", nil,
			"ml 0.9811199 mr 0.020626695 mt 12.954177 kl 1.0488031 kr 0.025826105 kt 12.812242 sl 1.0493141 sr 0.025865361 tl 12.811171 tr 12.804443 gl 2.0304344 gr 0.046492058 g 0.041278541 i -4.16659"},
		{"c10 ground 2 ohm, tail and brake, tapped", rig.SeparateBulbs, true, State{Step: StepTailBrake}, "ground_2", nil,
			"ml 13.045212 mr 13.045211 mt 12.998905 kl 12.866454 kr 12.866454 kt 12.90297 sl 12.865104 sr 12.865104 tl 12.902246 tr 12.897901 gl 7.1353937 gr 7.1353922 g 7.118275 i -10.76849"},
		{"c11 steering diodes, tail and brake", rig.SteeringDiodes, false, State{Step: StepTailBrake}, "", nil,
			"ml 13.23832 mr 13.23832 mt 13.358236 kl 12.973748 kr 12.973748 kt 13.214904 sl 12.114882 sr 12.114882 tl 12.392356 tr 12.385864 gl 0.42738606 gr 0.42738445 g 0.40199885 sb 0.40199897 ft 0.40199888 i -5.077282"},
		{"c12 spliced on, left", rig.SplicedOn, false, State{Step: StepLeft, Half: Lit}, "", nil,
			"ml 12.908408 mr 12.125794 mt 0.36807185 kl 12.310277 kr 12.125794 kt 0.36807186 sl 12.305761 sr 12.125794 tl 0.36807186 tr 0.36812863 gl 0.37770864 gr 0.3775417 g 0.35755641 sb 12.205924 ft 0.36797614 i -4.515971"},
		{"c14 yellow on metal at the car, the fuse still whole", rig.SeparateBulbs, false, State{Step: StepLeft, Half: Lit, Prospective: true}, "car_short_left", nil,
			"ml 8.4122212 mr 3.0750429 mt 3.0760638 kl 3.2682049 kr 3.0750429 kt 3.0760638 sl 3.2680003 sr 3.0750429 tl 3.0760638 tr 3.0760577 gl 3.077079 gr 3.0750431 g 3.0750379 i -38.83801"},
		{"c25 brown and yellow changed over, tail", rig.SeparateBulbs, false, State{Step: StepTail}, "swap_tail_left", nil,
			"ml 0.17648679 mr 0.16602633 mt 13.225389 kl 12.947742 kr 0.16602633 kt 0.17648679 sl 12.945646 sr 0.16602633 tl 0.17648679 tr 0.17642417 gl 0.18688466 gr 0.16602634 g 0.16597416 i -2.096269"},
		{"c23 white wire open, tail and left, tapped", rig.SeparateBulbs, true, State{Step: StepTailLeft, Half: Lit}, "ground_open", nil, "g 10.595"},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := Build(reference(c.approach, c.tapped))
			var faults []*Fault
			if c.fault != "" {
				faults = mustFaults(t, n, c.fault)
			}
			mustSolve(t, n, c.state, faults...)
			words := strings.Fields(c.want)
			for i := 0; i < len(words); i += 2 {
				want, err := strconv.ParseFloat(words[i+1], 64)
				if err != nil {
					t.Fatal(err)
				}
				var got float64
				if words[i] == "i" {
					got = n.Current(n.byName["supply"])
				} else {
					got = mustVolts(t, n, words[i])
				}
				// An open wire is 1 gigaohm there and nothing here; printed digits are the rest.
				within := max(3e-6*math.Abs(want), 3e-6)
				if len(words[i+1]) < 8 {
					within = 0.006
				}
				if math.Abs(got-want) > within {
					t.Errorf("%s is %.8g, want %s", words[i], got, words[i+1])
				}
			}
		})
	}
}

// Lamps of cases c01, c02 and c22 (ngspice 39.3), and of c18, c19 and c20, whose
// tables give the light alone.
func TestSolvedLamps(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Harness)
		state  State
		fault  string
		lamp   string
		volts  float64 // 0 where the source gives the light alone
		light  float64
		within float64
	}{
		{"c01 no diode", func(h *Harness) {
			h.Approach = rig.SeparateBulbs
			oneBulb(h)
			bare(h)
			h.Ohms.Splice, h.Ohms.Car = 1e-4, h.Ohms.Car-1e-4
		}, State{Step: StepLeft, Half: Lit}, "", "stop_left", 12.7607424, 0.98961, 2e-6},
		{"c02 silicon", oneBulb, State{Step: StepLeft, Half: Lit}, "", "stop_left", 11.928096, 0.786734, 2e-6},
		{"c02 Schottky", func(h *Harness) { oneBulb(h); h.DiodeKind = rig.Schottky }, State{Step: StepLeft, Half: Lit}, "", "stop_left", 12.318622, 0.877804, 1e-5},
		{"c22 one diode for the whole tail circuit", func(h *Harness) { h.TailBulb.Amps = 3.06; h.TailLamps[RightSide] = false }, State{Step: StepTail}, "", "tail_left", 11.644424, 0, 2e-6},
		{"c18 converter 0.7 V and silicon", converter(0.7), State{Step: StepLeft, Half: Lit}, "", "stop_left", 0, 0.645, 0.001},
		{"c18 converter 1.4 V and silicon", converter(1.4), State{Step: StepLeft, Half: Lit}, "", "stop_left", 0, 0.523, 0.001},
		{"c18 converter 2.5 V and silicon", converter(2.5), State{Step: StepLeft, Half: Lit}, "", "stop_left", 0, 0.365, 0.001},
		{"tapped, silicon, tail and brake: stop", tapped, State{Step: StepTailBrake}, "", "stop_left", 11.42, 0.679, 0.006},
		{"tapped, silicon, tail and brake: tail", tapped, State{Step: StepTailBrake}, "", "tail_left", 11.57, 0.523, 0.006},
		{"relay, Schottky, tail and brake: stop", func(h *Harness) { h.DiodeKind = rig.Schottky }, State{Step: StepTailBrake}, "", "stop_left", 12.07, 0.820, 0.006},
		{"relay, Schottky, tail and brake: tail", func(h *Harness) { h.DiodeKind = rig.Schottky }, State{Step: StepTailBrake}, "", "tail_left", 12.39, 0.661, 0.006},
		{"tapped, Schottky, tail and brake: stop", func(h *Harness) { tapped(h); h.DiodeKind = rig.Schottky }, State{Step: StepTailBrake}, "", "stop_left", 11.81, 0.761, 0.006},
		{"tapped, Schottky, tail and brake: tail", func(h *Harness) { tapped(h); h.DiodeKind = rig.Schottky }, State{Step: StepTailBrake}, "", "tail_left", 12.00, 0.592, 0.006},
		{"c20 the car's pedal pressed, one lamp: the dark half", alone, State{Step: StepUnitLeftAwake, Half: Dark}, "", "stop_left", 0, 0.668, 0.0005},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := reference(rig.SteeringDiodes, false)
			if c.change != nil {
				c.change(&h)
			}
			n := Build(h)
			mustSolve(t, n, c.state)
			i := lampIndex(t, n, c.lamp)
			if v := n.Volts(i); c.volts != 0 && math.Abs(v-c.volts) > c.within {
				t.Errorf("%s has %.7f V, want %.7f", c.lamp, v, c.volts)
			}
			if l := n.Light(i); c.light != 0 && math.Abs(l-c.light) > c.within {
				t.Errorf("%s gives %.5f of its light, want %.5f", c.lamp, l, c.light)
			}
		})
	}
}

func oneBulb(h *Harness) { h.TailLamps = [2]bool{} }

// alone leaves one filament on the car's stop wire.
func alone(h *Harness) { oneBulb(h); h.StopLamps[RightSide], h.HighStopA = false, 0.001 }

func bare(h *Harness) { h.FeedDiodes, h.CarDiodes = [feeds]bool{}, [feeds]bool{} }

func tapped(h *Harness) {
	h.Tapped, h.OwnLampsA = [feeds]bool{true, true, true}, [feeds]float64{3.23, 2.1, 2.1}
}

func converter(drop float64) func(*Harness) {
	return func(h *Harness) {
		h.Signals, h.Converter, h.Logic, h.ConverterDropV = rig.SeparateSignals, rig.CombinesSignals, rig.ConverterXOR, drop
	}
}

func lampIndex(tb testing.TB, n *Network, id string) int {
	tb.Helper()
	for i, l := range n.Lamps() {
		if l.ID == id {
			return i
		}
	}
	tb.Fatalf("no lamp %s", id)
	return -1
}

// Heat of the diode that feeds a whole tail circuit: 2.765 A, 2.4348 W (c22).
func TestDiodeHeat(t *testing.T) {
	h := reference(rig.SteeringDiodes, false)
	h.TailBulb.Amps, h.TailLamps[RightSide] = 3.06, false
	n := Build(h)
	mustSolve(t, n, State{Step: StepTail})
	d := n.byName["feed_tail"]
	if a, w := n.Current(d), n.Power(d); math.Abs(a-2.765118) > 1e-5 || math.Abs(w-2.4347658) > 1e-5 {
		t.Errorf("%.6f A and %.6f W, want 2.765118 and 2.434766", a, w)
	}
}

// LED lamps do not light backwards: with the white wire open everything is dark,
// and with 5 ohm more in the ground an LED stop lamp still has about 11 V where a
// filament is down to 2.4 V (c19, tail and brake, bulbs of their own).
func TestLEDLamps(t *testing.T) {
	h := reference(rig.SeparateBulbs, true)
	h.StopBulb = Bulb{ID: "LED-STOP", Volts: 13.5, Amps: 0.25, LED: true}
	h.TailBulb = Bulb{ID: "LED-TAIL", Volts: 13.5, Amps: 0.03, LED: true}
	n := Build(h)
	mustSolve(t, n, State{Step: StepTailBrake}, mustFaults(t, n, "ground_5")...)
	if v, l := n.Volts(lampIndex(t, n, "stop_left")), n.Light(lampIndex(t, n, "stop_left")); math.Abs(v-11.2) > 0.3 || l < 0.55 || l > 0.8 {
		t.Errorf("LED stop has %.2f V and %.2f of its light, want about 11.2 and 0.68", v, l)
	}
	for _, s := range Steps() {
		mustSolve(t, n, State{Step: s, Half: Lit}, mustFaults(t, n, "ground_open")...)
		for i, l := range n.Lamps() {
			if l.LED && n.Light(i) > 0.0005 {
				t.Errorf("%s: %s gives %.4f of its light without a ground", s, l.ID, n.Light(i))
			}
		}
	}
	filament := Build(reference(rig.SeparateBulbs, true))
	mustSolve(t, filament, State{Step: StepTailBrake}, mustFaults(t, filament, "ground_5")...)
	if v := filament.Volts(lampIndex(t, filament, "stop_left")); math.Abs(v-2.4) > 0.2 {
		t.Errorf("filament stop has %.2f V, want about 2.4", v)
	}
}
