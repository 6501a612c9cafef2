package wiring

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pintail/api/rig"
)

// shown writes what a lamp does in a step: x dark, 1 steady, F flashing with the
// signal, I in the dark half only, ~ between two lights that differ by more than a
// quarter; and the light in percent, of both halves.
func shown(lit, dark float64) (string, [2]float64) {
	seenLit, seenDark := GlowOf(lit) != IsDark, GlowOf(dark) != IsDark
	pct := [2]float64{100 * lit, 100 * dark}
	switch {
	case !seenLit && !seenDark:
		return "x", pct
	case !seenDark:
		return "F", pct
	case !seenLit:
		return "I", pct
	case math.Abs(lit-dark) > 0.25*max(lit, dark):
		return "~", pct
	}
	return "1", pct
}

// looks solves both halves of a step.
func looks(tb testing.TB, n *Network, s Step, faults []*Fault) [][2]float64 {
	tb.Helper()
	light := make([][2]float64, len(n.Lamps()))
	for half, h := range []Half{Lit, Dark} {
		mustSolve(tb, n, State{Step: s, Half: h}, faults...)
		for i := range light {
			light[i][half] = n.Light(i)
		}
	}
	return light
}

var lampNames = map[string]string{"L": "stop_left", "R": "stop_right", "LT": "tail_left", "RT": "tail_right", "H": "high_stop", "P": "car_park",
	"AL": "turn_left", "AR": "turn_right"}

// check compares a step with a picture such as "L F45 R x LT 1 RT 1": the sign,
// then the light in percent, with / between the halves of a swing, or d for dim. A
// sign with nothing behind it is a lamp at its sound light, 50 percent or more.
func check(t *testing.T, n *Network, s Step, picture string, faults []*Fault, within float64) {
	t.Helper()
	light := looks(t, n, s, faults)
	words := strings.Fields(picture)
	for i := 0; i+1 < len(words); i += 2 {
		at := lampIndex(t, n, lampNames[words[i]])
		sign, pct := shown(light[at][0], light[at][1])
		want, figures := words[i+1][:1], words[i+1][1:]
		if sign != want {
			t.Errorf("%s: %s is %s (%.2f/%.2f %%), want %s", s, words[i], sign, pct[0], pct[1], words[i+1])
			continue
		}
		if figures == "d" {
			if g := GlowOf(max(light[at][0], light[at][1])); g != IsDim {
				t.Errorf("%s: %s is %s, want dim", s, words[i], g)
			}
			continue
		}
		if figures == "" {
			bright := max(pct[0], pct[1])
			if want != "x" && want != "~" && bright < 50 {
				t.Errorf("%s: %s shows %.1f %%, want its sound light", s, words[i], bright)
			}
			continue
		}
		for half, f := range strings.Split(figures, "/") {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			got := pct[half]
			if want == "I" {
				got = pct[1]
			}
			if math.Abs(got-v) > within {
				t.Errorf("%s: %s shows %.2f %%, want %s", s, words[i], got, f)
			}
		}
	}
}

// The columns of the table of faults, and what a sound harness shows in each.
var columns = []Step{StepTail, StepLeft, StepRight, StepBrake, StepHazard, StepBrakeLeft, StepTailBrake, StepTailLeft}

var sound = []string{
	"L x R x LT 1 RT 1", "L F R x LT x RT x", "L x R F LT x RT x", "L 1 R 1 LT x RT x", "L F R F LT x RT x", "L F R 1 LT x RT x",
	"L 1 R 1 LT 1 RT 1", "L F R x LT 1 RT 1",
}

