package rig

import "pintail/api/unit"

// Measurement marks an entry of the rig as measured on the vehicle. It repeats
// what was measured: the mark holds while the entry says that, and is void once
// somebody enters something else.
type Measurement struct {
	// Field is a JSON Pointer into the rig.
	Field string `json:"field"`
	// One of the three. Number is in the entry's own unit, a length in feet.
	Number *float64 `json:"number,omitzero"`
	Word   string   `json:"word,omitzero"`
	Yes    *bool    `json:"yes,omitzero"`
	// On is the day of the survey, Record the id of its test record.
	On     unit.Date `json:"on,omitzero"`
	Record string    `json:"record,omitzero"`
}

// greatestMeasured bounds every figure of a circuit.
const greatestMeasured = 1e6

func (m Measurement) check(c Checker) {
	if m.Field == "" {
		c.In("field").Bad("missing")
	}
	c.Text("field", m.Field, 200)
	c.Number("number", m.Number, -greatestMeasured, greatestMeasured)
	c.Text("word", m.Word, 200)
	c.Date("on", m.On)
	c.Text("record", m.Record, 64)
}

// Says reports whether the measurement is of this entry and says the same: a
// figure or a word, which is yes or no for an answer.
func (m Measurement) Says(field string, number *float64, word string) bool {
	switch {
	case m.Field != field:
		return false
	case m.Number != nil:
		return number != nil && unit.Round9(*m.Number) == unit.Round9(*number)
	case m.Yes != nil:
		return *m.Yes && word == "yes" || !*m.Yes && word == "no"
	}
	return m.Word != "" && m.Word == word
}
