package rules

import (
	"slices"
	"strings"

	"pintail/api/finding"
)

// group gathers the jurisdictions that make the same of one subject, so that a
// trip through many states stays readable.
type group struct {
	outcome string // the last part of the finding's id
	verdict finding.Verdict
	decides bool
	need    need
	places  []string
	rows    []*Row // governing, in the order of the route
	relief  *Row
}

// findings turns the outcomes into findings, worst first.
func findings(legs []*leg, unread []Unread) []finding.Finding {
	list := make([]finding.Finding, 0, 2*len(subjects))
	for i, s := range subjects {
		if s == TowedBrakeExempt {
			continue
		}
		for _, g := range grouped(legs, i) {
			list = append(list, g.finding(s, legs[0].facts))
		}
	}
	for _, f := range []*finding.Finding{unreadFinding(legs, unread), silentFinding(legs, unread)} {
		if f != nil {
			list = append(list, *f)
		}
	}
	finding.Sort(list)
	return list
}

// grouped gathers the outcomes on the subject at place i of subjects.
func grouped(legs []*leg, i int) []group {
	var groups []group
	for _, l := range legs {
		o := l.outcome(i)
		verdict, decides := o.verdict(l.facts)
		if o.row != nil {
			groups = into(groups, l, o.row, group{outcome: o.kind(), verdict: verdict, decides: decides, need: o.need, relief: o.mayLift})
		}
		// A weak row is a lead of its own only beside rows that count and are
		// met; where nothing else was read it stands in the list of the unread.
		if o.lead != nil && (o.row != nil && verdict == finding.OK || o.row == nil && !mustBeRead(o.subject)) {
			groups = into(groups, l, o.lead, group{outcome: "weak", verdict: finding.FindOut})
		}
	}
	return groups
}

// into adds a jurisdiction to the group of its outcome.
func into(groups []group, l *leg, r *Row, g group) []group {
	for i := range groups {
		x := &groups[i]
		if x.outcome == g.outcome {
			x.need |= g.need
			x.decides = x.decides || g.decides
			x.places, x.rows = append(x.places, l.place.Name), append(x.rows, r)
			return groups
		}
	}
	g.places, g.rows = []string{l.place.Name}, []*Row{r}
	return append(groups, g)
}

// kind is the last part of the id of the outcome's finding.
func (o *outcome) kind() string {
	switch {
	case o.requirement == NotRequired:
		return "not_required"
	case o.met == IsMet:
		return "met"
	case o.requirement == MayNotCover:
		return "may_not_cover"
	case o.requirement == Depends:
		return "depends"
	case o.met == NotMet && o.mayLift != nil:
		return "relief"
	case o.met == NotMet:
		return "not_met"
	}
	return "not_known"
}

func (g group) finding(s Subject, f *Facts) finding.Finding {
	strict := g.strictest()
	params := finding.Params{
		"places": listed(g.places), "subject": finding.Word(s.message()),
		"actual": actual(s, f), "limit": limit(strict), "requirement": finding.Plain(strict.Requirement),
		"citation": finding.Plain(citation(strict)),
	}
	if strict.Doubt != "" {
		params["doubt"] = finding.Plain(strict.Doubt)
	}
	if g.relief != nil {
		params["relief"] = finding.Plain(g.relief.Requirement)
	}
	out := finding.Finding{
		ID: "law." + string(s) + "." + g.outcome, Area: finding.Law, Verdict: g.verdict, Decides: g.decides,
		Says: finding.Say(g.message(s, strict, f), params), Figures: g.figures(s, f, strict),
	}
	out.Basis = make([]finding.Basis, 0, len(g.rows))
	for i, r := range g.rows {
		out.Basis = append(out.Basis, basis(g.places[i], r))
	}
	if g.verdict != finding.OK {
		out.Remedy = finding.Advise("law.remedy."+string(s), params)
		out.Fields = g.fields(s)
	}
	return out
}

func (g group) strictest() *Row {
	best := g.rows[0]
	for _, r := range g.rows[1:] {
		if r.stricter(best) {
			best = r
		}
	}
	return best
}

// message is the sentence for the outcome: a broken or unsettled duty has one
// for its subject, the rest share theirs.
func (g group) message(s Subject, strict *Row, f *Facts) string {
	switch g.outcome {
	case "may_not_cover":
		if strict.Doubt != "" {
			return "law.in_doubt"
		}
	case "not_met":
		if s == Breakaway && f.Breakaway != nil && *f.Breakaway {
			return "law.breakaway.hold_short"
		}
		return "law." + string(s) + ".not_met"
	case "not_known":
		return "law." + string(s) + ".not_known"
	}
	return "law." + g.outcome
}

