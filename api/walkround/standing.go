package walkround

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
)

// Progress is how far a run is at one place.
type Progress struct {
	Place Place `json:"place"`
	Done  int   `json:"done"`
	Steps int   `json:"steps"`
}

// RunReport is the answer of walkround/run.
type RunReport struct {
	finding.Stamp `json:",inline"`
	// Verdict is the worst of the deciding findings; it is ok only where the whole
	// list is done.
	Verdict  finding.Verdict   `json:"verdict"`
	Findings []finding.Finding `json:"findings"`
	// Steps are in working order.
	Steps []*Stand `json:"steps"`
	// Next is the id of the step to do next, absent when nothing is left. It is
	// never a blocked one.
	Next     string     `json:"next,omitzero"`
	Progress []Progress `json:"progress"`
	// MayFinish is true when nothing is left to do.
	MayFinish bool `json:"may_finish"`
	// Asks are the ids of breaks for which nobody has answered "did you leave it?".
	Asks []string `json:"asks,omitzero"`
	// Changes are what a hook-up has changed so far: what an unhook must take back.
	Changes Changes `json:"changes,omitzero"`
	// Record is what a finished run leaves.
	Record *Record `json:"record,omitzero"`
	// HookedUp is what a finished and whole hook-up gives.
	HookedUp *Standing `json:"hooked_up,omitzero"`
	// Happened is what this run means for an earlier hook-up, to be handed to
	// walkround/hooked_up.
	Happened map[string]Happening `json:"happened,omitzero"`
}

// Stands says where a run stands.
func Stands(in RunInput) RunReport {
	made := in.Changes
	if made == nil {
		made = wouldChange(*in.Rig)
	}
	list := makeFor(Input{Rig: in.Rig, List: in.List}, made)
	if len(list.Steps) > 0 {
		list.Steps = withTests(*in.Rig, in.List, in.Run, list.Steps)
	}
	stands := stand(in.List, list.Steps, in.Run)
	if stands == nil {
		stands = []*Stand{}
	}
	report := RunReport{Steps: stands, Next: next(stands), Progress: progress(stands), MayFinish: len(stands) > 0 && next(stands) == ""}
	for _, id := range rig.Keys(in.Run.Breaks) {
		if in.Run.Breaks[id].Left == nil {
			report.Asks = append(report.Asks, id)
		}
	}
	n := notes(list.Findings)
	n.run(&in, &report)
	report.Findings = n
	if in.List == HookUp {
		report.Changes = changed(stands)
	}
	report.conclude(in)
	finding.Sort(report.Findings)
	report.Verdict = finding.Worst(report.Findings)
	return report
}

// conclude adds what a run leaves behind.
func (r *RunReport) conclude(in RunInput) {
	r.Happened = happenedIn(in.List, in.Run, r)
	if in.Run.Finished == nil {
		return
	}
	r.Record = record(in.List, in.Run, r)
	if in.List == HookUp && r.Record.Whole {
		s := stillHolds(HookedUp{
			HookedUpAt: *in.Run.Finished, TestedAt: testedAt(in.List, in.Run, r.Steps), Place: in.Run.Place, Changes: r.Changes,
		}, in.Now, nil, nil)
		r.HookedUp = &s
	}
}

// next is the step to do next: what must be touched again, else the first that
// is not done.
func next(stands []*Stand) string {
	for _, left := range [][]State{{TouchAgain}, {Open, Blocked, Disagree}} {
		for i := range stands {
			if slices.Contains(left, stands[i].State) {
				return stands[i].Step.ID
			}
		}
	}
	return ""
}

func progress(stands []*Stand) []Progress {
	all := []Progress{}
	for _, p := range Place("").Values() {
		at := Progress{Place: Place(p)}
		for i := range stands {
			if st := stands[i]; st.Step.Place == at.Place && st.State != NotNeeded {
				at.Steps++
				if st.State == Done {
					at.Done++
				}
			}
		}
		if at.Steps > 0 {
			all = append(all, at)
		}
	}
	return all
}

// changed is what the steps that anybody ticked have changed at the rig.
func changed(stands []*Stand) Changes {
	of := map[string]*Stand{}
	steps := make([]Step, len(stands))
	for i := range stands {
		steps[i] = stands[i].Step
		of[steps[i].ID] = stands[i]
	}
	m := changesOf(steps,
		func(s Step) bool { return len(of[s.ID].Done) > 0 },
		func(s Step) bool { st := of[s.ID].State; return st == Done || st == TouchAgain })
	if len(m) == 0 {
		return nil
	}
	return m
}

// aPause is how long nobody ticks anything before it looks like a break.
const aPause = 15 * 60_000

func (n *notes) run(in *RunInput, r *RunReport) {
	left := 0
	for _, st := range r.Steps {
		if st.State != Done && st.State != NotNeeded {
			left++
		}
		if st.Counting != nil && st.Counting.Result == CountOver {
			n.aside("count_over", finding.Mind, finding.Params{
				"step": wordsOf(st.Step.Do), "counted": whole(st.Counting.Counted), "wanted": whole(*st.Counting.Wanted)})
		}
		for _, j := range st.Readings {
			if j.Verdict != finding.OK {
				st.Step.Reading.outside(n, j.Taken, j.Verdict)
			}
		}
	}
	switch {
	case len(r.Steps) == 0:
	case left == 0:
		n.add("all_done", finding.OK, finding.Params{"n": whole(len(r.Steps))}).
			Basis = []finding.Basis{{Kind: finding.Measured, Reference: "what was ticked, counted and read"}}
	case in.Run.Finished != nil:
		n.add("finished_open", finding.FindOut, finding.Params{"n": whole(left)})
	default:
		n.add("steps_left", finding.FindOut, finding.Params{"n": whole(left)})
	}
	n.breaks(in, r)
	n.repairs(in.Run)
	n.settlements(r.Steps)
}

// breaks are about interruptions, and about ticks that no step takes.
func (n *notes) breaks(in *RunInput, r *RunReport) {
	if r.Asks != nil {
		n.add("did_you_leave", finding.FindOut, nil)
	}
	if in.List == HookUp && len(in.Run.Ticks) > 0 && wasLeft(in.Run) {
		n.aside("restart_offered", finding.Mind, nil)
	}
	if newest := in.Run.newest(); in.Now != nil && in.Run.Finished == nil && newest > 0 && *in.Now-newest >= aPause {
		n.aside("paused", finding.Mind, finding.Params{"minutes": finding.Num(float64((*in.Now-newest)/60_000), "min")})
	}
	if k := strays(in.Run.Ticks, r.Steps); k > 0 {
		n.aside("ticks_elsewhere", finding.Mind, finding.Params{"n": whole(k)})
	}
}

func wasLeft(r *Run) bool {
	for _, b := range r.Breaks {
		if !rig.Is(b.Left, false) {
			return true
		}
	}
	return false
}

// newest is the last moment that the run knows of, 0 if none.
func (r *Run) newest() Moment {
	var last Moment
	take := func(m *Moment) {
		if m != nil {
			last = max(last, *m)
		}
	}
	take(r.Started)
	for _, ticks := range r.Ticks {
		for _, t := range ticks {
			take(t.At)
		}
	}
	for _, b := range r.Breaks {
		take(b.LeftAt)
		take(b.BackAt)
	}
	return last
}

// strays counts the ticked steps that are not in the list, because the rig was
// changed or another version made the list.
func strays(ticks map[string]map[string]Tick, stands []*Stand) int {
	n := len(ticks)
	for i := range stands {
		if _, there := ticks[stands[i].Step.ID]; there {
			n--
		}
	}
	return n
}
