package lighttest

import (
	"pintail/api/finding"
	"pintail/api/lamps/wiring"
)

func say(id string) finding.Text { return finding.Say(id, nil) }

// before is what to see to before the first step.
func before(h *wiring.Harness) []finding.Text {
	all := []finding.Text{say("light.before.parked"), say("light.before.plugged"), say("light.before.shade")}
	if h.UnitPresses {
		all = append(all, say("light.before.unit"))
	}
	return all
}

// after is what to undo after the last step.
func after(h *wiring.Harness, by By) []finding.Text {
	all := []finding.Text{say("light.after.off")}
	if by == OnePerson {
		all = append(all, say("light.after.pole"))
	}
	if h.UnitPresses {
		all = append(all, say("light.after.unit"))
	}
	return all
}

// orders is what to do in a step.
func orders(s wiring.Step, by By) []finding.Text {
	do := switches(s)
	if by == OnePerson {
		if s.Brakes() {
			do = append(do, say("light.do.pole"))
		}
		return append(do, say("light.do.film"))
	}
	return append(do, say("light.do.call"))
}

// switches is what is put on, and how.
func switches(s wiring.Step) []finding.Text {
	switch s {
	case wiring.StepUnplugged:
		return []finding.Text{say("light.do.tail_brake"), say("light.do.unplug")}
	case wiring.StepUnitLeftAwake, wiring.StepUnitRightAwake:
		return []finding.Text{say("light.do.awake"), say("light.do." + turnOf(s)), say("light.do.unit")}
	case wiring.StepUnitLeftAsleep, wiring.StepUnitRightAsleep:
		return []finding.Text{say("light.do.asleep"), say("light.do." + turnOf(s)), say("light.do.unit")}
	}
	return []finding.Text{say("light.do." + string(s))}
}

func turnOf(s wiring.Step) string {
	if s == wiring.StepUnitLeftAwake || s == wiring.StepUnitLeftAsleep {
		return "left"
	}
	return "right"
}