// TestFaultPictures holds the wiring to a table of faults solved beforehand with
// ngspice 39.3 and an independent solver: every row, column by column; "ok" is
// the sound picture. Base: factory lamps through steering diodes, relay-fed
// motorhome with combined signals.
func TestFaultPictures(t *testing.T) {
	steered := func() Harness { return reference(rig.SteeringDiodes, false) }
	own := func(isTapped bool) func() Harness {
		return func() Harness { return reference(rig.SeparateBulbs, isTapped) }
	}
	converted := func(l rig.ConverterLogic) func() Harness {
		return func() Harness {
			h := steered()
			converter(0)(&h)
			h.Logic = l
			return h
		}
	}
	missing := func(fs ...Feed) func() Harness {
		return func() Harness {
			h := steered()
			for _, f := range fs {
				h.FeedDiodes[f], h.CarDiodes[f] = false, false
			}
			return h
		}
	}
	openLeft := []string{"ok", "L x R x", "ok", "L x R 1", "L x R F", "L x R 1", "L x R 1 LT 1 RT 1", "L x R x LT 1 RT 1"}
	openTail := []string{"L x R x LT x RT x", "ok", "ok", "ok", "ok", "ok", "L 1 R 1 LT x RT x", "L F R x LT x RT x"}
	farSide := []string{"LT 1 RT x", "ok", "ok", "ok", "ok", "ok", "L 1 R 1 LT 1 RT x", "L F R x LT 1 RT x"}
	noStop := []string{"ok", "ok", "ok", "L x R x LT x RT x", "ok", "L F R x LT x RT x", "L x R x LT 1 RT 1", "ok"}
	black := []string{"L x R x LT x RT x", "L x R x LT x RT x", "L x R x LT x RT x", "L x R x LT x RT x", "L x R x LT x RT x", "L x R x LT x RT x", "L x R x LT x RT x", "L x R x LT x RT x"}
	orPicture := []string{"ok", "ok", "ok", "ok", "ok", "L 1 R 1", "ok", "ok"}
	for _, c := range []struct {
		name    string
		harness func() Harness
		faults  string
		want    []string
		within  float64
	}{
		{"none", steered, "", slices8("ok"), 0},
		{"open yellow wire", steered, "open_left", openLeft, 0},
		{"left stop filament out", steered, "lamp_out_stop_left", openLeft, 0},
		{"left diode reversed", steered, "diode_reversed_left", openLeft, 0},
		{"open brown wire", steered, "open_tail", openTail, 0},
		{"tail fuse", steered, "fuse_tail", openTail, 0},
		{"tail diode reversed", steered, "diode_reversed_tail", openTail, 0},
		{"left tail filament out", steered, "lamp_out_tail_left", []string{"LT x RT 1", "ok", "ok", "ok", "ok", "ok", "L 1 R 1 LT x RT 1", "L F LT x RT 1"}, 0},
		{"far-side tail jumper missing", steered, "jumper_open", farSide, 0},
		{"stop fuse, flasher on its own", steered, "fuse_stop", noStop, 0},
		{"turn feeds only of a motorhome with separate signals", func() Harness {
			h := steered()
			h.Signals, h.Converter = rig.SeparateSignals, rig.NoConverter
			return h
		}, "", noStop, 0},
		{"turn fuse", steered, "fuse_turn", []string{"ok", "L x R x", "L x R x", "ok", "L x R x", "L x R 1", "ok", "L x R x LT 1 RT 1"}, 0},
		{"short on yellow, both fuses gone", steered, "car_short_left",
			[]string{"ok", "L x R x", "L x R x", "L x R x", "L x R x", "L x R x", "L x R x LT 1 RT 1", "L x R x LT 1 RT 1"}, 0},
		{"left and right changed over", steered, "swap_left_right", []string{"ok", "L x R F", "L F R x", "ok", "ok", "L 1 R F", "ok", "L x R F LT 1 RT 1"}, 0},
		{"brown and yellow changed over at the car", steered, "swap_tail_left",
			[]string{"L 1 R x LT x RT x", "L x R x LT F RT F", "ok", "L x R 1 LT 1 RT 1", "L x R F LT F RT F", "L x R 1 LT F RT F", "ok", "L 1 R x LT F RT F"}, 0},
		{"OR converter", converted(rig.ConverterOR), "", orPicture, 0},
		{"OR converter as a fault of an XOR one", converted(rig.ConverterXOR), "converter_or", orPicture, 0},
		{"stop feed joined to both turn feeds, no converter", func() Harness {
			h := steered()
			h.Signals, h.Converter, h.Wires[Stop], h.Ohms.Source[Stop] = rig.SeparateSignals, rig.NoConverter, true, 0.131
			h.FeedDiodes[Stop] = true
			return h
		}, "", orPicture, 0},
		{"left pair of diodes missing", missing(Left), "",
			[]string{"ok", "L F79 R F59 H F", "ok", "L 190 R 175 H 1", "L F R F", "L F R 1 H F", "ok", "L F R F LT 1 RT 1"}, 2.5},
		{"left pair of diodes shorted", steered, "pair_missing_left",
			[]string{"ok", "L F79 R F59 H F", "ok", "L 190 R 175 H 1", "L F R F", "L F R 1 H F", "ok", "L F R F LT 1 RT 1"}, 2.5},
		{"no diodes", steered, "no_diodes", []string{"ok", "L F R F", "L F R F", "ok", "L F R F", "L 1 R 1", "ok", "L F R F"}, 0},
		{"car-side tail diode missing", steered, "car_diode_missing_tail", []string{"LT 158 RT 158 P 1", "ok", "ok", "ok", "ok", "ok", "ok", "ok"}, 1},
		{"1 ohm in the yellow contact", steered, "contact_1_left", []string{"ok", "L F45", "ok", "L 1d R 1", "L Fd R F", "L Fd R 1", "L 142 R 1", "L Fd LT 1 RT 1"}, 1},
		{"1 ohm in the yellow contact, no diodes", own(false), "contact_1_left", []string{"ok", "L F58", "ok", "ok", "ok", "ok", "ok", "ok"}, 1},
		{"1 ohm in the brown contact", steered, "contact_1_tail", []string{"LT 148 RT 148", "ok", "ok", "ok", "ok", "ok", "L 1 R 1 LT 143 RT 143", "LT 145/48 RT 145/48"}, 2},
		{"1 ohm in the brown contact, no diodes", own(false), "contact_1_tail", []string{"LT 160 RT 160", "ok", "ok", "ok", "ok", "ok", "ok", "L F"}, 1},
		{"filaments of the left bulb touching", steered, "touching_left",
			[]string{"L 1 LT 1 RT 1 R x", "L F LT F RT F R x", "ok", "L 1 R 1 LT 150 RT 150", "L F R F LT F50 RT F50", "L F R 1 LT F50 RT F50", "ok", "L 1 LT 1 RT 1"}, 1},
		{"1 ohm more in the common ground", steered, "ground_1",
			[]string{"LT 148 RT 148", "L F45", "R F45", "L 125 R 125", "L F25 R F25", "L F25 R ~25/45", "L 119 R 119 LT 115 RT 115", "L F33 LT ~27/48 RT ~27/48"}, 1.2},
		{"2 ohm more in the common ground, bulbs of their own", own(false), "ground_2",
			[]string{"LT 145 RT 145", "L F34", "R F34", "L 112 R 112", "L F12 R F12", "L F12 R ~12/34", "L 17 R 17 LT 16 RT 16", "LT ~ RT ~"}, 1.2},
		{"white wire open, diodes", steered, "ground_open", black, 0},
		{"white wire open, bulbs of their own, relay-fed", own(false), "ground_open", black, 0},
		{"white wire open, bulbs of their own, tapped", own(true), "ground_open",
			[]string{"LT 141 RT 141", "L F15 R F0.5 LT F2.4 RT F2.4", "R F15 L F0.5 LT F2.4 RT F2.4", "L x R x LT 136 RT 136", "L x R x LT F36 RT F36", "",
				"L x R x LT x RT x", "R F4.7 L F0.3 LT ~0.2/41 RT ~0.2/41"}, 1},
		{"left housing ground open, relay-fed", own(false), "housing_open_left",
			[]string{"LT x RT 1", "L x LT F7 RT F7", "ok", "R 1 LT 17 RT 17", "R F LT F7 RT F7", "R 1 LT F7 RT F7", "R 1 RT 1", "L x LT x RT 1"}, 1},
		{"left housing ground open, tapped", own(true), "housing_open_left",
			[]string{"LT 141 RT 1", "LT F52 L x", "ok", "R 1 LT 150", "R F LT F50", "R 1 LT F50", "R 1 RT 1", "LT I41 RT 1"}, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := Build(c.harness())
			var faults []*Fault
			if c.faults != "" {
				faults = mustFaults(t, n, strings.Fields(c.faults)...)
			}
			for i, s := range columns {
				picture := c.want[i]
				if picture == "ok" {
					picture = sound[i]
				}
				check(t, n, s, picture, faults, c.within)
			}
		})
	}
}

