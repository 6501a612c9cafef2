package brakes

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
)

// fit holds the actuation type of a unit that is fitted against the motorhome's
// brakes and the car's booster: the facts by which the table rules a type out
// whatever else is done.
func fit(r rig.Rig) *finding.Finding {
	in := ChoiceInput{Rig: &r}
	f := &finding.Finding{ID: "brakes.fit", Area: finding.Brakes, Basis: []finding.Basis{judgment}}
	a := r.BrakeUnit.Actuation
	if a == "" || a == rig.AnotherActuation {
		f.Verdict, f.Says, f.Fields = finding.FindOut, finding.Say("brakes.fit_unknown", nil), []string{"/brake_unit/actuation"}
		return f
	}
	for _, row := range actuations().Rows {
		out, reason, touches := row.cell(a)
		if !touches || out != RuledOut || row.Fact != always && row.Fact != motorhome && row.Fact != booster {
			continue
		}
		switch holds, known := in.is(row.Fact, row.Is); {
		case holds:
			f.Verdict, f.Decides = finding.NoGo, true
			f.Says, f.Remedy = finding.Say(reasonID(out, reason), nil), finding.Advise("brakes.ruled_out.remedy", nil)
			f.Fields = []string{"/brake_unit/actuation"}
			if field := row.Fact.field(); field != "" {
				f.Fields = append(f.Fields, field)
			}
			return f
		case !known && !slices.Contains(f.Fields, row.Fact.field()):
			f.Fields = append(f.Fields, row.Fact.field())
		}
	}
	if f.Fields != nil {
		f.Verdict, f.Decides, f.Says = finding.FindOut, true, finding.Say("brakes.fit_unknown", nil)
		return f
	}
	f.Verdict, f.Says = finding.OK, finding.Say("brakes.fit_possible", nil)
	return f
}
