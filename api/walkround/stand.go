package walkround

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
)

// State is where a step stands.
type State string

// The states.
const (
	Open       State = "open"        // not done, and may be done now
	Blocked    State = "blocked"     // dangerous, and something must come first; a tick on it does not count
	Done       State = "done"        // every device that spoke of it says done, or was answered, with the proof it asks for
	Disagree   State = "disagree"    // one device says done, another not: not done
	TouchAgain State = "touch_again" // done, and the rig was left or repaired since
	NotNeeded  State = "not_needed"  // belongs to a part that this halt does not need
)

// Values lists the states.
func (State) Values() []string {
	return []string{"open", "blocked", "done", "disagree", "touch_again", "not_needed"}
}

// Reached says how a count compares with the parts of the rig.
type Reached string

// How counts compare.
const (
	CountReached Reached = "reached"
	CountShort   Reached = "short"
	CountOver    Reached = "over"
	CountUnknown Reached = "unknown" // the rig's parts are not counted yet
)

// Values lists how counts compare.
func (Reached) Values() []string { return []string{"reached", "short", "over", "unknown"} }

// Counting is a count beside the number it must reach.
type Counting struct {
	// Counted is the least that any device counted.
	Counted int     `json:"counted"`
	Wanted  *int    `json:"wanted,omitzero"`
	Result  Reached `json:"result"`
}

// Judged is one device's reading, judged.
type Judged struct {
	Device  string          `json:"device"`
	Taken   Taken           `json:"taken"`
	Verdict finding.Verdict `json:"verdict"`
}

// Stand is one step of a run and where it stands.
type Stand struct {
	Step  Step  `json:"step"`
	State State `json:"state"`
	// Done and NotDone are the devices that say so.
	Done    []string `json:"done,omitzero"`
	NotDone []string `json:"not_done,omitzero"`
	// Settled are those of NotDone that another device answered.
	Settled []Settled `json:"settled,omitzero"`
	// WaitsFor are the ids of the steps that must come first, of a blocked step.
	WaitsFor []string `json:"waits_for,omitzero"`
	// Because says why a step is not done, where there is more to say than that
	// nobody has done it.
	Because *finding.Text `json:"because,omitzero"`
	// Wants is the proof that is still missing.
	Wants    Proof     `json:"wants,omitzero"`
	Counting *Counting `json:"counting,omitzero"`
	Readings []Judged  `json:"readings,omitzero"`
}

// standing judges a run step by step. No comparison of clocks decides anything,
// so that any order in which ticks arrive gives the same answer.
type standing struct {
	list   List
	run    *Run
	stands []*Stand
	index  map[string]int
	// before[i][k] is true where step k must be done before step i, directly or
	// through others.
	before [][]bool
	// done[i] is true where the step counts as done, breaks left aside.
	done []bool
}

// stand judges every step of the list.
func stand(l List, steps []Step, run *Run) []*Stand {
	s := standing{list: l, run: run, index: map[string]int{}}
	for i, step := range steps {
		s.index[step.ID] = i
		s.stands = append(s.stands, &Stand{Step: step})
	}
	s.findBefore()
	s.judgeTicks()
	s.judgeBreaks()
	s.judgeRepairs()
	for i := range s.stands {
		s.settle(i)
	}
	return s.stands
}

// findBefore follows the order through every step: the list is in working order.
func (s *standing) findBefore() {
	n := len(s.stands)
	for i := range s.stands {
		before := make([]bool, n)
		for _, id := range s.stands[i].Step.After {
			k, there := s.index[id]
			if !there {
				continue
			}
			before[k] = true
			for j, b := range s.before[k] {
				before[j] = before[j] || b
			}
		}
		s.before = append(s.before, before)
	}
}

// judgeTicks finds what the ticks alone say. A dangerous step whose predecessors
// are not all done is not done, whoever ticked it.
func (s *standing) judgeTicks() {
	s.done = make([]bool, len(s.stands))
	for i := range s.stands {
		st := s.stands[i]
		if !s.needed(st.Step) {
			st.State = NotNeeded
			continue
		}
		ticks := s.run.Ticks[st.Step.ID]
		for _, device := range rig.Keys(ticks) {
			switch t := ticks[device]; {
			case rig.Is(t.Done, true):
				st.Done = append(st.Done, device)
			case rig.Is(t.Done, false):
				st.NotDone = append(st.NotDone, device)
				if answer, settled := s.run.settled(st.Step.ID, device); settled {
					st.Settled = append(st.Settled, answer)
				}
			}
		}
		st.judgeProof(ticks)
		s.done[i] = len(st.Done) > 0 && len(st.NotDone) == len(st.Settled) && st.Wants == "" && !(st.dangerous() && s.waitsFor(i) != nil)
	}
}

func (st *Stand) dangerous() bool { return st.Step.Hazard != nil }

// needed reports whether the step belongs to this halt. The whole round follows
// an engine run and a repair as well.
func (s *standing) needed(step Step) bool {
	noRun := rig.Is(s.run.EngineRun, false)
	switch step.Part {
	case EngineRunPart:
		return !noRun
	case OutOfSightPart:
		return !rig.Is(s.run.OutOfSight, false) || !noRun && s.hasPart(EngineRunPart) || len(s.run.Repairs) > 0
	}
	return true
}

func (s *standing) hasPart(p Part) bool {
	return slices.ContainsFunc(s.stands, func(st *Stand) bool { return st.Step.Part == p })
}

