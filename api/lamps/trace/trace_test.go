package trace

import (
	"encoding/json"
	"testing"

	"pintail/api/lamps/wiring"
)

func mustMake(tb testing.TB, in Input) Report {
	tb.Helper()
	if err := in.Validate(); err != nil {
		tb.Fatal(err)
	}
	return Make(in)
}

func show(tb testing.TB, r Report) {
	tb.Helper()
	b, _ := json.MarshalIndent(r, "", " ")
	tb.Logf("%s", b)
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

func TestCommonGround(t *testing.T) {
	r := topologies()["diodes"]
	r0 := mustMake(t, Input{Rig: &r, Tools: Meter, Evidence: commonGround()})
	t.Logf("%v %+v", r0.NextSays.Sentence, r0.Next)
}
