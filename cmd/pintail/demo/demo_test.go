package demo_test

import (
	"fmt"
	"testing"

	"github.com/go-json-experiment/json"

	"pintail/api"
	"pintail/api/finding"
	"pintail/cmd/pintail/demo"
)

// TestRigs: the core takes every rig of the demo with its trip, and gives the
// three verdicts that the demo is there to show.
func TestRigs(t *testing.T) {
	all, err := demo.Rigs()
	if err != nil {
		t.Fatal(err)
	}
	verdicts := map[finding.Verdict]int{}
	for _, d := range all {
		out, problem := api.Run("readiness", fmt.Appendf(nil, `{"rig":%s,"trip":%s}`, d.Rig, d.Trip))
		if problem != nil {
			t.Errorf("%s: %v", d.ID, problem)
			continue
		}
		var report struct {
			Verdict finding.Verdict `json:"verdict"`
		}
		if err := json.Unmarshal(out, &report); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %s", d.Name, report.Verdict)
		verdicts[report.Verdict]++
	}
	ready := verdicts[finding.OK] + verdicts[finding.Mind]
	if len(all) != 3 || ready != 1 || verdicts[finding.NoGo] != 1 || verdicts[finding.FindOut] != 1 {
		t.Errorf("%d rigs with verdicts %v, want one ready, one that must not go, one with things to find out", len(all), verdicts)
	}
}