func slices8(s string) []string { return []string{s, s, s, s, s, s, s, s} }

// apart is a motorhome with separate signals and a car with red stop and amber
// turn lamps, five wires and steering diodes.
func apart() Harness {
	return Describe(rig.Rig{
		Towed:   rig.Towed{RearLamps: rig.AmberTurn},
		Harness: rig.Harness{Signals: rig.SeparateSignals, Approach: rig.SteeringDiodes, Converter: rig.NoConverter},
	})
}

// TestSeparateLamps follows the rows for cars with lamps of their own for stop
// and turn, which are known at the level of on and off, and the truth tables of
// converters (XOR 00 01 10 11 -> 0 1 1 0; OR 11 -> 1).
func TestSeparateLamps(t *testing.T) {
	with := func(change func(*rig.Rig)) func() Harness {
		return func() Harness {
			r := rig.Rig{
				Towed:   rig.Towed{RearLamps: rig.AmberTurn},
				Harness: rig.Harness{Signals: rig.CombinedSignals, Approach: rig.SteeringDiodes, Converter: rig.NoConverter},
			}
			change(&r)
			return Describe(r)
		}
	}
	yes, no := true, false
	toAmber := func(r *rig.Rig) {
		r.Harness.Lamps.Stop, r.Harness.Lamps.Turn = rig.Pair{Left: &no, Right: &no}, rig.Pair{Left: &yes, Right: &yes}
	}
	xor := func(also func(*rig.Rig)) func() Harness {
		return with(func(r *rig.Rig) {
			r.Harness.Signals, r.Harness.Converter, r.Harness.ConverterLogic = rig.SeparateSignals, rig.CombinesSignals, rig.ConverterXOR
			also(r)
		})
	}
	splitter := func(stopWire bool) func() Harness {
		return with(func(r *rig.Rig) {
			r.Harness.Converter, r.Harness.Feeds.Brake = rig.SeparatesSignals, &stopWire
		})
	}
	for _, c := range []struct {
		name    string
		harness func() Harness
		fault   string
		want    map[Step]string
	}{
		{"sound", apart, "", map[Step]string{
			StepTail: "LT 1 RT 1 L x R x AL x AR x", StepLeft: "AL F AR x L x R x", StepRight: "AL x AR F L x R x", StepBrake: "L 1 R 1 AL x AR x H x",
			StepBrakeLeft: "L 1 R 1 AL F AR x", StepBrakeRight: "L 1 R 1 AL x AR F", StepHazard: "AL F AR F L x R x", StepHazardBrake: "AL F AR F L 1 R 1"}},
		{"open stop wire", apart, "open_stop", map[Step]string{StepBrake: "L x R x AL x AR x H x", StepLeft: "AL F", StepBrakeLeft: "L x R x AL F AR x"}},
		{"open yellow", apart, "open_left", map[Step]string{StepLeft: "AL x", StepBrake: "L 1 R 1", StepHazard: "AL x AR F"}},
		{"stop and tail changed over", apart, "swap_stop_tail", map[Step]string{StepTail: "L 1 R 1 LT x RT x", StepBrake: "LT 1 RT 1 L x R x"}},
		{"combined feeds on the ambers, no stop wire", with(toAmber), "", map[Step]string{
			StepBrake: "AL 1 AR 1 L x R x", StepBrakeLeft: "AL F AR 1", StepLeft: "AL F AR x"}},
		{"combined feeds on red filaments that the car ties", with(func(r *rig.Rig) { r.Harness.Approach = rig.SplicedOn }), "", map[Step]string{
			StepLeft: "L F R F H F", StepRight: "L F R F H F"}},
		{"combined feeds on the reds through diodes, ambers dark", with(func(*rig.Rig) {}), "", map[Step]string{
			StepLeft: "L F R x AL x AR x", StepBrakeLeft: "L F R 1 AL x AR x", StepBrake: "L 1 R 1"}},
		{"XOR converter on the ambers", xor(toAmber), "", map[Step]string{StepBrakeLeft: "AL I AR 1", StepLeft: "AL F"}},
		{"XOR converter on the reds", xor(func(*rig.Rig) {}), "", map[Step]string{StepBrakeLeft: "L I R 1", StepHazardBrake: "L I R I"}},
		{"OR converter, hazard and brake", xor(func(r *rig.Rig) { r.Harness.ConverterLogic = rig.ConverterOR }), "", map[Step]string{StepHazardBrake: "L 1 R 1", StepBrakeLeft: "L 1 R 1"}},
		{"inhibiting converter", xor(func(r *rig.Rig) { r.Harness.ConverterLogic = rig.ConverterInhibit }), "", map[Step]string{StepBrakeLeft: "L F R 1", StepBrake: "L 1 R 1"}},
		{"separate signals, no converter, two turn wires on reds", with(func(r *rig.Rig) {
			r.Harness.Signals, r.Towed.RearLamps, r.Harness.Feeds.Brake = rig.SeparateSignals, rig.CombinedLamps, &no
		}), "", map[Step]string{StepBrake: "L x R x", StepLeft: "L F R x", StepBrakeLeft: "L F R x"}},
		{"splitter without memory", splitter(false), "", map[Step]string{
			StepLeft: "AL F AR x L x R x", StepBrake: "L 1 R 1 AL x AR x", StepBrakeLeft: "L F R F AL x AR I", StepHazard: "L F R F AL x AR x"}},
		{"splitter with a stop wire", splitter(true), "", map[Step]string{
			StepLeft: "AL F AR x L x R x", StepBrake: "L 1 R 1 AL x AR x", StepBrakeLeft: "L 1 R 1 AL I AR x", StepHazard: "AL F AR F L x R x"}},
		{"splitter in the car, yellow open: no brake either", splitter(false), "open_left", map[Step]string{StepBrake: "L x R x AR 1", StepLeft: "AL x"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := Build(c.harness())
			var faults []*Fault
			if c.fault != "" {
				faults = mustFaults(t, n, c.fault)
			}
			for s, picture := range c.want {
				check(t, n, s, picture, faults, 0)
			}
		})
	}
}