// judgeProof looks at counts, readings and photos, and says what is missing.
func (st *Stand) judgeProof(ticks map[string]Tick) {
	shown := false
	for _, device := range rig.Keys(ticks) {
		t := ticks[device]
		shown = shown || t.Photo != "" || t.Note != ""
		st.count(t.Count)
		if v, asked := st.Step.Reading.judge(t.Reading); asked {
			st.Readings = append(st.Readings, Judged{Device: device, Taken: t.Reading, Verdict: v})
		}
	}
	switch st.Step.Hold {
	case Counted:
		if st.Counting == nil || st.Counting.Result == CountShort {
			st.Wants = Counted
		}
	case Reading:
		if st.Readings == nil {
			st.Wants = Reading
		}
	case Photo:
		if !shown {
			st.Wants = Photo
		}
	}
}

// count takes in one device's count: the least that anyone counted stands.
func (st *Stand) count(n *int) {
	if n == nil || st.Step.Hold != Counted {
		return
	}
	k := st.Counting
	if k == nil {
		k = &Counting{Counted: *n, Wanted: st.Step.Count}
		st.Counting = k
	}
	k.Counted = min(k.Counted, *n)
	switch {
	case k.Wanted == nil:
		k.Result = CountUnknown
	case k.Counted < *k.Wanted:
		k.Result = CountShort
	case k.Counted > *k.Wanted:
		k.Result = CountOver
	default:
		k.Result = CountReached
	}
}

// waitsFor are the steps before step i that are not done, in working order.
func (s *standing) waitsFor(i int) []string {
	var ids []string
	for k, before := range s.before[i] {
		if st := s.stands[k]; before && (!s.done[k] && st.State != NotNeeded || st.State == TouchAgain) {
			ids = append(ids, st.Step.ID)
		}
	}
	return ids
}

// judgeBreaks asks for the holding items again: those that are done, not over,
// and not touched since every break in which the rig was left.
func (s *standing) judgeBreaks() {
	var again []int
	for i := range s.stands {
		st := s.stands[i]
		if !s.done[i] || !st.Step.Holding || s.over(st.Step) {
			continue
		}
		for _, id := range rig.Keys(s.run.Breaks) {
			if b := s.run.Breaks[id]; !rig.Is(b.Left, false) && !touched(b.Again[st.Step.ID]) {
				again = append(again, i)
				break
			}
		}
	}
	for _, i := range again {
		s.stands[i].State = TouchAgain
	}
}

// over reports whether a step that ends this one's holding is done.
func (s *standing) over(step Step) bool {
	e, _ := entryOf(s.list, step.ID)
	for i := range s.stands {
		if s.done[i] && e.endedBy(s.stands[i].Step) {
			return true
		}
	}
	return false
}

// touched reports whether every device that spoke says so, and one did.
func touched(by map[string]Touch) bool {
	yes := false
	for _, t := range by {
		if rig.Is(t.Done, false) {
			return false
		}
		yes = yes || rig.Is(t.Done, true)
	}
	return yes
}

// settle gives step i its state and says why.
func (s *standing) settle(i int) {
	st := s.stands[i]
	switch {
	case st.State == NotNeeded:
		st.Because = finding.Advise("walkround.not_at_this_halt", nil)
	case st.State == TouchAgain && st.Because == nil:
		st.Because = finding.Advise("walkround.touch_again", nil)
	case st.State == TouchAgain:
	case s.done[i]:
		st.State = Done
	default:
		s.settleOpen(i)
	}
}

func (s *standing) settleOpen(i int) {
	st := s.stands[i]
	if st.dangerous() {
		st.WaitsFor = s.waitsFor(i)
	}
	switch {
	case st.WaitsFor != nil:
		st.State = Blocked
		st.Because = s.whyBlocked(st)
	case len(st.Done) > 0 && len(st.NotDone) > len(st.Settled):
		st.State = Disagree
		st.Because = finding.Advise("walkround.disagree", finding.Params{"done": whole(len(st.Done)), "not_done": whole(len(st.NotDone) - len(st.Settled))})
	default:
		st.State = Open
		st.Because = st.whyOpen()
	}
}

// whyBlocked names the first step to do, and the danger.
func (s *standing) whyBlocked(st *Stand) *finding.Text {
	first := s.stands[s.index[st.WaitsFor[0]]].Step
	params := finding.Params{"first": wordsOf(first.Do), "hazard": wordsOf(*st.Step.Hazard), "more": whole(len(st.WaitsFor) - 1)}
	if len(st.WaitsFor) == 1 {
		return finding.Advise("walkround.blocked_by_one", params)
	}
	return finding.Advise("walkround.blocked", params)
}

// wordsOf is a sentence as a parameter of another: by its id where it has no
// parameters of its own.
func wordsOf(t finding.Text) finding.Param {
	if t.Params == nil {
		return finding.Word(t.ID)
	}
	return finding.Plain(t.Sentence)
}

// whyOpen says which proof is missing from a step that somebody began.
func (st *Stand) whyOpen() *finding.Text {
	switch {
	case st.Counting != nil && st.Counting.Result == CountShort:
		return finding.Advise("walkround.count_short", finding.Params{"counted": whole(st.Counting.Counted), "wanted": whole(*st.Counting.Wanted)})
	case len(st.Done) == 0:
		return nil
	case st.Wants == Counted:
		return finding.Advise("walkround.wants_count", nil)
	case st.Wants == Reading:
		return finding.Advise("walkround.wants_reading", nil)
	case st.Wants == Photo:
		return finding.Advise("walkround.wants_photo", nil)
	}
	return nil
}
