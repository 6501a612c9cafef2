package rules

import (
	"slices"
	"sync"

	"pintail/api/finding"
)

// group gathers the jurisdictions that make the same of one subject, so that a
// trip through many states stays readable.
type group struct {
	kind    kind
	verdict finding.Verdict
	decides bool
	need    need
	legs    []uint8 // in the order of the route
	relief  *rule
}

// kind is what the group's finding is about: the last part of its id.
type kind uint8

const (
	kindNotRequired kind = iota
	kindMet
	kindMayNotCover
	kindDepends
	kindRelief
	kindNotMet
	kindNotKnown
	kindWeak
)

var kindNames = [...]string{"not_required", "met", "may_not_cover", "depends", "relief", "not_met", "not_known", "weak"}

// findings turns the outcomes into findings, worst first.
func (t *table) findings(legs []leg, unread []Unread) []finding.Finding {
	var found [2 * len(subjects)]finding.Finding
	list := found[:0]
	var room groupRoom
	for i, s := range subjects {
		if s == TowedBrakeExempt {
			continue
		}
		for _, g := range room.grouped(legs, i) {
			list = append(list, g.finding(legs, i))
		}
	}
	for _, f := range []*finding.Finding{unreadFinding(legs, unread), silentFinding(legs, unread), t.editedFinding(legs), addedFinding(legs)} {
		if f != nil {
			list = append(list, *f)
		}
	}
	finding.Sort(list)
	return append(make([]finding.Finding, 0, len(list)), list...)
}

// groupRoom holds the groups of one subject after the other.
type groupRoom struct {
	groups [len(kindNames)]group
	legs   [len(kindNames)][64]uint8
}

// grouped gathers the outcomes on the subject at place i of subjects.
func (r *groupRoom) grouped(legs []leg, i int) []group {
	groups := r.groups[:0]
	for k := range legs {
		o := legs[k].outcome(i)
		verdict, decides := o.verdict(legs[k].facts)
		if o.row != nil && o.shown() {
			groups = r.into(groups, k, group{kind: o.kind(), verdict: verdict, decides: decides, need: o.need, relief: o.mayLift})
		}
		// A weak row is a lead of its own only beside rows that count and are
		// met; where nothing else was read it stands in the list of the unread.
		if o.lead != nil && (o.row != nil && verdict == finding.OK || o.row == nil && !mustBeRead(subjects[i])) {
			groups = r.into(groups, k, group{kind: kindWeak, verdict: finding.FindOut})
		}
	}
	return groups
}

// into adds a leg to the group of its outcome.
func (r *groupRoom) into(groups []group, leg int, g group) []group {
	for i := range groups {
		x := &groups[i]
		if x.kind == g.kind {
			x.need |= g.need
			x.decides = x.decides || g.decides
			x.legs = append(x.legs, uint8(leg))
			return groups
		}
	}
	g.legs = append(r.legs[len(groups)][:0], uint8(leg))
	return append(groups, g)
}

// kind is what the outcome's finding is about.
func (o *outcome) kind() kind {
	switch {
	case o.duty == dutyNotRequired:
		return kindNotRequired
	case o.fit == fitMet:
		return kindMet
	case o.duty == dutyMayNotCover:
		return kindMayNotCover
	case o.duty == dutyDepends:
		return kindDepends
	case o.fit == fitNotMet && o.mayLift != nil:
		return kindRelief
	case o.fit == fitNotMet:
		return kindNotMet
	}
	return kindNotKnown
}

// row is the one that governs in a leg of the group.
func (g *group) row(l *leg, subject int) *rule {
	if g.kind == kindWeak {
		return l.outcome(subject).lead
	}
	return l.outcome(subject).row
}

func (g *group) finding(legs []leg, subject int) finding.Finding {
	s, f, strict := subjects[subject], legs[0].facts, g.strictest(legs, subject)
	params := finding.Params{
		"places": g.places(legs), "subject": finding.Word(s.message()),
		"actual": actual(s, f), "limit": limit(strict), "requirement": finding.Plain(strict.Requirement),
		"citation": finding.Plain(citation(strict)),
	}
	if strict.Doubt != "" {
		params["doubt"] = finding.Plain(strict.Doubt)
	}
	message := g.message(s, strict, f)
	if open := g.circumstances(legs, subject, strict); len(open) > 0 {
		message, params["circumstance"] = "law.depends_on", listed(open)
	}
	if g.relief != nil {
		params["relief"] = finding.Plain(g.relief.Requirement)
	}
	out := finding.Finding{
		ID: findingIDs()[subject][g.kind], Area: finding.Law, Verdict: g.verdict, Decides: g.decides,
		Says: finding.Say(message, params), Figures: g.figures(s, f, strict),
		Basis: make([]finding.Basis, 0, len(g.legs)),
	}
	for _, k := range g.legs {
		out.Basis = append(out.Basis, g.row(&legs[k], subject).basis)
	}
	if g.verdict != finding.OK {
		out.Remedy = finding.Advise("law.remedy."+string(s), params)
		out.Fields = g.fields(s)
	}
	return out
}