// TestPedal: a brake unit that presses the car's pedal lights the lamp in the
// dark half of the flash, unless the stop switch is cut off, the car asleep and
// its stop lamps with it, or the lamps are not the car's own.
func TestPedal(t *testing.T) {
	yes, no := true, false
	masked, clear := "L 1 R 1 H 1", "L F R x H x"
	for _, c := range []struct {
		name          string
		change        func(*rig.Rig)
		fault         string
		awake, asleep string
	}{
		{"diodes, nothing cut", func(*rig.Rig) {}, "", masked, masked},
		{"dead when asleep", func(r *rig.Rig) { r.Harness.CarStopLampsLive = &no }, "", masked, clear},
		{"stop switch cut off", func(r *rig.Rig) { r.Harness.StopSwitchInterrupted = &yes }, "", clear, clear},
		{"the interrupter fails", func(r *rig.Rig) { r.Harness.StopSwitchInterrupted = &yes }, "interrupter_failed", masked, masked},
		{"battery disconnected", func(r *rig.Rig) { r.Towed.Battery = rig.BatteryDisconnected }, "", clear, clear},
		{"a unit that does not move the pedal", func(r *rig.Rig) { r.BrakeUnit.PressesPedal = &no }, "", clear, clear},
		{"bulbs of their own", func(r *rig.Rig) { r.Harness.Approach = rig.SeparateBulbs }, "", "L F R x H 1", "L F R x H 1"},
		{"relays", func(r *rig.Rig) { r.Harness.Approach = rig.RelayBypass }, "", "L F R x H 1", "L F R x H 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rig.Rig{Harness: rig.Harness{Signals: rig.CombinedSignals, Approach: rig.SteeringDiodes}, BrakeUnit: rig.BrakeUnit{Fitted: &yes, PressesPedal: &yes}}
			c.change(&r)
			n := Build(Describe(r))
			var faults []*Fault
			if c.fault != "" {
				faults = mustFaults(t, n, c.fault)
			}
			check(t, n, StepUnitLeftAwake, c.awake, faults, 0)
			check(t, n, StepUnitLeftAsleep, c.asleep, faults, 0)
		})
	}
}

