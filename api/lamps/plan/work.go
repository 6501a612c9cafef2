package plan

import (
	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// workList is every point of the work in the order of its stages. Common
// practice of the trade.
var workList = [...]struct {
	id    string
	stage Stage
	hold  bool
	when  func(*wiring.Harness) bool
}{
	{"socket", Before, true, always},
	{"lamps", Before, true, onFactoryLamps},
	{"room", Before, false, withSeparateBulbs},
	{"heat", Routing, true, always},
	{"moving", Routing, true, always},
	{"fuel", Routing, true, always},
	{"grommet", Routing, true, always},
	{"support", Routing, false, always},
	{"slack", Routing, false, always},
	{"lamp_slack", Routing, false, always},
	{"ground", Joining, true, always},
	{"lamp_ground", Joining, true, addedLamps},
	{"crimp", Joining, true, always},
	{"seal", Joining, false, always},
	{"diode_direction", Joining, true, withDiodes},
	{"diode_air", Joining, true, withDiodes},
	{"relay", Joining, true, withRelays},
	{"jumper", Joining, true, withJumper},
	{"hole", Joining, true, withSeparateBulbs},
	{"interrupter", Joining, true, withInterrupter},
	{"connector", Closing, false, always},
	{"fuse", Closing, true, always},
	{"record", Closing, false, always},
	{"own_lamps", Proving, true, always},
	{"no_back_feed", Proving, true, onFactoryLamps},
	{"each_feed", Proving, true, always},
	{"ground_drop", Proving, false, always},
	{"light_test", Proving, true, always},
}

func workOf(h *wiring.Harness) []WorkPoint {
	all := make([]WorkPoint, 0, len(workList))
	for i := range workList {
		if w := &workList[i]; w.when(h) {
			all = append(all, WorkPoint{ID: w.id, Stage: w.stage, Hold: w.hold, Says: finding.Say("plan.work."+w.id, nil)})
		}
	}
	return all
}

func always(*wiring.Harness) bool { return true }

func onFactoryLamps(h *wiring.Harness) bool { return !h.Added() }

func addedLamps(h *wiring.Harness) bool { return h.Added() }

func withSeparateBulbs(h *wiring.Harness) bool { return h.Approach == rig.SeparateBulbs }

func withDiodes(h *wiring.Harness) bool { return h.Approach == rig.SteeringDiodes }

func withRelays(h *wiring.Harness) bool { return h.Approach == rig.RelayBypass }

func withJumper(h *wiring.Harness) bool { return h.Jumper }

func withInterrupter(h *wiring.Harness) bool { return h.Interrupted }
