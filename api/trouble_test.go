package api_test

import (
	"slices"
	"testing"

	"pintail/api/rig"
	"pintail/api/trouble"
	"pintail/api/walkround"
)

// What the table of failures says to test again are steps of the lists, and they
// stand in the order of the list.
func TestTroubleNamesStepsOfTheLists(t *testing.T) {
	yes, minutes := true, 5.0
	r := rig.Rig{}
	r.Harness.StopSwitchInterrupted = &yes
	r.Permission.EngineRunMin = &minutes
	for _, f := range trouble.List(trouble.Input{}).Failures {
		for _, again := range f.TestAgain {
			var ids []string
			for _, s := range walkround.Make(walkround.Input{Rig: &r, List: walkround.List(again.List)}).Steps {
				ids = append(ids, s.ID)
			}
			last := -1
			for _, id := range again.Steps {
				at := slices.Index(ids, id)
				if at < 0 {
					t.Errorf("%s: %s has no step %s", f.ID, again.List, id)
				} else if at < last {
					t.Errorf("%s: %s comes earlier in %s", f.ID, id, again.List)
				}
				last = max(last, at)
			}
		}
	}
}
