package walkround

import (
	"strings"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/trouble"
)

// Repair is something that was repaired while a list was worked through, or
// before a roadside check of a rig that was hooked up.
type Repair struct {
	// Failure is the id that trouble/list has for it.
	Failure string  `json:"failure"`
	At      *Moment `json:"at,omitzero"`
	// By is the device that says so.
	By string `json:"by,omitzero"`
	// Again are the steps tested again since, by step id, then by device. A device
	// that ticks such a step after the repair says so here as well: no comparison
	// of clocks decides what came first.
	Again map[string]map[string]Touch `json:"again,omitzero"`
}

func (r Repair) check(c rig.Checker) {
	if r.Failure == "" {
		c.In("failure").Bad("missing")
	}
	c.Text("failure", r.Failure, 64)
	checkMoment(c, "at", r.At)
	c.Text("by", r.By, 64)
	checkTouches(c.In("again"), r.Again)
}

// againPrefix begins the id of a step of the hook-up that a roadside check does
// again after a repair.
const againPrefix = "again."

// testsOf are the ids of the steps that a list does again after the repair.
func (r Repair) testsOf(l List) []string {
	var ids []string
	for _, again := range trouble.TestsAfter(r.Failure) {
		switch {
		case again.List == string(l):
			ids = append(ids, again.Steps...)
		case l == StopCheck && again.List == string(HookUp):
			for _, id := range again.Steps {
				ids = append(ids, againPrefix+id)
			}
		}
	}
	return ids
}

// withTests adds to the steps of a roadside check those of the hook-up that its
// repairs ask for again, in the order that they have there.
func withTests(r rig.Rig, l List, run *Run, list []Step) []Step {
	asked := map[string]bool{}
	for _, repair := range run.Repairs {
		for _, id := range repair.testsOf(l) {
			if strings.HasPrefix(id, againPrefix) {
				asked[id] = true
			}
		}
	}
	if len(asked) == 0 {
		return list
	}
	first := list[0].ID // nothing is tested before the motorhome is held
	// ends are the asked steps that stand for a step when another comes after it.
	ends := map[string][]string{}
	for _, s := range steps(r, HookUp, nil) {
		var after []string
		for _, id := range s.After {
			after = append(after, ends[id]...)
		}
		if !asked[againPrefix+s.ID] {
			ends[s.ID] = after
			continue
		}
		ends[s.ID] = []string{againPrefix + s.ID}
		s.ID = againPrefix + s.ID
		s.After = sorted(append(after, first))
		list = append(list, s)
	}
	return inOrder(list)
}

// judgeRepairs asks again for the steps that a repair touches: those that are
// done, and not tested since.
func (s *standing) judgeRepairs() {
	var again []int
	for _, id := range rig.Keys(s.run.Repairs) {
		repair := s.run.Repairs[id]
		for _, step := range repair.testsOf(s.list) {
			if i, there := s.index[step]; there && s.done[i] && !touched(repair.Again[step]) {
				again = append(again, i)
			}
		}
	}
	for _, i := range again {
		s.stands[i].State = TouchAgain
		s.stands[i].Because = finding.Advise("walkround.test_again", nil)
	}
}

// repairs says what was repaired.
func (n *notes) repairs(run *Run) {
	for _, id := range rig.Keys(run.Repairs) {
		repair := run.Repairs[id]
		name, known := trouble.Name(repair.Failure)
		if !known {
			n.add("repair_unknown", finding.FindOut, nil)
			continue
		}
		n.aside("repaired", finding.Mind, finding.Params{"failure": wordsOf(name)})
	}
}
