package walkround

import (
	"slices"

	"pintail/api/rig"
)

// steps makes the list: the entries whose conditions hold, the user's own steps
// in their slots, each counted for this rig, in working order.
func steps(r rig.Rig, l List, made Changes) []Step {
	list := chosen(r, l, made)
	for i := range list {
		list[i].After = sorted(list[i].After)
	}
	return inOrder(list)
}

// chosen returns the steps of the list in the order of the data. What came after
// an entry that is left out comes after what that entry came after, so that
// leaving one out never loosens an order.
func chosen(r rig.Rig, l List, made Changes) []Step {
	list := []Step{}
	// ends are the steps that stand for an entry when another names it.
	ends := map[string][]string{}
	for _, e := range entries()[l] {
		var after []string
		for _, id := range e.After {
			after = append(after, ends[id]...)
		}
		in := included(r, l, e, made)
		for i := range in {
			in[i].After = after
			after = []string{in[i].ID}
		}
		ends[e.ID] = after
		list = append(list, in...)
	}
	return list
}

// included returns the steps an entry gives for this rig: none, one, or the
// user's own. What takes back a change that was made is in the list whatever the
// rig says by now.
func included(r rig.Rig, l List, e entry, made Changes) []Step {
	undoes := e.undoes(made)
	for _, c := range e.When {
		if undoes == nil && !c.holds(r, l) {
			return nil
		}
	}
	switch e.Manual {
	case "":
	case undoSlot:
		return undoSteps(r, made)
	default:
		return manualSteps(r, l, e.Manual, made)
	}
	s := e.step()
	s.Undoes = undoes
	if e.Count != "" {
		e.Count.on(&s, r)
	}
	return []Step{s}
}

// inOrder sorts by what comes after what. Among the steps that may come next it
// takes the first at the place where the person stands already, else the first.
func inOrder(list []Step) []Step {
	done := map[string]bool{}
	out := make([]Step, 0, len(list))
	for len(out) < len(list) {
		next := -1
		for i, s := range list {
			if done[s.ID] || !allDone(done, s.After) {
				continue
			}
			here := len(out) > 0 && out[len(out)-1].Place == s.Place
			if next < 0 || here {
				next = i
			}
			if here {
				break
			}
		}
		done[list[next].ID] = true
		out = append(out, list[next])
	}
	return out
}

func allDone(done map[string]bool, ids []string) bool {
	return !slices.ContainsFunc(ids, func(id string) bool { return !done[id] })
}

// sorted returns the ids in order, each once, never nil.
func sorted(ids []string) []string {
	s := append([]string{}, ids...)
	slices.Sort(s)
	return slices.Compact(s)
}
