package rules

import "pintail/api/finding"

// addedFinding says what a brake on the car would bring with it: duties that
// begin only once the car is braked, and that the rig without one does not meet.
// It is for those who are about to fit one; nil where nothing is added.
func addedFinding(legs []leg) *finding.Finding {
	if f := legs[0].facts; f.HasBrakes == nil || *f.HasBrakes {
		return nil
	}
	braked, fitted := *legs[0].facts, true
	braked.HasBrakes = &fitted
	f := finding.Finding{ID: "law.added", Area: finding.Law, Verdict: finding.Mind}
	var names, asked []string
	for i := range legs {
		l := &legs[i]
		for _, r := range l.place.all {
			if r.byBrakes && l.adds(r, &braked) {
				names, asked = addOnce(names, l.place.Name), addOnce(asked, subjectWords(r.Subject))
				f.Basis = append(f.Basis, r.basis)
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	f.Says = finding.Say("law.added", finding.Params{"places": listed(names), "subjects": listed(asked)})
	f.Remedy = finding.Advise("law.added.remedy", nil)
	return &f
}

// adds reports whether the row asks for something of the braked rig that it does
// not ask of the rig as it is, and that is not shown to be met.
func (l *leg) adds(r *rule, braked *Facts) bool {
	if r.weak() || !r.asks() || !r.inForce(l.on) {
		return false
	}
	var need need
	with := leg{place: l.place, facts: braked, night: l.night, on: l.on, room: make([]judged, l.place.judged)}
	return l.holds(r.When, &need) != yes && with.holds(r.When, &need) == yes && braked.meets(r, &need) != fitMet
}
