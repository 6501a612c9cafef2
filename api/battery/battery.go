// Package battery judges what towing asks of the towed car's battery.
package battery

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Report is the answer of battery/check.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
}

// Check judges the towed car's battery.
func Check(in rig.Input) Report {
	return Report{Verdict: finding.OK, Findings: []finding.Finding{}}
}
