package walkround

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// slot says which of the user's own steps stand at a place of a list.
type slot string

// The slots. Power comes back before the parking brake goes on where the manual
// begins with it: an electric parking brake needs it.
const (
	allSteps   slot = "all"
	powerFirst slot = "power_first" // the steps before any other that bring power back
	afterPower slot = "after_power" // the others
)

// manualSteps are the user's own steps for a slot, in the order typed.
func manualSteps(r rig.Rig, l List, s slot) []Step {
	ids := r.Manual.Phase(phase(l))
	leading := 0
	for leading < len(ids) && r.Manual.Steps[ids[leading]].Tag == rig.PowerBack {
		leading++
	}
	switch s {
	case powerFirst:
		ids = ids[:leading]
	case afterPower:
		ids = ids[leading:]
	}
	var steps []Step
	for _, id := range ids {
		steps = append(steps, manualStep(id, r.Manual.Steps[id]))
	}
	return steps
}

func manualStep(id string, s rig.Step) Step {
	place := CarSeat
	if rig.Is(s.NeedsSeatOrPedal, false) {
		place = CarSide
	}
	return Step{
		ID: "manual." + id, Place: place, Hold: NoProof, FromManual: true, Tag: s.Tag,
		Do:    finding.Say("walkround.manual.do", finding.Params{"words": finding.Plain(s.Text)}),
		Check: finding.Advise("walkround.manual.check", nil),
		Basis: []finding.Basis{{Kind: finding.Rating, Reference: "/manual/steps/" + id}},
	}
}
