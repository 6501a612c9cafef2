package walkround

import (
	"embed"
	"strings"
	"sync"

	"pintail/api/finding"
	"pintail/api/strictjson"
)

// entry is one step as the data files hold it.
type entry struct {
	ID    string `json:"id"`
	Place Place  `json:"place"`
	// Do, Check, Why and Hazard are catalogue ids.
	Do     string `json:"do,omitzero"`
	Check  string `json:"check,omitzero"`
	Why    string `json:"why,omitzero"`
	Hazard string `json:"hazard,omitzero"`
	Hold   Proof  `json:"hold,omitzero"`
	// Count names what a Counted step counts.
	Count tally `json:"count,omitzero"`
	// When are the conditions that must all hold for this rig.
	When []condition `json:"when,omitzero"`
	// Manual makes the entry the place of the user's own steps.
	Manual slot `json:"manual,omitzero"`
	// After are ids of entries of the same file.
	After   []string `json:"after"`
	Holding bool     `json:"holding,omitzero"`
	// Until are the steps that end the holding, and with it the change: a chock
	// holds until it is taken away. "tag:" and a tag names a step of the manual.
	Until []string `json:"until,omitzero"`
	Part  Part     `json:"part,omitzero"`
	// Proves marks what tests lamps and brakes.
	Proves  bool  `json:"proves,omitzero"`
	Reading *span `json:"reading,omitzero"`
	// Changes is what the step changes at the rig, Restores what it takes back.
	Changes  change   `json:"changes,omitzero"`
	Restores []change `json:"restores,omitzero"`
	// Source says where the step comes from.
	Source string `json:"source"`
}

//go:embed data/*.json
var dataFiles embed.FS

// entries are the lists as the files hold them, parsed once and never changed.
var entries = sync.OnceValue(func() map[List][]entry {
	lists := map[List][]entry{}
	for _, name := range List("").Values() {
		b, err := dataFiles.ReadFile("data/" + name + ".json")
		if err != nil {
			panic(err) // the files are compiled in; a test reads them all
		}
		var es []entry
		if err := strictjson.Unmarshal(b, &es); err != nil {
			panic(name + ": " + err.Error())
		}
		lists[List(name)] = es
	}
	return lists
})

// entryOf is the entry that gave a step of a list; a list of another version may
// have had a step that this one lacks.
func entryOf(l List, stepID string) (entry, bool) {
	if again, of := strings.CutPrefix(stepID, againPrefix); of {
		l, stepID = HookUp, again
	}
	manual, undo := strings.HasPrefix(stepID, manualPrefix), strings.HasPrefix(stepID, undoPrefix)
	for _, e := range entries()[l] {
		switch {
		case e.Manual == "" && e.ID == stepID, undo && e.Manual == undoSlot, manual && e.Manual != "" && e.Manual != undoSlot:
			return e, true
		}
	}
	return entry{}, false
}

// step is the entry as a step of a list, its order not yet settled.
func (e entry) step() Step {
	s := Step{
		ID: e.ID, Place: e.Place, Hold: e.Hold, Do: finding.Say(e.Do, nil), Holding: e.Holding, Part: e.Part, Reading: e.Reading.forPeople(),
		Check: said(e.Check), Why: said(e.Why), Hazard: said(e.Hazard),
		Basis: []finding.Basis{{Kind: finding.Practice, Reference: e.Source}},
	}
	if s.Hold == "" {
		s.Hold = NoProof
	}
	return s
}

func said(id string) *finding.Text {
	if id == "" {
		return nil
	}
	return finding.Advise(id, nil)
}
