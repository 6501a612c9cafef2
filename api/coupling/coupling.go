// Package coupling judges the permission to tow the car on its four wheels,
// the weights, the chain of parts that carries the pull, the slope of the tow
// bar, and the lengths of cables, lanyard and umbilical.
//
// A rating is compared exactly with the car's actual weight. A breaking
// strength is never compared with a working load. A figure that nobody entered
// is a finding, not a guess.
package coupling

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Report is the answer of coupling/check.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Limits are all the limits on the car's weight, from the motorhome to the
	// car, known or not.
	Limits []Limit `json:"limits"`
	// Governing is the lowest known limit, absent while none is known.
	Governing *Governing `json:"governing,omitzero"`
	// Cables is how the safety cables compare with the car, read both ways.
	Cables *CableReading `json:"cables,omitzero"`
	Slope  *Slope        `json:"slope,omitzero"`
	Lines  *Lines        `json:"lines,omitzero"`
}

// Limit is one limit on the weight of the towed car.
type Limit struct {
	// Name says which limit, in words.
	Name finding.Text `json:"name"`
	// Field is a JSON Pointer into the rig: where the limit was entered or is
	// missing.
	Field string `json:"field"`
	// Allowed is the greatest car weight, absent where it is not known.
	Allowed *unit.Mass `json:"allowed,omitzero"`
	// Margin is Allowed less the car's actual weight; negative is too heavy.
	Margin *unit.Mass `json:"margin,omitzero"`
}

// Governing is the lowest limit and what is left of it.
type Governing struct {
	Limit Limit `json:"limit"`
	// Within is whether the car's actual weight is within the limit, WithReserve
	// whether it is within 90 % of it. Both are absent without an actual weight.
	Within      *bool `json:"within,omitzero"`
	WithReserve *bool `json:"with_reserve,omitzero"`
	// Complete is false while another limit of the chain is not known, so that
	// the true lowest limit may be lower.
	Complete bool `json:"complete"`
}

// Check judges a rig's coupling.
func Check(in rig.Input) Report {
	j := judge{rig: *in.Rig, car: in.Rig.Towed.Actual.Weight}
	j.report.Findings = make([]finding.Finding, 0, 32)
	j.permission()
	j.motorhome()
	j.combination()
	j.chain()
	j.cables()
	j.towedCar()
	j.governing()
	j.slope()
	j.lines()
	finding.Sort(j.report.Findings)
	j.report.Verdict = finding.Worst(j.report.Findings)
	return j.report
}

// judge carries one rig through the questions, in order.
type judge struct {
	rig    rig.Rig
	car    *unit.Mass // the car's actual weight, nil when not known
	report Report
	// limitMissing is whether a limit of the chain is not known.
	limitMissing bool
}

func (j *judge) add(f finding.Finding) {
	if f.Area == "" {
		f.Area = finding.Coupling
	}
	j.report.Findings = append(j.report.Findings, f)
}

// limit records a limit on the car's weight; allowed is nil when not known.
func (j *judge) limit(name finding.Text, field string, allowed *unit.Mass) {
	l := Limit{Name: name, Field: field, Allowed: allowed}
	if allowed == nil {
		j.limitMissing = true
	} else if j.car != nil {
		margin := allowed.Sub(*j.car)
		l.Margin = &margin
	}
	j.report.Limits = append(j.report.Limits, l)
}

// entered is a figure that a person typed.
func entered(label string, m unit.Mass) finding.Figure {
	return finding.Figure{Label: label, Value: finding.MassOf(m), Entered: true}
}

// computed is a figure that the arithmetic gave.
func computed(label string, m unit.Mass) finding.Figure {
	return finding.Figure{Label: label, Value: finding.MassOf(m)}
}

func rated(reference string) finding.Basis {
	return finding.Basis{Kind: finding.Rating, Reference: reference}
}

func practice(reference string) finding.Basis {
	return finding.Basis{Kind: finding.Practice, Reference: reference}
}

func arithmetic(reference string) finding.Basis {
	return finding.Basis{Kind: finding.Computed, Reference: reference}
}

func truth(b bool) *bool { return &b }
