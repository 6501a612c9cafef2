package walkround

import (
	"slices"
	"strings"

	"pintail/api/finding"
	"pintail/api/rig"
)

// change names something that a hook-up changes at the rig and an unhook takes
// back.
type change string

// byManual is the change a step of the owner's manual makes.
const byManual change = "manual"

// undoPrefix begins the id of a step that takes back what no other step does.
const undoPrefix = "undo."

// Change is one thing that a hook-up changed.
type Change struct {
	// Words are the user's own for a step of the owner's manual, Tag what they
	// marked it as.
	Words string      `json:"words,omitzero"`
	Tag   rig.StepTag `json:"tag,omitzero"`
}

// Changes are what a hook-up changed, by the id of the step that changed it.
type Changes map[string]Change

func (m Changes) check(c rig.Checker, name string) {
	checkSteps(c.In(name), m, func(c rig.Checker, ch Change) {
		c.Text("words", ch.Words, 600)
		rig.Choice(c, "tag", ch.Tag)
	})
}

// wouldChange is what the hook-up list of a rig changes once all of it is done.
func wouldChange(r rig.Rig) Changes {
	steps := chosen(r, HookUp, nil)
	return changesOf(steps, func(Step) bool { return true }, func(Step) bool { return true })
}

// changesOf is what those steps of a hook-up list changed that were begun: at
// least one person says they did it. A change is over when a step that ends it
// is done.
func changesOf(steps []Step, begun, done func(Step) bool) Changes {
	m := Changes{}
	for _, s := range steps {
		e, _ := entryOf(HookUp, s.ID)
		if e.Changes == "" || s.FromManual && !s.Holding || !begun(s) || ended(e, steps, done) {
			continue
		}
		ch := Change{Tag: s.Tag}
		if s.FromManual {
			ch.Words = s.Do.Params.Get("words").Form().Text
		}
		m[s.ID] = ch
	}
	return m
}

// ended reports whether a step that ends what the entry holds is done.
func ended(e entry, steps []Step, done func(Step) bool) bool {
	return slices.ContainsFunc(steps, func(s Step) bool { return e.endedBy(s) && done(s) })
}

func (e entry) endedBy(s Step) bool {
	return slices.Contains(e.Until, strings.TrimPrefix(s.ID, againPrefix)) || s.Tag != "" && slices.Contains(e.Until, "tag:"+string(s.Tag))
}

// kind is what a change is, by the hook-up list; "" for one that another version
// made.
func kind(stepID string) change {
	e, _ := entryOf(HookUp, stepID)
	return e.Changes
}

// undoes are the changes that the entry takes back.
func (e entry) undoes(made Changes) []string {
	var ids []string
	for _, id := range rig.Keys(made) {
		if slices.Contains(e.Restores, kind(id)) {
			ids = append(ids, id)
		}
	}
	return ids
}

// takenBackBy are the changes made by steps of the manual that an unhook step
// with the tag takes back.
func (m Changes) takenBackBy(tag rig.StepTag) []string {
	var ids []string
	for _, id := range rig.Keys(m) {
		if kind(id) == byManual && slices.Contains(counterparts(m[id].Tag), tag) {
			ids = append(ids, id)
		}
	}
	return ids
}

// counterparts are the tags of unhook steps that take back what a hook-up step
// with the tag did.
func counterparts(tag rig.StepTag) []rig.StepTag {
	switch tag {
	case rig.DrivetrainFree:
		return []rig.StepTag{rig.DrivetrainRestore}
	case rig.PullsFuse, rig.BatteryOff:
		return []rig.StepTag{rig.PowerBack}
	case rig.SetsIgnition, rig.AutoFunctionsOff:
		return []rig.StepTag{tag}
	}
	return nil
}

// undoSteps name every change that no step of the unhook list takes back, in the
// words it was made with: the tool writes no step of the manual's of its own.
func undoSteps(r rig.Rig, made Changes) []Step {
	var steps []Step
	for _, id := range rig.Keys(made) {
		if restored(r, id, made[id]) {
			continue
		}
		words := made[id].Words
		if words == "" {
			words = id
		}
		steps = append(steps, Step{
			ID: undoPrefix + strings.TrimPrefix(id, manualPrefix), Place: CarSeat, Hold: NoProof, Holding: true, Undoes: []string{id},
			Do:    finding.Say("walkround.undo.do", finding.Params{"words": finding.Plain(words)}),
			Check: finding.Advise("walkround.undo.check", nil),
			Why:   finding.Advise("walkround.undo.why", nil),
			Basis: []finding.Basis{{Kind: finding.Practice, Reference: "what was recorded at hook-up"}},
		})
	}
	return steps
}

// restored reports whether a step of the unhook list takes a change back.
func restored(r rig.Rig, id string, ch Change) bool {
	k := kind(id)
	if k != byManual {
		return k != "" && slices.ContainsFunc(entries()[Unhook], func(e entry) bool { return slices.Contains(e.Restores, k) })
	}
	if ch.Tag == rig.ParkingBrakeOff {
		return true // the car is held again before anything else
	}
	return slices.ContainsFunc(counterparts(ch.Tag), func(t rig.StepTag) bool { return r.Manual.Tagged(rig.Unhook, t) != nil })
}
