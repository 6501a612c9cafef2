package breakaway

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// HoldInput is the input of breakaway/hold.
type HoldInput struct {
	Kit *rig.Breakaway `json:"kit"`
	// Coldest is the coldest air the kit's battery meets on the trip.
	Coldest *unit.Temperature `json:"coldest,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in HoldInput) Validate() *finding.Error {
	c := rig.NewChecker()
	if in.Kit == nil {
		c.In("kit").Bad("missing")
	} else {
		in.Kit.Check(c.In("kit"))
	}
	c.Temperature("coldest", in.Coldest)
	return c.Err()
}

// Minutes is a band of minutes: the truth lies between the two.
type Minutes struct {
	LowMin  float64 `json:"low_min"`
	HighMin float64 `json:"high_min"`
}

// AmpereHours is a band of rated ampere-hours.
type AmpereHours struct {
	LowAh  float64 `json:"low_ah"`
	HighAh float64 `json:"high_ah"`
}

// HoldReport is the answer of breakaway/hold.
type HoldReport struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Hold is how long the brakes stay on, absent where a figure is missing.
	Hold *Minutes `json:"hold,omitzero"`
	// Least is the rating, at the same hour rate, of the smallest new and full
	// battery that holds 15 minutes.
	Least *AmpereHours `json:"least,omitzero"`
}

// Hold computes how long the kit's battery keeps the brakes on.
func Hold(in HoldInput) HoldReport {
	return HoldReport{Verdict: finding.FindOut, Findings: []finding.Finding{}}
}

// Band returns the least and the most minutes that the kit's battery holds the
// brakes at the coldest temperature; ok is false where a figure is missing.
func Band(kit rig.Breakaway, coldest *unit.Temperature) (low, high float64, ok bool) {
	return 0, 0, false
}
