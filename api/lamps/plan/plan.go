// Package plan makes the wiring plan of a rig: every wire from where to where,
// what to buy, what each lamp will get, what runs hot, what is wrong with it and
// what would mend that.
//
// It solves the harness as a circuit (package wiring). Figures that nobody
// recorded are typical ones and marked so. Nothing is planned that steers a
// shifter, a transfer case, a fuse or a key of the car.
package plan

import (
	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Input is the input of lamps/plan.
type Input struct {
	Rig *rig.Rig `json:"rig"`
	// DiodeAir is how warm the air around the diodes becomes: 60 °C in a closed
	// trunk or lamp housing where nobody says otherwise.
	DiodeAir *unit.Temperature `json:"diode_air,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	if t := in.DiodeAir; t != nil && (unit.C(-40).Over(*t) || t.Over(unit.C(120))) {
		c.In("diode_air").Bad("%s is not possible here, want -40 to 120 °C", t)
	}
	return c.Err()
}

// typicalAir is the air in a closed trunk or lamp housing in the sun, °C. From
// memory.
const typicalAir = 60

func (in Input) air() float64 {
	if in.DiodeAir == nil {
		return typicalAir
	}
	return in.DiodeAir.In("c")
}

// Make makes the plan of a rig.
func Make(in Input) Report {
	return report(in)
}

func report(in Input) Report {
	a, err := assess(in.Rig, standard, in.air(), nil)
	if err != nil {
		return unsolved(err)
	}
	a.judge(shown)
	a.signals = len(a.findings)
	a.judge(given)
	fixes := a.fixes(in.air())
	a.judge(recorded)
	m := newMapper(a)
	r := Report{
		Findings: a.findings, Points: m.points, Links: m.links, Lamps: a.s.lit(), Lighting: a.s.lighting(),
		Diodes: a.heats, Fuses: a.fuses, Materials: a.materials(m), Work: workOf(&a.s.h), Fixes: fixes, Values: a.s.h.Values,
	}
	finding.Sort(r.Findings)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

// unsolved is the plan of a harness whose circuit has no answer. No harness that
// passes Validate is known to have none.
func unsolved(err error) Report {
	f := found("plan.unsolved", finding.FindOut, "plan.unsolved", finding.Params{"why": finding.Plain(err.Error())}, asDescribed)
	return Report{
		Verdict: finding.FindOut, Findings: []finding.Finding{*f}, Points: []Point{}, Links: []Link{}, Lamps: []Lit{}, Lighting: []Lighting{},
		Diodes: []Heat{}, Fuses: []Fusing{}, Materials: []Material{}, Work: []WorkPoint{}, Fixes: []Fix{}, Values: []wiring.Value{},
	}
}
