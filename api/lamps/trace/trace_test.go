package trace

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

func mustMake(tb testing.TB, in Input) Report {
	tb.Helper()
	if err := in.Validate(); err != nil {
		tb.Fatal(err)
	}
	return Make(in)
}

func says(step wiring.Step, lamp string, glow wiring.Glow) Picture {
	return Picture{Step: step, Lamp: lamp, Glow: glow}
}

// commonGround is what a poor ground shows: tail lamps well, stop lamps dim, and
// both very dim together. Source: common practice of the trade.
func commonGround() Evidence {
	return Evidence{Pictures: []Picture{
		says(wiring.StepTail, "tail_left", wiring.IsFull), says(wiring.StepTail, "tail_right", wiring.IsFull),
		says(wiring.StepBrake, "stop_left", wiring.IsDim), says(wiring.StepBrake, "stop_right", wiring.IsDim),
		says(wiring.StepTailBrake, "stop_left", wiring.IsGlow), says(wiring.StepTailBrake, "stop_right", wiring.IsGlow),
	}}
}

// The ground comes first, not two bulbs; the car's body against the motorhome's
// ground is measured next, and each cause says what it expects there.
func TestCommonGround(t *testing.T) {
	for name, r := range topologies() {
		if r.Harness.Signals == rig.SeparateSignals || r.Towed.RearLamps == rig.AmberTurn {
			continue
		}
		t.Run(name, func(t *testing.T) {
			a := mustMake(t, Input{Rig: &r, Tools: Meter, Evidence: commonGround()})
			first := a.Groups[0].Causes[0].Faults
			if len(first) != 1 || !strings.HasPrefix(first[0], "ground_") && !strings.HasPrefix(first[0], "body_") {
				t.Errorf("first is %v", first)
			}
			if a.Next == nil || a.Next.Point != "body" {
				t.Fatalf("next is %+v", a.Next)
			}
			// 1 or 2 ohm more on the way back of some 3 A is some 3 or 6 V: Ohm's law.
			if x := a.Next.Expect[0]; x.Low == nil || *x.High < 1.5 || *x.Low > 6.5 {
				t.Errorf("expected %v to %v", *x.Low, *x.High)
			}
		})
	}
}

// 13.1 V at the loaded contact with the turn signal and 7.0 V with the brakes: the
// stop branch of the motorhome. Its ohms by hand: 1157-class filaments behind a
// silicon diode take some 1.4 A each at 7 V, (13.5-7.0)/2.8 = 2.3 ohm, a little less
// the branch's own 0.13.
func TestStopBranch(t *testing.T) {
	r := topologies()["diodes"]
	a := mustMake(t, Input{Rig: &r, Tools: Meter, Evidence: Evidence{Readings: []Reading{
		{Step: wiring.StepLeft, Point: "socket_left", V: ptr(13.1)}, {Step: wiring.StepBrake, Point: "socket_left", V: ptr(7.0)},
		{Step: wiring.StepRight, Point: "socket_right", V: ptr(13.1)}, {Step: wiring.StepBrake, Point: "socket_right", V: ptr(7.0)},
	}}})
	c := a.Groups[0].Causes[0]
	if !strings.HasPrefix(c.Faults[0], "stop_branch_") || !slices.Equal(c.Places, []wiring.Place{wiring.InMotorhome}) || len(a.Groups[0].Causes) != 1 {
		t.Fatalf("%s: first is %v in %v", a.Outcome, c.Faults, c.Places)
	}
	if c.Ohm == nil || *c.Ohm < 1.8 || *c.Ohm > 2.6 {
		t.Errorf("%v ohm", c.Ohm)
	}
}

// Only the test button shows that nothing cuts off the car's own stop switch, so
// that it masks the turn signal: the button is asked for, and its picture names
// the cause.
func TestMaskedTurn(t *testing.T) {
	r := topologies()["schottky, plate, unit"]
	r.Harness.StopSwitchInterrupted = ptr(true)
	p, err := pictures.Of(wiring.Build(wiring.Describe(r)), 0)
	if err != nil {
		t.Fatal(err)
	}
	in := Input{Rig: &r}
	in.Pictures = sound(p, func(s wiring.Step) bool { return !s.NeedsUnit() })
	a := mustMake(t, in)
	if a.Outcome != Sound || a.Next == nil || !a.Next.Step.NeedsUnit() {
		t.Fatalf("%s, next %+v", a.Outcome, a.Next)
	}
	in.Pictures = append(in.Pictures, Picture{Step: wiring.StepUnitLeftAsleep, Lamp: "stop_left", Glow: wiring.IsFull, Pattern: pictures.Steady},
		Picture{Step: wiring.StepUnitLeftAsleep, Lamp: "stop_right", Glow: wiring.IsFull, Pattern: pictures.Steady})
	a = mustMake(t, in)
	if c := a.Groups[0].Causes; len(c) != 1 || !slices.Equal(c[0].Faults, []string{"interrupter_failed"}) {
		t.Errorf("%s: %+v", a.Outcome, c)
	}
}

