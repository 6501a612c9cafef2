package trace

import (
	"strings"
	"testing"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
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
			// 1 ohm more on the way back of some 3 A is some 3 V: Ohm's law.
			if x := a.Next.Expect[0]; x.Low == nil || *x.High < 1.5 || *x.Low > 5 {
				t.Errorf("expected %v to %v", *x.Low, *x.High)
			}
		})
	}
}

func BenchmarkTrace(b *testing.B) {
	r := topologies()["schottky, plate, unit"]
	p, err := pictures.Of(wiring.Build(wiring.Describe(r, nil)), pairsTried)
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