// A unit that follows the motorhome's brakes presses the pedal in a parked test
// as well; one that senses deceleration does not.
func TestFollowingUnit(t *testing.T) {
	yes := true
	for actuation, want := range map[rig.Actuation]string{rig.PortableInertia: "L F R 1", rig.SignalTriggered: "L 1 R 1"} {
		r := rig.Rig{Harness: rig.Harness{Signals: rig.CombinedSignals, Approach: rig.SteeringDiodes}}
		r.BrakeUnit = rig.BrakeUnit{Fitted: &yes, PressesPedal: &yes, Actuation: actuation}
		check(t, Build(Describe(r)), StepBrakeLeft, want, nil, 0)
	}
}

// Unplugged, everything the motorhome feeds goes out.
func TestUnplugged(t *testing.T) {
	for _, a := range rig.Approach("").Values() {
		n := Build(reference(rig.Approach(a), true))
		for i, l := range looks(t, n, StepUnplugged, nil) {
			lamp := n.Lamps()[i]
			own := strings.HasPrefix(lamp.ID, "motorhome_")
			if sign, _ := shown(l[0], l[1]); (sign == "x") == own {
				t.Errorf("%s: %s is %s", a, lamp.ID, sign)
			}
		}
	}
}

// TestHazardAndBrake: a motorhome with combined signals either goes on flashing
// or brakes with both sides; the state overrides what the rig says.
func TestHazardAndBrake(t *testing.T) {
	n := Build(reference(rig.SteeringDiodes, false))
	for precedence, want := range map[rig.HazardAndBrake]string{rig.HazardFlashes: "F", rig.BrakeSteady: "1"} {
		var light [2]float64
		for i, half := range []Half{Lit, Dark} {
			mustSolve(t, n, State{Step: StepHazardBrake, Half: half, HazardAndBrake: precedence})
			light[i] = n.Light(lampIndex(t, n, "stop_left"))
		}
		if sign, _ := shown(light[0], light[1]); sign != want {
			t.Errorf("%s: stop lamps are %s, want %s", precedence, sign, want)
		}
	}
}

