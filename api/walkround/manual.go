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
	// undoSlot is for what hook-up changed and no step typed takes back.
	undoSlot slot = "undo"
)

// manualPrefix begins the id of a step of the owner's manual.
const manualPrefix = "manual."

// manualSteps are the user's own steps for a slot, in the order typed.
func manualSteps(r rig.Rig, l List, s slot, made Changes) []Step {
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
		step := manualStep(id, r.Manual.Steps[id])
		if l == Unhook {
			step.Undoes = made.takenBackBy(step.Tag)
		}
		steps = append(steps, step)
	}
	return steps
}

func manualStep(id string, s rig.Step) Step {
	place := CarSeat
	if rig.Is(s.NeedsSeatOrPedal, false) {
		place = CarSide
	}
	return Step{
		ID: manualPrefix + id, Place: place, Hold: NoProof, FromManual: true, Tag: s.Tag,
		Holding: s.Tag != rig.RunsEngine && s.Tag != rig.StopsEngine,
		Do:      finding.Say("walkround.manual.do", finding.Params{"words": finding.Plain(s.Text)}),
		Check:   finding.Advise("walkround.manual.check", nil),
		Basis:   []finding.Basis{{Kind: finding.Rating, Reference: "/manual/steps/" + id}},
	}
}