// sound are the pictures of a sound harness in some of its steps.
func sound(p *pictures.Pictures, some func(wiring.Step) bool) []Picture {
	var all []Picture
	for step, s := range p.Steps {
		for i, l := range p.Network.Lamps() {
			if l.Connected && some(s) && !p.Hidden(step, 0, i) {
				k := p.Look(0, step, 0, i)
				all = append(all, Picture{Step: s, Lamp: l.ID, Glow: k.Glow, Pattern: k.Pattern, Phase: k.Phase})
			}
		}
	}
	return all
}

// What does not make sense is answered for what it is.
func TestOddEvidence(t *testing.T) {
	r := topologies()["diodes"]
	unsure := says(wiring.StepTail, "tail_left", wiring.IsFull)
	unsure.Trust = CantTell
	for _, c := range []struct {
		name string
		e    Evidence
		want Outcome
	}{
		{"nothing", Evidence{}, NoEvidence},
		{"nobody can tell", Evidence{Pictures: []Picture{unsure}}, NoEvidence},
		// Lamps that burn with all switches off and go out when they should light.
		{"no circuit", Evidence{Pictures: []Picture{
			says(wiring.StepAllOff, "tail_left", wiring.IsFull), says(wiring.StepTail, "tail_left", wiring.IsDark), says(wiring.StepTail, "tail_right", wiring.IsFull),
			says(wiring.StepUnplugged, "stop_right", wiring.IsFull), says(wiring.StepAllOff, "stop_right", wiring.IsFull), says(wiring.StepBrake, "stop_right", wiring.IsDark),
			says(wiring.StepAllOff, "high_stop", wiring.IsFull), says(wiring.StepUnplugged, "tail_left", wiring.IsFull),
		}}, NoModel},
	} {
		a := mustMake(t, Input{Rig: &r, Evidence: c.e})
		if a.Outcome != c.want {
			t.Errorf("%s: %s (%s), want %s; %d misfits; %v", c.name, a.Outcome, a.Says.Sentence, c.want, len(a.Misfits), a.Groups[0].Causes[0].Faults)
		}
		if c.want == NoEvidence && a.Next == nil {
			t.Errorf("%s: no first step", c.name)
		}
	}
	// The same lamp in the same step cannot be dark and bright.
	a := mustMake(t, Input{Rig: &r, Evidence: Evidence{Pictures: []Picture{says(wiring.StepTail, "tail_left", wiring.IsDark), says(wiring.StepTail, "tail_left", wiring.IsFull)}}})
	if len(a.Contradictions) != 1 {
		t.Errorf("contradictions: %+v", a.Contradictions)
	}
	// A clamp turned round reads the same.
	plus, minus := mustMake(t, Input{Rig: &r, Evidence: amps(2)}), mustMake(t, Input{Rig: &r, Evidence: amps(-2)})
	if plus.Groups[0].Share != minus.Groups[0].Share {
		t.Error("the sign of a current counts")
	}
}

func amps(a float64) Evidence {
	return Evidence{Readings: []Reading{{Step: wiring.StepBrake, Point: "amps_left", A: &a}}}
}

// What comes and goes when the plug is moved is loose in the plug.
func TestIntermittent(t *testing.T) {
	r := topologies()["diodes"]
	e := Evidence{Pictures: []Picture{says(wiring.StepLeft, "stop_left", wiring.IsDark), says(wiring.StepBrake, "stop_left", wiring.IsDark)}}
	share := func(e Evidence) (s float64) {
		for _, g := range mustMake(t, Input{Rig: &r, Evidence: e}).Groups {
			for _, c := range g.Causes {
				if slices.Equal(c.Faults, []string{"open_left"}) {
					s = c.Share
				}
			}
		}
		return s
	}
	before := share(e)
	e.Intermittents = []Intermittent{{Place: wiring.InUmbilical}}
	if after := share(e); after < 2*before {
		t.Errorf("open_left has %.3f, moved in the umbilical %.3f", before, after)
	}
}

