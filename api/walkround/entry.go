package walkround

import (
	"embed"
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
	After []string `json:"after"`
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

// step is the entry as a step of a list, its order not yet settled.
func (e entry) step() Step {
	s := Step{
		ID: e.ID, Place: e.Place, Hold: e.Hold, Do: finding.Say(e.Do, nil),
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
