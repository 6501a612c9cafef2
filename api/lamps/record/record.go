// Package record is the test record: what somebody saw or measured at the lamps
// of a rig, when, and on which entries of the rig it hangs. When one of those
// changes the record no longer stands, and the change can be named.
package record

import (
	"time"

	"pintail/api/lamps/lighttest"
	"pintail/api/lamps/survey"
	"pintail/api/lamps/trace"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// Kind is what was tested.
type Kind string

// The kinds. A socket survey belongs to the motorhome, a lamp survey to the car,
// a bench test to the car and its harness, a light test to the pair.
const (
	LightTest    Kind = "light_test"
	Bench        Kind = "bench"
	SocketSurvey Kind = "socket_survey"
	LampSurvey   Kind = "lamp_survey"
)

// Values lists the kinds.
func (Kind) Values() []string {
	return []string{"light_test", "bench", "socket_survey", "lamp_survey"}
}

// Result is what a test came to.
type Result string

// The results.
const (
	Passed Result = "passed" // everything asked for was seen, and as it should be
	Wrong  Result = "wrong"  // something was not as it should be
	Open   Result = "open"   // nothing wrong was seen, but not everything was seen for sure
)

// Values lists the results.
func (Result) Values() []string { return []string{"passed", "wrong", "open"} }

// Record is one test as it is kept.
type Record struct {
	Name string `json:"name,omitzero"`
	Kind Kind   `json:"kind"`
	// Rig is the id of the rig's document.
	Rig string `json:"rig,omitzero"`
	// At is when the test ended: RFC 3339 with the offset of the place, so that it
	// has a calendar day.
	At    string `json:"at"`
	Place string `json:"place,omitzero"`
	// Watcher is who looked or measured, as a role: owner, fitter.
	Watcher        string       `json:"watcher,omitzero"`
	By             lighttest.By `json:"by,omitzero"`
	Note           string       `json:"note,omitzero"`
	trace.Evidence `json:",inline"`
	// Bench is what the source and the voltmeter showed on the bench.
	Bench *BenchSeen `json:"bench,omitzero"`
	// Socket and Car are what a survey measured, Gives the entries of the rig that
	// follow from it.
	Socket *survey.Socket `json:"socket,omitzero"`
	Car    *survey.Car    `json:"car,omitzero"`
	Gives  []wiring.Value `json:"gives,omitzero"`
	// Result is absent where nobody judged the test. NotShown are the lamps that
	// were not as they should be, by their ids, and pins of the bench.
	Result   Result   `json:"result,omitzero"`
	NotShown []string `json:"not_shown,omitzero"`
	// HangsOn are the entries of the rig that the test hangs on, as they stood.
	HangsOn []wiring.Value `json:"hangs_on,omitzero"`
}

// The most entries of each list of a record.
const (
	maxNotShown = 60
	maxHangsOn  = 200
)

// greatest bounds every figure of a rig.
const greatest = 1e6

// Check records everything in the record that is not possible in any rig.
func (r *Record) Check(c rig.Checker) {
	c.Text("name", r.Name, 120)
	rig.Needed(c, "kind", r.Kind)
	c.Text("rig", r.Rig, 64)
	checkTime(c.In("at"), r.At)
	c.Text("place", r.Place, 200)
	c.Text("watcher", r.Watcher, 80)
	rig.Choice(c, "by", r.By)
	c.Text("note", r.Note, 2000)
	r.Evidence.Check(c)
	if r.Bench != nil {
		r.Bench.check(c.In("bench"))
	}
	if r.Socket != nil {
		r.Socket.Check(c.In("socket"))
	}
	if r.Car != nil {
		r.Car.Check(c.In("car"))
	}
	within(c.In("gives"), r.Gives, maxHangsOn, checkValue)
	rig.Choice(c, "result", r.Result)
	within(c.In("not_shown"), r.NotShown, maxNotShown, func(id string, c rig.Checker) { checkID(c, id) })
	within(c.In("hangs_on"), r.HangsOn, maxHangsOn, checkValue)
}

func checkValue(v wiring.Value, c rig.Checker) {
	if v.Field == "" {
		c.In("field").Bad("missing")
	}
	c.Text("field", v.Field, 200)
	rig.Needed(c, "how", v.How)
	c.Text("word", v.Word, 200)
	c.Text("unit", v.Unit, 10)
	c.Number("number", v.Number, -greatest, greatest)
	c.Number("low", v.Low, -greatest, greatest)
	c.Number("high", v.High, -greatest, greatest)
}

func within[T any](c rig.Checker, list []T, most int, check func(T, rig.Checker)) {
	if len(list) > most {
		c.Bad("%d entries, at most %d", len(list), most)
		return
	}
	for i := range list {
		check(list[i], c.Index(i))
	}
}

func checkTime(c rig.Checker, at string) {
	if at == "" {
		c.Bad("missing")
		return
	}
	t, err := time.Parse(time.RFC3339, at)
	if err != nil || t.Year() < 1970 || t.Year() > 2199 {
		c.Bad("%q is not a time of the years 1970 to 2199 written as RFC 3339 has it, for example 2026-05-02T08:12:00-06:00", at)
	}
}

// When is when the test ended, by the clock of the device. The record has been
// checked.
func (r *Record) When() time.Time {
	t, _ := time.Parse(time.RFC3339, r.At)
	return t
}

// Day is the calendar day of the test where it was done, YYYY-MM-DD.
func (r *Record) Day() string { return r.When().Format(time.DateOnly) }
