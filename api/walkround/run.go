package walkround

import (
	"strings"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Moment is a time in milliseconds of the Unix epoch, as a device knew it. The
// core has no clock: every moment is handed in.
type Moment int64

// firstMoment and lastMoment bound a Moment: the years 1970 to 2199.
const (
	firstMoment Moment = 1
	lastMoment  Moment = 7_258_118_400_000
)

func checkMoment(c rig.Checker, name string, m *Moment) {
	if m != nil && (*m < firstMoment || *m > lastMoment) {
		c.In(name).Bad("%d is not possible here, want %d to %d milliseconds of the Unix epoch", int64(*m), int64(firstMoment), int64(lastMoment))
	}
}

func requireMoment(c rig.Checker, name string, m Moment) {
	if m == 0 {
		c.In(name).Bad("missing")
		return
	}
	checkMoment(c, name, &m)
}

// Run is what people ticked and saw while they worked through a list. It is a
// document that several phones edit at once: every device writes under its own
// paths, so nothing that anyone ticked is lost.
type Run struct {
	Started  *Moment `json:"started,omitzero"`
	Finished *Moment `json:"finished,omitzero"`
	Place    string  `json:"place,omitzero"`
	// EngineRun and OutOfSight are about a roadside check: whether the engine of
	// the car is run at this halt, and whether the rig was out of sight. Absent is
	// not answered, and then the part is needed.
	EngineRun  *bool `json:"engine_run,omitzero"`
	OutOfSight *bool `json:"out_of_sight,omitzero"`
	// Driven is how far the rig had come since it was hooked up, of a roadside check.
	Driven *unit.Length `json:"driven,omitzero"`
	// Ticks are by step id, then by device.
	Ticks map[string]map[string]Tick `json:"ticks,omitzero"`
	// Breaks are the interruptions, by id.
	Breaks map[string]Break `json:"breaks,omitzero"`
	// Repairs are what was repaired meanwhile, by id.
	Repairs map[string]Repair `json:"repairs,omitzero"`
	// Settled are answers to a device's "not done", by step id, then by that
	// device, then by the device that answers.
	Settled map[string]map[string]map[string]Settlement `json:"settled,omitzero"`
}

// Tick is what one device says of one step.
type Tick struct {
	// Done is absent while the device has said neither.
	Done *bool   `json:"done,omitzero"`
	At   *Moment `json:"at,omitzero"`
	// Count is what was counted, Reading what was read.
	Count   *int  `json:"count,omitzero"`
	Reading Taken `json:"reading,omitzero"`
	// Note is in the person's own words; it may stand for a photo that cannot be
	// taken. Photo is the id of a photo, which itself stays on the phone.
	Note  string `json:"note,omitzero"`
	Photo string `json:"photo,omitzero"`
	// Test is the id of the test record that shows what was seen at the step. A
	// record of another day proves the wiring and ticks nothing.
	Test string `json:"test,omitzero"`
}

// Break is one interruption of a run.
type Break struct {
	LeftAt *Moment `json:"left_at,omitzero"`
	BackAt *Moment `json:"back_at,omitzero"`
	// Left answers "did you leave it?". Absent is not answered, and then counts as
	// left.
	Left *bool `json:"left,omitzero"`
	// Again are the holding items touched since, by step id, then by device. A
	// device that ticks a holding item for the first time after the break says so
	// here as well: no comparison of clocks decides what came first.
	Again map[string]map[string]Touch `json:"again,omitzero"`
}

// Touch is what one device says of one holding item after a break.
type Touch struct {
	Done *bool   `json:"done,omitzero"`
	At   *Moment `json:"at,omitzero"`
}

// Bounds of a run.
const (
	maxSteps   = 256
	maxDevices = 16
	maxBreaks  = 64
	maxRepairs = 64
	maxMiles   = 20_000
)

func (r Run) check(c rig.Checker) {
	checkMoment(c, "started", r.Started)
	checkMoment(c, "finished", r.Finished)
	c.Text("place", r.Place, 200)
	checkSteps(c.In("ticks"), r.Ticks, func(c rig.Checker, ticks map[string]Tick) {
		checkKeys(c, ticks, maxDevices, rig.PlainKey, plainKeyWords, Tick.check)
	})
	checkKeys(c.In("breaks"), r.Breaks, maxBreaks, rig.PlainKey, plainKeyWords, Break.check)
	c.Distance("driven", r.Driven, maxMiles)
	checkKeys(c.In("repairs"), r.Repairs, maxRepairs, rig.PlainKey, plainKeyWords, Repair.check)
	checkSteps(c.In("settled"), r.Settled, func(c rig.Checker, devices map[string]map[string]Settlement) {
		checkKeys(c, devices, maxDevices, rig.PlainKey, plainKeyWords, func(answers map[string]Settlement, c rig.Checker) {
			checkKeys(c, answers, maxDevices, rig.PlainKey, plainKeyWords, Settlement.check)
		})
	})
}

func (t Tick) check(c rig.Checker) {
	checkMoment(c, "at", t.At)
	c.Count("count", t.Count, 0, 200)
	t.Reading.check(c.In("reading"))
	c.Text("note", t.Note, 600)
	c.Text("photo", t.Photo, 64)
	c.Text("test", t.Test, 64)
}

func (b Break) check(c rig.Checker) {
	checkMoment(c, "left_at", b.LeftAt)
	checkMoment(c, "back_at", b.BackAt)
	checkTouches(c.In("again"), b.Again)
}

func checkTouches(c rig.Checker, again map[string]map[string]Touch) {
	checkSteps(c, again, func(c rig.Checker, touches map[string]Touch) {
		checkKeys(c, touches, maxDevices, rig.PlainKey, plainKeyWords, func(t Touch, c rig.Checker) { checkMoment(c, "at", t.At) })
	})
}

const (
	plainKeyWords = "a key is 1 to 64 of a-z, A-Z, 0-9, _ and -"
	stepKeyWords  = "a step's id is 1 to 64 of a-z, A-Z, 0-9, _ and -, after \"manual.\", \"undo.\" or \"again.\" where it is of these"
)

// checkSteps checks a map by step id.
func checkSteps[V any](c rig.Checker, m map[string]V, each func(rig.Checker, V)) {
	checkKeys(c, m, maxSteps, stepKey, stepKeyWords, func(v V, c rig.Checker) { each(c, v) })
}

func checkKeys[V any](c rig.Checker, m map[string]V, most int, plain func(string) bool, want string, each func(V, rig.Checker)) {
	if len(m) > most {
		c.Bad("%d entries, at most %d", len(m), most)
		return
	}
	for _, key := range rig.Keys(m) {
		if !plain(key) {
			c.In(key).Bad("%s", want)
			continue
		}
		each(m[key], c.In(key))
	}
}

// stepKey reports whether a key can be the id of a step.
func stepKey(key string) bool {
	key, manual := strings.CutPrefix(key, manualPrefix)
	if !manual {
		key = strings.TrimPrefix(strings.TrimPrefix(key, undoPrefix), againPrefix)
	}
	return rig.PlainKey(key)
}

// RunInput is the input of walkround/run.
type RunInput struct {
	Rig  *rig.Rig `json:"rig"`
	List List     `json:"list"`
	Run  *Run     `json:"run"`
	// Changes are what the recorded hook-up changed, for an unhook list. Without
	// them the list takes back what the hook-up list of this rig changes.
	Changes Changes `json:"changes,omitzero"`
	// Now is the time at which the question is asked. Without it nothing is said
	// about how long ago anything was.
	Now *Moment `json:"now,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in RunInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	if in.List == "" {
		c.In("list").Bad("missing")
	}
	rig.Choice(c, "list", in.List)
	if in.Run == nil {
		c.In("run").Bad("missing")
	} else {
		in.Run.check(c.In("run"))
	}
	in.Changes.check(c, "changes")
	checkMoment(c, "now", in.Now)
	return c.Err()
}
