// Package brakes judges the supplemental brake of the towed car: what on the
// rig contradicts it. It selects no brake and knows no law.
package brakes

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Report is the answer of brakes/check.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
}

// Check judges a rig's supplemental brake.
func Check(in rig.Input) Report {
	return Report{Verdict: finding.OK, Findings: []finding.Finding{}}
}
