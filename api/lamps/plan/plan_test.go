package plan_test

import (
	"testing"

	"pintail/api/lamps/plan"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

func mustRig(tb testing.TB, text string) *rig.Rig {
	tb.Helper()
	r := &rig.Rig{}
	if err := strictjson.Unmarshal([]byte(text), r); err != nil {
		tb.Fatalf("%s: %v", text, err)
	}
	return r
}

func TestTypicalHarness(t *testing.T) {
	r := plan.Make(plan.Input{Rig: &rig.Rig{}})
	if len(r.Links) == 0 || len(r.Lighting) != 12 || r.Verdict != "find_out" {
		t.Errorf("%d links, %d steps, %s", len(r.Links), len(r.Lighting), r.Verdict)
	}
}

func BenchmarkMake(b *testing.B) {
	r := mustRig(b, `{"towed":{"rear_lamps":"combined"},"harness":{"signals":"combined","approach":"steering_diodes"}}`)
	b.ReportAllocs()
	for b.Loop() {
		plan.Make(plan.Input{Rig: r})
	}
}
