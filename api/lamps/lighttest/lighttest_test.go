package lighttest

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

func ptr[T any](v T) *T { return &v }

func diodes() rig.Rig {
	return rig.Rig{
		Towed:   rig.Towed{RearLamps: rig.CombinedLamps},
		Harness: rig.Harness{Signals: rig.CombinedSignals, Approach: rig.SteeringDiodes, Converter: rig.NoConverter},
		BrakeUnit: rig.BrakeUnit{
			Fitted: ptr(true), PressesPedal: ptr(true), Actuation: rig.PortableInertia,
		},
	}
}

func amber() rig.Rig {
	return rig.Rig{
		Towed:     rig.Towed{RearLamps: rig.AmberTurn},
		Harness:   rig.Harness{Signals: rig.SeparateSignals, Approach: rig.SteeringDiodes, Converter: rig.NoConverter},
		BrakeUnit: rig.BrakeUnit{Fitted: ptr(false)},
	}
}

func (r *Report) step(tb testing.TB, s wiring.Step) *Step {
	tb.Helper()
	for i := range r.Steps {
		if r.Steps[i].Step == s {
			return &r.Steps[i]
		}
	}
	tb.Fatalf("no step %s", s)
	return nil
}

func (s *Step) looks() map[string]string {
	m := map[string]string{}
	for _, l := range s.Expect[0].Lamps {
		word := string(l.Glow)
		if l.Pattern != pictures.Steady {
			word += " " + string(l.Pattern)
		}
		m[l.Lamp] = strings.TrimSpace(word)
	}
	return m
}

// Sources: the truth tables of combined and of separate lamps, from SAE J586 as
// FMVSS 108 takes it up (stop does not come on in a lamp that flashes for a turn)
// and common practice.
func TestTruthTables(t *testing.T) {
	for _, c := range []struct {
		name string
		rig  rig.Rig
		step wiring.Step
		want map[string]string
	}{
		{"combined", diodes(), wiring.StepTail, map[string]string{"tail_left": "full", "tail_right": "full", "stop_left": "dark", "stop_right": "dark"}},
		{"combined", diodes(), wiring.StepLeft, map[string]string{"stop_left": "full flashing", "stop_right": "dark"}},
		{"combined", diodes(), wiring.StepBrake, map[string]string{"stop_left": "full", "stop_right": "full"}},
		{"combined", diodes(), wiring.StepHazard, map[string]string{"stop_left": "full flashing", "stop_right": "full flashing"}},
		{"combined", diodes(), wiring.StepBrakeRight, map[string]string{"stop_left": "full", "stop_right": "full flashing"}},
		{"combined", diodes(), wiring.StepAllOff, map[string]string{"stop_left": "dark", "tail_left": "dark", "high_stop": "dark"}},
		{"combined", diodes(), wiring.StepUnplugged, map[string]string{"stop_left": "dark", "tail_left": "dark", "tail_right": "dark"}},
		// The car's own pedal masks the turn signal: 66.8 % against 78.7 % light.
		{"combined", diodes(), wiring.StepUnitLeftAwake, map[string]string{"stop_left": "full", "stop_right": "full", "high_stop": "full"}},
		{"apart", amber(), wiring.StepBrakeLeft, map[string]string{"stop_left": "full", "stop_right": "full", "turn_left": "full flashing", "turn_right": "dark"}},
		{"apart", amber(), wiring.StepHazardBrake, map[string]string{"stop_left": "full", "turn_left": "full flashing", "turn_right": "full flashing"}},
	} {
		r := Make(Input{Rig: &c.rig})
		got := r.step(t, c.step).looks()
		for lamp, want := range c.want {
			if got[lamp] != want {
				t.Errorf("%s, %s: %s is %q, want %q", c.name, c.step, lamp, got[lamp], want)
			}
		}
	}
}

// Where nobody recorded which of hazard and brake wins, both pictures are there.
func TestHazardAndBrake(t *testing.T) {
	r := diodes()
	if n := len(ptr(Make(Input{Rig: &r})).step(t, wiring.StepHazardBrake).Expect); n != 2 {
		t.Errorf("%d pictures, want both", n)
	}
	r.Towing.Circuits.HazardAndBrake = rig.BrakeSteady
	e := ptr(Make(Input{Rig: &r})).step(t, wiring.StepHazardBrake).Expect
	if len(e) != 1 || e[0].Lamps[0].Pattern != pictures.Steady {
		t.Errorf("recorded as brake: %+v", e)
	}
}

// The fewest steps are held to trying every set of steps.
func TestFewest(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 5))
	for range 200 {
		m := make([]uint32, 1+rnd.IntN(30))
		for i := range m {
			for range rnd.IntN(4) {
				m[i] |= 1 << rnd.IntN(10)
			}
		}
		least := 99
		for set := range uint32(1 << 10) {
			if !slices.ContainsFunc(m, func(x uint32) bool { return x != 0 && x&set == 0 }) {
				least = min(least, bits.OnesCount32(set))
			}
		}
		if got := bits.OnesCount32(fewest(m)); got != least {
			t.Fatalf("%v: %d steps, want %d", m, got, least)
		}
	}
}

