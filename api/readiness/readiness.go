// Package readiness gives one verdict for one trip: may this rig leave, on this
// route, and if not, what exactly is wrong and how is it mended. It composes
// the rooms of the first floor and judges nothing that one of them judges.
package readiness

import (
	"slices"
	"sync"

	"pintail/api/battery"
	"pintail/api/brakes"
	"pintail/api/breakaway"
	"pintail/api/coupling"
	"pintail/api/finding"
	"pintail/api/lamps"
	"pintail/api/rig"
	"pintail/api/rules"
)

// Report is the paper answer for one trip. It says nothing of whether the rig
// is hooked up and tested.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict `json:"verdict"`
	// Answer is the verdict in one sentence.
	Answer   finding.Text      `json:"answer"`
	Findings []finding.Finding `json:"findings"`
	Law      Law               `json:"law"`
	Road     Road              `json:"road"`
	// Cautions belong to every tow; Notice says once who decides.
	Cautions []finding.Text `json:"cautions"`
	Notice   finding.Text   `json:"notice"`
}

// Law is what the jurisdictions of the route ask, leg by leg.
type Law struct {
	Legs      []rules.Leg       `json:"legs"`
	Strictest []rules.Strictest `json:"strictest"`
	Unread    []rules.Unread    `json:"unread"`
}

// Evaluate judges a trip.
func Evaluate(in Input) Report {
	r := *in.Rig
	asked := rig.Input{Rig: in.Rig}
	asks := rules.EvaluateInput{Route: in.Trip.Route, On: in.Trip.On, Night: in.Trip.Night, Facts: facts(r, *in.Trip), RuleChanges: in.RuleChanges}
	law := rules.Evaluate(asks)
	onRoad := road(*in.Trip, asks, law)

	all := slices.Concat(
		coupling.Check(asked).Findings,
		brakes.Check(asked).Findings,
		stopping(in, onRoad.StopLimits, law),
		descent(in),
		breakaway.Check(asked).Findings,
		holding(r.Breakaway, *in.Trip),
		lamps.Check(asked).Findings,
		tests(in),
		battery.Check(asked).Findings,
		day(in, onRoad.Day),
		law.Findings,
		trip(r, *in.Trip),
	)
	finding.Sort(all)
	report := Report{
		Verdict:  finding.Worst(all),
		Findings: all,
		Law:      Law{Legs: law.Legs, Strictest: law.Strictest, Unread: law.Unread},
		Road:     onRoad,
		Cautions: cautions(),
		Notice:   finding.Say("trip.notice", nil),
	}
	report.Answer = answer(report.Verdict, all)
	return report
}

// holding is the computed holding time at the trip's coldest temperature. A hold
// that somebody timed on this rig counts for more: then the computed band warns,
// and does not decide.
func holding(kit rig.Breakaway, t Trip) []finding.Finding {
	if !rig.Is(kit.Fitted, true) {
		return nil
	}
	all := ofTrip(breakaway.HoldFindings(breakaway.HoldInput{Kit: &kit, Coldest: t.Coldest}))
	if kit.MeasuredHoldMin != nil {
		for i := range all {
			all[i].Decides = false
		}
	}
	return all
}

// answer says the verdict and how many findings stand behind it.
func answer(v finding.Verdict, all []finding.Finding) finding.Text {
	n := 0
	for _, f := range all {
		if f.Decides && f.Verdict == v {
			n++
		}
	}
	id := "trip.answer_" + string(v)
	switch {
	case v == finding.OK:
		return finding.Say("trip.answer_ok", nil)
	case n == 1:
		return finding.Say(id+"_one", nil)
	}
	return finding.Say(id+"_many", finding.Params{"count": finding.Num(float64(n), "")})
}

// cautions are the usual ones of the trade, in the order in which they bite.
var cautions = sync.OnceValue(func() []finding.Text {
	var all []finding.Text
	for _, id := range []string{
		"caution.between", "caution.hold_until_pinned", "caution.wheel_free", "caution.light_test",
		"caution.no_reverse", "caution.nobody_aboard", "caution.hot",
	} {
		all = append(all, finding.Say(id, nil))
	}
	return all
})