// findingIDs are the ids of all findings, made once.
var findingIDs = sync.OnceValue(func() *perSubject[[len(kindNames)]string] {
	var ids perSubject[[len(kindNames)]string]
	for i, s := range subjects {
		for k, name := range kindNames {
			ids[i][k] = "law." + string(s) + "." + name
		}
	}
	return &ids
})

// places are the names of the group's jurisdictions.
func (g *group) places(legs []leg) finding.Param {
	var room [MaxLegs]string
	names := room[:0]
	for _, k := range g.legs {
		names = append(names, legs[k].place.Name)
	}
	return listed(names)
}

func (g *group) strictest(legs []leg, subject int) *rule {
	best := g.row(&legs[g.legs[0]], subject)
	for _, k := range g.legs[1:] {
		if r := g.row(&legs[k], subject); r.stricter(best) {
			best = r
		}
	}
	return best
}

// message is the sentence for the outcome: a broken or unsettled duty has one
// for its subject, the rest share theirs.
func (g *group) message(s Subject, strict *rule, f *Facts) string {
	switch g.kind {
	case kindMayNotCover:
		if strict.Doubt != "" {
			return "law.in_doubt"
		}
	case kindNotMet:
		if s == Breakaway && f.Breakaway != nil && *f.Breakaway {
			return "law.breakaway.hold_short"
		}
		return "law." + string(s) + ".not_met"
	case kindNotKnown:
		return "law." + string(s) + ".not_known"
	}
	return "law." + kindNames[g.kind]
}

// circumstances are what the strictest row names in words and no figure shows,
// where the duty hangs on that alone; none where it hangs on a figure as well.
func (g *group) circumstances(legs []leg, subject int, strict *rule) []string {
	if g.kind != kindDepends {
		return nil
	}
	for _, k := range g.legs {
		if g.row(&legs[k], subject) != strict {
			continue
		}
		var open need
		if legs[k].holds(strict.When, &open); open != needCircumstance {
			return nil
		}
	}
	return strict.When.stated(nil)
}

// fields are where to enter or change what the finding turns on.
func (g *group) fields(s Subject) []string {
	n := g.need
	switch g.kind {
	case kindNotMet, kindMayNotCover, kindRelief, kindWeak:
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
func (g *group) figures(s Subject, f *Facts, strict *rule) []finding.Figure {
	var room [4]finding.Figure
	list := room[:0]
	if (s == Brakes || s == BrakesShare || s == Breakaway) && f.TowedGross != nil {
		list = append(list, finding.Figure{Label: "law.figure.towed_gross", Value: finding.MassOf(*f.TowedGross), Entered: true})
	}
	if p := actual(s, f); !p.IsWord() {
		list = append(list, finding.Figure{Label: "law.figure." + string(s), Value: p, Entered: true})
	}
	if least := strict.When.lightest(); least.Sign() > 0 && heaviest.Over(least) {
		list = append(list, finding.Figure{Label: "law.figure.from_weight", Value: finding.MassOf(least)})
	}
	if strict.Value != nil {
		list = append(list, finding.Figure{Label: "law.figure.limit", Value: limit(strict)})
	}
	if len(list) == 0 {
		return nil
	}
	return slices.Clone(list)
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
func limit(r *rule) finding.Param {
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

// basis is the kind of basis a row from such a source is: law, however weakly
// known, unless nobody read anything.
func (k SourceKind) basis() finding.BasisKind {
	if k == FromMemory {
		return finding.Memory
	}
	return finding.Statute
}

func citation(r *rule) string {
	if r.Citation != "" {
		return r.Citation
	}
	return finding.Sentence("law.word.no_citation")
}

func subjectWords(s Subject) string { return subjectNames()[s.index()] }

// subjectNames are the subjects in words, made once.
var subjectNames = sync.OnceValue(func() *perSubject[string] {
	var names perSubject[string]
	for i, message := range subjectMessages {
		names[i] = finding.Sentence(message)
	}
	return &names
})

func listed(names []string) finding.Param {
	if len(names) == 1 {
		return finding.Plain(names[0])
	}
	var room [256]byte
	list := room[:0]
	for i, n := range names {
		switch {
		case i > 0 && i == len(names)-1:
			list = append(list, " and "...)
		case i > 0:
			list = append(list, ", "...)
		}
		list = append(list, n...)
	}
	return finding.Plain(string(list))
}

func addOnce(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}