// What six steps cannot tell apart, and what is not to be seen at all. Source:
// solved with ngspice, states of eight steps.
func TestCoverage(t *testing.T) {
	r := diodes()
	r.BrakeUnit = rig.BrakeUnit{Fitted: ptr(false)} // its pedal would light the lamps from the car
	c := Cover(CoverageInput{Rig: &r})
	alike := func(ids ...string) bool {
		return slices.ContainsFunc(c.Alike, func(a AlikeFaults) bool {
			return !slices.ContainsFunc(ids, func(id string) bool { return !slices.Contains(a.Faults, id) })
		})
	}
	for _, ids := range [][]string{
		{"open_left", "lamp_out_stop_left"}, {"open_left", "diode_reversed_left"}, {"open_tail", "fuse_tail", "diode_reversed_tail"},
	} {
		if !alike(ids...) {
			t.Errorf("%v are not alike", ids)
		}
	}
	fault := func(id string) *CoverFault {
		i := slices.IndexFunc(c.Faults, func(f CoverFault) bool { return f.ID == id })
		if i < 0 {
			t.Fatalf("no fault %s", id)
		}
		return &c.Faults[i]
	}
	if f := fault("car_diode_missing_tail"); f.Steps != nil || f.Reading == nil {
		t.Errorf("a missing tail diode of the car shows by eye: %v", f.Steps)
	}
	// A poor ground passes in the tail step; tail with brake shows it.
	if f := fault("ground_1"); !slices.Contains(f.Steps, wiring.StepTailBrake) {
		t.Errorf("1 ohm in the ground shows in %v", f.Steps)
	}
}

// Only the test button shows that nothing cuts off the car's stop switch: parked,
// nothing else presses the pedal. Source: practice of the trade.
func TestInterrupterShows(t *testing.T) {
	r := diodes()
	r.Harness.StopSwitchInterrupted = ptr(true)
	c := Cover(CoverageInput{Rig: &r})
	i := slices.IndexFunc(c.Faults, func(f CoverFault) bool { return f.ID == "interrupter_failed" })
	if i < 0 || c.Faults[i].Steps == nil {
		t.Fatal("the failed interrupter does not show")
	}
	for _, s := range c.Faults[i].Steps {
		if !s.NeedsUnit() {
			t.Errorf("it shows in %s", s)
		}
	}
}

// Every fault that shows at all is shown by the needed steps alone, and the light
// test takes the same order.
func TestOrder(t *testing.T) {
	for _, r := range []rig.Rig{diodes(), amber()} {
		c, lights := Cover(CoverageInput{Rig: &r}), Make(Input{Rig: &r, By: OnePerson})
		for _, f := range c.Faults {
			if f.Steps != nil && !slices.ContainsFunc(c.Order, func(s CoverStep) bool { return s.Needed && slices.Contains(f.Steps, s.Step) }) {
				t.Errorf("%s shows in %v, none of them needed", f.ID, f.Steps)
			}
		}
		for i, s := range lights.Steps {
			if s.Step != c.Order[i].Step || s.Needed != c.Order[i].Needed {
				t.Errorf("step %d is %s in the test and %s in the coverage", i, s.Step, c.Order[i].Step)
			}
		}
		t.Log(c.Says.Sentence)
	}
}

// With diodes no pin is fed by the car's own switches; spliced straight on, all
// are, by the car's battery. On the left pin one 1157-class filament takes about
// 2 A (2.1 A at 12.8 V, S-8 catalogue figure from memory).
func TestBench(t *testing.T) {
	r := diodes()
	b := Make(Input{Rig: &r, By: OnBench}).Bench
	for _, f := range b.Back {
		for _, p := range f.Pins {
			if !p.OK {
				t.Errorf("diodes: %s feeds the %s pin with %g V", f.Switch, p.Pin, p.V)
			}
		}
	}
	if len(b.Pins) != 3 || b.Pins[1].Pin != "left" || math.Abs(b.Pins[1].A-1.97) > 0.1 || len(b.Pins[1].Lamps) != 1 {
		t.Errorf("pins: %+v", b.Pins)
	}
	// Ohm's law in the ground: the wire of the car, its terminal and the lead.
	if v := b.Pins[1].GroundDropV; v < 0.03 || v > 0.2 {
		t.Errorf("%g V lost in the ground", v)
	}
	r.Harness.Approach = rig.SplicedOn
	for _, f := range Make(Input{Rig: &r, By: OnBench}).Bench.Back {
		fed := slices.ContainsFunc(f.Pins, func(p PinVolts) bool { return p.V > 10 })
		if !fed {
			t.Errorf("spliced on: %s feeds no pin: %+v", f.Switch, f.Pins)
		}
	}
}

func BenchmarkCoverage(b *testing.B) {
	r := diodes()
	for b.Loop() {
		Cover(CoverageInput{Rig: &r})
	}
}