// TestStopBranch: a resistance in the motorhome's stop circuit lies in front of
// both sides, so that together they lose more than one alone, and a turn signal
// does not know it. Ohm's law: the bus has the supply less the ohms times the
// current of both.
func TestStopBranch(t *testing.T) {
	n := Build(reference(rig.SteeringDiodes, false))
	fault := mustFaults(t, n, "stop_branch_3")
	mustSolve(t, n, State{Step: StepLeft, Half: Lit}, fault...)
	if v := mustVolts(t, n, "ml"); v < 13.1 {
		t.Errorf("left alone has %.2f V at the socket, the turn circuit is sound", v)
	}
	socket := func(step Step) float64 {
		mustSolve(t, n, State{Step: step, Half: Lit}, fault...)
		amps := n.Current(n.byName["source_right"]) + n.Current(n.byName["source_left"])
		if step == StepBrakeLeft {
			amps = n.Current(n.byName["source_right"]) // left is on the turn circuit
		}
		if v := mustVolts(t, n, "bs"); math.Abs(v-(13.5-3*amps)) > 1e-6 {
			t.Errorf("%s: the stop circuit has %.6f V behind 3 ohm and %.6f A", step, v, amps)
		}
		return mustVolts(t, n, "mr")
	}
	if both, one := socket(StepBrake), socket(StepBrakeLeft); both > one-1 {
		t.Errorf("braking %.2f V at the right contact, braking and left %.2f V", both, one)
	}
}
