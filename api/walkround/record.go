package walkround

import (
	"slices"
	"strings"

	"pintail/api/brakes"
	"pintail/api/finding"
	"pintail/api/rig"
)

// Record is what a finished run leaves: what was done, when, where and by which
// devices, what was counted and read, and what was left open.
type Record struct {
	List     List    `json:"list"`
	Started  *Moment `json:"started,omitzero"`
	Finished *Moment `json:"finished,omitzero"`
	Place    string  `json:"place,omitzero"`
	// Devices are all that ticked anything.
	Devices  []string  `json:"devices"`
	Done     int       `json:"done"`
	Steps    int       `json:"steps"`
	Counts   []Count   `json:"counts"`
	Readings []Read    `json:"readings"`
	Notes    []Noted   `json:"notes"`
	Open     []LeftOut `json:"open"`
	// SetUp are the set-up tests of a list of them, by the ids of brakes/choice:
	// true where passed, false where somebody took that back. Those left alone are
	// absent.
	SetUp map[string]bool `json:"set_up,omitzero"`
	// Whole is true where nothing was left open.
	Whole bool `json:"whole"`
}

// Count is what was counted at a step.
type Count struct {
	Step     string   `json:"step"`
	Counting Counting `json:"counting"`
}

// Read is what a device read at a step.
type Read struct {
	Step   string `json:"step"`
	Judged Judged `json:"judged"`
}

// Noted is what a person wrote or photographed at a step, or the test on record
// that shows it.
type Noted struct {
	Step   string `json:"step"`
	Device string `json:"device"`
	Note   string `json:"note,omitzero"`
	Photo  string `json:"photo,omitzero"`
	Test   string `json:"test,omitzero"`
}

// LeftOut is a step that a finished run left open.
type LeftOut struct {
	Step  string       `json:"step"`
	State State        `json:"state"`
	Do    finding.Text `json:"do"`
}

func record(l List, run *Run, r *RunReport) *Record {
	rec := Record{
		List: l, Started: run.Started, Finished: run.Finished, Place: run.Place, Devices: devices(run), Whole: r.MayFinish,
		Counts: []Count{}, Readings: []Read{}, Notes: []Noted{}, Open: []LeftOut{},
	}
	for i := range r.Steps {
		rec.take(r.Steps[i], run.Ticks[r.Steps[i].Step.ID])
	}
	return &rec
}

// take adds one step to the record.
func (rec *Record) take(st *Stand, ticks map[string]Tick) {
	id := st.Step.ID
	switch st.State {
	case NotNeeded:
		return
	case Done:
		rec.Done++
	default:
		rec.Open = append(rec.Open, LeftOut{Step: id, State: st.State, Do: st.Step.Do})
	}
	rec.Steps++
	rec.test(st, ticks)
	if st.Counting != nil {
		rec.Counts = append(rec.Counts, Count{Step: id, Counting: *st.Counting})
	}
	for _, j := range st.Readings {
		rec.Readings = append(rec.Readings, Read{Step: id, Judged: j})
	}
	for _, device := range rig.Keys(ticks) {
		if t := ticks[device]; t.Note != "" || t.Photo != "" || t.Test != "" {
			rec.Notes = append(rec.Notes, Noted{Step: id, Device: device, Note: t.Note, Photo: t.Photo, Test: t.Test})
		}
	}
}

// test keeps what a step says of a set-up test.
func (rec *Record) test(st *Stand, ticks map[string]Tick) {
	id := strings.TrimSuffix(st.Step.ID, "_interrupted")
	if rec.List != SetUp || !brakes.IsSetUpTest(id) || st.State != Done && len(ticks) == 0 {
		return
	}
	if rec.SetUp == nil {
		rec.SetUp = map[string]bool{}
	}
	rec.SetUp[id] = st.State == Done
}

func devices(run *Run) []string {
	all := []string{}
	for _, ticks := range run.Ticks {
		for device := range ticks {
			all = append(all, device)
		}
	}
	for _, b := range run.Breaks {
		for _, touches := range b.Again {
			for device := range touches {
				all = append(all, device)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// testedAt is the newest stamp of the steps that prove lamps and brakes, nil
// where one of them has no stamp.
func testedAt(l List, run *Run, stands []*Stand) *Moment {
	var last Moment
	for i := range stands {
		st := stands[i]
		if e, _ := entryOf(l, st.Step.ID); !e.Proves || st.State == NotNeeded {
			continue
		}
		var at Moment
		for _, t := range run.Ticks[st.Step.ID] {
			if t.At != nil {
				at = max(at, *t.At)
			}
		}
		if at == 0 {
			return nil
		}
		last = max(last, at)
	}
	if last == 0 {
		return nil
	}
	return &last
}

// happenedIn is what a run means for an earlier hook-up. A halt with an engine
// run, or out of sight, ends it from the start of the check until the check is
// whole; unhooking ends it with the first thing taken back.
func happenedIn(l List, run *Run, r *RunReport) map[string]Happening {
	h := map[string]Happening{}
	switch l {
	case Unhook:
		if slices.ContainsFunc(r.Steps, func(st *Stand) bool { return st.Step.Undoes != nil && len(st.Done) > 0 }) {
			h[string(Unhooked)] = Happening{What: Unhooked, At: run.Started}
		}
	case StopCheck:
		if len(run.Repairs) > 0 {
			h[string(Repaired)] = Happening{What: Repaired, At: run.Started}
		}
		if rig.Is(run.EngineRun, true) {
			h[string(EngineRan)] = Happening{What: EngineRan, At: run.Started}
		}
		if rig.Is(run.OutOfSight, true) {
			h[string(OutOfSight)] = Happening{What: OutOfSight, At: run.Started}
		}
		if run.Finished != nil && r.MayFinish {
			h[string(Checked)] = checked(run, r)
		}
	}
	if len(h) == 0 {
		return nil
	}
	return h
}

// checked is a whole roadside check as something that happened.
func checked(run *Run, r *RunReport) Happening {
	h := Happening{What: Checked, At: run.Finished, Driven: run.Driven}
	yes := true
	for i := range r.Steps {
		if r.Steps[i].State != Done {
			continue
		}
		switch r.Steps[i].Step.Part {
		case EngineRunPart:
			h.EngineRun = &yes
		case OutOfSightPart:
			h.WholeRound = &yes
		}
	}
	return h
}
