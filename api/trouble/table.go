package trouble

import (
	"embed"
	"slices"
	"sync"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

// entry is one failure as the data file holds it: texts are catalogue ids.
type entry struct {
	ID        string      `json:"id"`
	Halt      Halt        `json:"halt"`
	Symptoms  []Symptom   `json:"symptoms"`
	Name      string      `json:"name"`
	Signs     string      `json:"signs"`
	Cause     string      `json:"cause"`
	Stand     string      `json:"stand"`
	Do        []string    `json:"do"`
	TestAgain []TestAgain `json:"test_again,omitzero"`
	GoOn      GoOn        `json:"go_on"`
	Condition string      `json:"condition"`
	Never     []string    `json:"never"`
	// When are the conditions that must all hold for the rig.
	When   []condition `json:"when,omitzero"`
	Source string      `json:"source"`
}

// group is one symptom as the data file holds it.
type group struct {
	ID    Symptom `json:"id"`
	Sense Sense   `json:"sense"`
	Says  string  `json:"says"`
}

//go:embed data/*.json
var dataFiles embed.FS

var (
	// table is the failures, most urgent first, parsed once and never changed.
	table = sync.OnceValue(func() []entry { return read[entry]("failures") })
	// symptoms are in the order in which a screen shows them.
	symptoms = sync.OnceValue(func() []group { return read[group]("symptoms") })
)

func read[T any](name string) []T {
	b, err := dataFiles.ReadFile("data/" + name + ".json")
	if err != nil {
		panic(err) // the files are compiled in; a test reads them all
	}
	var all []T
	if err := strictjson.Unmarshal(b, &all); err != nil {
		panic(name + ": " + err.Error())
	}
	return all
}

func (e *entry) failure() *Failure {
	return &Failure{
		ID: e.ID, Symptoms: slices.Clone(e.Symptoms), Halt: e.Halt, GoOn: e.GoOn, TestAgain: slices.Clone(e.TestAgain),
		Name: finding.Say(e.Name, nil), Signs: finding.Say(e.Signs, nil), Cause: finding.Say(e.Cause, nil),
		Stand: finding.Say(e.Stand, nil), Condition: finding.Say(e.Condition, nil), Do: say(e.Do), Never: say(e.Never),
		Basis: []finding.Basis{{Kind: finding.Practice, Reference: e.Source}},
	}
}

func say(ids []string) []finding.Text {
	texts := []finding.Text{}
	for _, id := range ids {
		texts = append(texts, finding.Say(id, nil))
	}
	return texts
}

func groups() []SymptomGroup {
	var all []SymptomGroup
	for _, g := range symptoms() {
		n := 0
		for _, e := range table() {
			if slices.Contains(e.Symptoms, g.ID) {
				n++
			}
		}
		all = append(all, SymptomGroup{Symptom: g.ID, Sense: g.Sense, Says: finding.Say(g.Says, nil), Failures: n})
	}
	return all
}

// condition is a part of the rig without which a failure cannot happen.
type condition string

// The conditions.
const (
	hasBrakeUnit condition = "brake_unit"
	unitOnPedal  condition = "unit_on_pedal"
	sensesMotion condition = "inertia" // motion, or the stop signal, can set it off unasked
	hasBreakaway condition = "breakaway"
	hasConverter condition = "converter"
)

// in says whether the rig has the part, whether that is known, and which field
// would tell.
func (c condition) in(r *rig.Rig) (has, known bool, field string) {
	unit := &r.BrakeUnit
	if c == hasBrakeUnit || (c == unitOnPedal || c == sensesMotion) && !rig.Is(unit.Fitted, true) {
		return answer(unit.Fitted, "/brake_unit/fitted")
	}
	switch c {
	case unitOnPedal:
		return answer(unit.PressesPedal, "/brake_unit/presses_pedal")
	case sensesMotion:
		follows := []rig.Actuation{rig.AirOnPedal, rig.AirBehindBooster, rig.HydraulicSensing} // they brake when the motorhome's pedal does
		return !slices.Contains(follows, unit.Actuation), unit.Actuation != "", "/brake_unit/actuation"
	case hasBreakaway:
		return answer(r.Breakaway.Fitted, "/breakaway/fitted")
	case hasConverter:
		return r.Harness.Converter != rig.NoConverter, r.Harness.Converter != "", "/harness/converter"
	}
	panic("trouble: no condition " + string(c)) // a test tries every one in the data
}

func answer(b *bool, field string) (has, known bool, _ string) {
	return rig.Is(b, true), b != nil, field
}