// With nothing else known, the lamp and the step that came and went say which
// wire is loose.
func TestIntermittentLamp(t *testing.T) {
	r := topologies()["diodes"]
	for _, tt := range []struct {
		what   Intermittent
		lifted string
	}{
		{Intermittent{Place: wiring.InUmbilical, Lamp: "stop_left"}, "open_left"},
		{Intermittent{Place: wiring.InUmbilical, Step: wiring.StepRight, Lamp: "stop_right"}, "open_right"},
		{Intermittent{Place: wiring.InUmbilical, Step: wiring.StepTail}, "open_tail"},
	} {
		share := map[string]float64{}
		for _, g := range mustMake(t, Input{Rig: &r, Evidence: Evidence{Intermittents: []Intermittent{tt.what}}}).Groups {
			for _, c := range g.Causes {
				share[strings.Join(c.Faults, "+")] = c.Share
			}
		}
		for _, other := range []string{"open_left", "open_right", "open_tail"} {
			if other != tt.lifted && share[other] > share[tt.lifted]/4 {
				t.Errorf("%v: %s has %.4f, %s %.4f", tt.what, tt.lifted, share[tt.lifted], other, share[other])
			}
		}
	}
}

// Refusals name the entry.
func TestRefused(t *testing.T) {
	r := topologies()["diodes"]
	r.BrakeUnit.Fitted = ptr(false)
	for pointer, e := range map[string]Evidence{
		"/pictures/0/lamp":      {Pictures: []Picture{says(wiring.StepTail, "turn_left", wiring.IsDark)}},
		"/pictures/0/step":      {Pictures: []Picture{says(wiring.StepUnitLeftAwake, "stop_left", wiring.IsDark)}},
		"/pictures/0/glow":      {Pictures: []Picture{says(wiring.StepTail, "tail_left", "blinding")}},
		"/comparisons/0/lamp":   {Comparisons: []Comparison{{Step: wiring.StepTail, Lamp: "fog", Brighter: Alike}}},
		"/readings/0/point":     {Readings: []Reading{{Step: wiring.StepTail, Point: "roof", V: ptr(12.0)}}},
		"/readings/0/v":         {Readings: []Reading{{Step: wiring.StepTail, Point: "end_tail", V: ptr(400.0)}}},
		"/readings/0/a":         {Readings: []Reading{{Step: wiring.StepTail, Point: "end_tail", A: ptr(1.0)}}},
		"/readings/0":           {Readings: []Reading{{Step: wiring.StepTail, Point: "end_tail"}}},
		"/intermittents/0/lamp": {Intermittents: []Intermittent{{Place: wiring.InCar, Lamp: "moon"}}},
	} {
		err := Input{Rig: &r, Evidence: e}.Validate()
		if err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("want %s refused, got %v", pointer, err)
		}
	}
}

// What is kept from one trace to the next changes no answer: whatever was traced
// before, or is at the same time, the bytes are those of pictures made anew.
func TestKept(t *testing.T) {
	rigs := topologies()
	heavier := rigs["diodes"]
	heavier.Towed.Actual.Weight = ptr(unit.LB(5000)) // nothing to the harness
	rigs["diodes, weighed"] = heavier
	thicker := rigs["diodes"]
	thicker.Harness.CarWire.AWG = ptr(10)
	rigs["diodes, thick wire"] = thicker
	evidence := Evidence{
		Pictures: []Picture{says(wiring.StepTail, "tail_left", wiring.IsDim), says(wiring.StepTailBrake, "stop_left", wiring.IsGlow)},
		Readings: []Reading{{Step: wiring.StepTail, Point: "end_tail", V: ptr(9.5)}},
	}
	bytesOf := func(r Report) string {
		b, err := strictjson.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	want := map[string]string{}
	for name, r := range rigs {
		h := wiring.Describe(r)
		p, err := pictures.Of(wiring.Build(h), pairsTried)
		if err != nil {
			t.Fatal(err)
		}
		fresh := With(p, Input{Rig: &r, Tools: Meter, Evidence: evidence})
		fresh.Values = h.Values
		want[name] = bytesOf(fresh)
	}
	if want["diodes"] == want["diodes, thick wire"] {
		t.Error("the wire counts for nothing")
	}
	var traces sync.WaitGroup
	for name, r := range rigs {
		traces.Go(func() {
			for range 2 {
				if got := bytesOf(mustMake(t, Input{Rig: &r, Tools: Meter, Evidence: evidence})); got != want[name] {
					t.Errorf("%s: what was kept changes the answer", name)
				}
			}
		})
	}
	traces.Wait()
}

func BenchmarkTrace(b *testing.B) {
	r := topologies()["schottky, plate, unit"]
	p, err := pictures.Of(wiring.Build(wiring.Describe(r)), pairsTried)
	if err != nil {
		b.Fatal(err)
	}
	in := Input{Rig: &r, Tools: Meter}
	for step, s := range p.Steps {
		for i, l := range p.Network.Lamps() {
			if k := p.Look(1+len(p.Causes)/4, step, 0, i); l.Connected && !p.Hidden(step, 0, i) {
				in.Pictures = append(in.Pictures, Picture{Step: s, Lamp: l.ID, Glow: k.Glow, Pattern: k.Pattern, Phase: k.Phase})
			}
		}
	}
	for b.Loop() {
		With(p, in)
	}
}