// fields are where to enter or change what the finding turns on.
func (g group) fields(s Subject) []string {
	n := g.need
	if g.outcome == "not_met" || g.outcome == "may_not_cover" || g.outcome == "relief" || g.outcome == "weak" {
		n |= subjectNeeds[s.index()]
	}
	return n.fields()
}

// subjectNeeds are the facts a subject itself is about, in the order of
// subjects.
var subjectNeeds = perSubject[need]{
	needBrakes, needBrakes, needBreakaway | needHold, needCables | needCrossed, needTail, needStopLamps, needTurn, needPlate,
	needReflectors, needClearance, needGap, needLength, needUnits, needSpeed, needStop,
}

// figures are the numbers the finding turns on: the rig's own and the
// strictest the law asks.
func (g group) figures(s Subject, f *Facts, strict *Row) []finding.Figure {
	var list []finding.Figure
	if (s == Brakes || s == BrakesShare || s == Breakaway) && f.TowedGross != nil {
		list = append(list, finding.Figure{Label: "law.figure.towed_gross", Value: finding.MassOf(*f.TowedGross), Entered: true})
	}
	if p := actual(s, f); p.Form().Word == "" {
		list = append(list, finding.Figure{Label: "law.figure." + string(s), Value: p, Entered: true})
	}
	if least := strict.When.lightest(); least.Sign() > 0 && heaviest.Over(least) {
		list = append(list, finding.Figure{Label: "law.figure.from_weight", Value: finding.MassOf(least)})
	}
	if strict.Value != nil {
		list = append(list, finding.Figure{Label: "law.figure.limit", Value: limit(strict)})
	}
	return list
}

// actual is the rig's own figure on the subject.
func actual(s Subject, f *Facts) finding.Param {
	switch {
	case s == CouplingLength && f.CouplingLength != nil:
		return finding.LengthOf(*f.CouplingLength)
	case s == CombinationLength && f.CombinationLength != nil:
		return finding.LengthOf(*f.CombinationLength)
	case s == StoppingDistance && f.StopFrom20MPH != nil:
		return finding.LengthOf(*f.StopFrom20MPH)
	case s == Speed && f.PlannedSpeed != nil:
		return finding.SpeedOf(*f.PlannedSpeed)
	case s == Breakaway && f.HoldMinHigh != nil:
		return finding.Num(*f.HoldMinHigh, "min")
	}
	if n := actualCount(s, f); n != nil {
		return finding.Num(float64(*n), "")
	}
	return finding.Word("law.word.not_entered")
}

func actualCount(s Subject, f *Facts) *int {
	switch s {
	case SafetyChain:
		return f.Cables
	case TowedUnits:
		return f.TowedUnits
	case TailLamps, StopLamps, TurnSignals, ClearanceLamps, Reflectors:
		n, _ := f.counted(s)
		return n
	}
	return nil
}

// limit is what the row asks, in the law's own unit.
func limit(r *Row) finding.Param {
	switch {
	case r.Value == nil:
		return finding.Num(1, "") // a count the law leaves open is broken only by none
	case r.Subject == Speed:
		return finding.SpeedOf(r.speed)
	case r.Unit == "ft" || r.Unit == "m":
		return finding.LengthOf(r.length)
	case r.Unit == "min":
		return finding.Num(*r.Value, "min")
	}
	return finding.Num(*r.Value, "")
}

func basis(name string, r *Row) finding.Basis {
	return finding.Basis{Kind: r.SourceKind.basis(), Reference: name + ": " + citation(r), URL: r.URL, Year: r.TextYear, Known: string(r.Known)}
}

// basis is the kind of basis a row from such a source is: law, however weakly
// known, unless nobody read anything.
func (k SourceKind) basis() finding.BasisKind {
	if k == FromMemory {
		return finding.Memory
	}
	return finding.Statute
}

func citation(r *Row) string {
	if r.Citation != "" {
		return r.Citation
	}
	return finding.Say("law.word.no_citation", nil).Sentence
}

func subjectWords(s Subject) string { return finding.Say(s.message(), nil).Sentence }

func listed(names []string) finding.Param {
	if len(names) < 2 {
		return finding.Plain(strings.Join(names, ""))
	}
	last := len(names) - 1
	return finding.Plain(strings.Join(names[:last], ", ") + " and " + names[last])
}

func addOnce(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}
