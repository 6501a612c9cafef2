// Package survey works out what was measured at a motorhome's socket and at a
// car's lamps: which typical values of the rig it replaces, how the signals are
// made, where the motorhome loses volts and how many ohms that is, what
// contradicts itself, and what is still not known.
//
// A branch is solved from its open voltage and its voltage under a test load:
// (open - loaded) / current. Every figure comes with the band that the meter's
// error leaves; nothing is called a fault that the band allows to be none.
package survey

import (
	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// Input is the input of lamps/survey: a rig, and what was measured of it.
type Input struct {
	Rig    *rig.Rig `json:"rig"`
	Socket *Socket  `json:"socket,omitzero"`
	Car    *Car     `json:"car,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	if in.Socket != nil {
		in.Socket.Check(c.In("socket"))
	}
	if in.Car != nil {
		in.Car.Check(c.In("car"))
	}
	if err := c.Err(); err != nil {
		return err
	}
	if in.Socket != nil {
		in.Socket.CheckAgainst(c.In("socket"), in.Rig.Harness.Connector.Kind)
	}
	return c.Err()
}

// Report is the answer of lamps/survey.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Edits are the entries of the rig that the survey gives.
	Edits []Edit `json:"edits"`
	// Branches are the ways through the motorhome that could be solved, Faults
	// where it loses more than it should.
	Branches []Branch `json:"branches"`
	Faults   []Fault  `json:"faults"`
	// Open are the entries of the rig that a survey could give and this one does
	// not.
	Open []string `json:"open"`
}

// Edit is one entry of the rig as the survey gives it.
type Edit struct {
	// Field is a JSON Pointer into the rig, Key the key under which the rig marks
	// it as measured.
	Field string `json:"field"`
	Key   string `json:"key"`
	// One of the three is what to enter there: a figure, a word, or an answer.
	Number *float64 `json:"number,omitzero"`
	Word   string   `json:"word,omitzero"`
	Yes    *bool    `json:"yes,omitzero"`
	Unit   string   `json:"unit,omitzero"`
	// Low and High bound the figure by the meter's error.
	Low  *float64 `json:"low,omitzero"`
	High *float64 `json:"high,omitzero"`
	// Was is the entry as it is in the rig, recorded or typical.
	Was *wiring.Value `json:"was,omitzero"`
	// Says how it follows from what was measured.
	Says finding.Text `json:"says"`
}

// Make works out a survey.
func Make(in Input) Report {
	w := worker{rig: *in.Rig, report: Report{Findings: []finding.Finding{}, Edits: []Edit{}, Branches: []Branch{}, Faults: []Fault{}, Open: []string{}}}
	w.was, w.left = wiring.Describe(w.rig), map[int]bool{}
	if in.Socket != nil {
		w.socket(in.Socket)
	}
	if in.Car != nil {
		w.car(in.Car)
	}
	if (in.Socket == nil || len(in.Socket.Readings) == 0) && (in.Car == nil || len(in.Car.Wires) == 0) {
		w.find("survey.nothing", finding.FindOut, true, finding.Say("survey.nothing", nil)).Remedy = finding.Advise("survey.nothing.remedy", nil)
	}
	finding.Sort(w.report.Findings)
	w.report.Verdict = finding.Worst(w.report.Findings)
	return w.report
}

// worker is one survey as it is worked out.
type worker struct {
	rig    rig.Rig
	was    wiring.Harness
	report Report
	// set are what the edits do to a rig.
	set []func(*rig.Rig)
	// left are readings that are left out because another says otherwise.
	left map[int]bool
}

var measured = finding.Basis{Kind: finding.Measured, Reference: "the survey"}

func (w *worker) find(id string, v finding.Verdict, decides bool, says finding.Text) *finding.Finding {
	w.report.Findings = append(w.report.Findings, finding.Finding{ID: id, Area: finding.Lamps, Verdict: v, Decides: decides, Says: says, Basis: []finding.Basis{measured}})
	return &w.report.Findings[len(w.report.Findings)-1]
}

// contradiction reports what cannot all be true.
func (w *worker) contradiction(says string, p finding.Params) {
	w.find("survey.contradiction", finding.FindOut, true, finding.Say(says, p)).Remedy = finding.Advise("survey.clash.remedy", nil)
}
