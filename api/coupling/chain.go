package coupling

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// chain judges every part that carries the pull.
func (j *judge) chain() {
	kinds := map[rig.PartKind]int{}
	for _, id := range j.rig.Coupling.Chain() {
		p := j.rig.Coupling.Parts[id]
		kinds[p.Kind]++
		j.part(id, p)
	}
	j.partsRecorded(kinds)
	j.longReach(kinds)
}

// part judges one part by the rating on its label, or by its hitch class.
func (j *judge) part(id string, p rig.Part) {
	at := "/coupling/parts/" + id
	name := finding.Say("limit.part_"+string(p.Kind), nil)
	allowed, basis, ok := partRating(p)
	if !ok {
		j.limit(name, at+"/rating", nil)
		f := finding.Finding{
			ID: "coupling.part-rating." + id, Verdict: finding.FindOut, Decides: true,
			Says:   finding.Say("coupling.part_rating_missing", finding.Params{"part": finding.Word("part." + string(p.Kind))}),
			Fields: []string{at + "/rating"},
			Remedy: finding.Advise("coupling.part_rating_remedy", nil),
			Basis:  []finding.Basis{practice("The lowest rating in the pull governs, so every part needs one")},
		}
		if p.RatingKind == rig.BreakingStrength && p.Rating != nil {
			f.Says = finding.Say("coupling.part_breaking", finding.Params{
				"part": finding.Word("part." + string(p.Kind)), "strength": finding.MassOf(*p.Rating),
			})
			f.Figures = []finding.Figure{entered("figure.breaking_strength", *p.Rating)}
			f.Fields = []string{at + "/rating", at + "/rating_kind"}
		}
		j.add(f)
		return
	}
	j.limit(name, at+"/rating", &allowed)
	if j.car == nil || !j.car.Over(allowed) {
		return // governing reports the lowest of the parts that hold
	}
	over := j.car.Sub(allowed).To(*j.car)
	j.add(finding.Finding{
		ID: "coupling.part-rating." + id, Verdict: finding.NoGo, Decides: true,
		Says: finding.Say("coupling.part_over", finding.Params{
			"part": finding.Word("part." + string(p.Kind)), "rating": finding.MassOf(allowed),
			"car": finding.MassOf(*j.car), "over": finding.MassOf(over),
		}),
		Figures: []finding.Figure{entered("figure.car_actual", *j.car), entered("figure.limit", allowed), computed("figure.over", over)},
		Basis:   []finding.Basis{basis},
		Remedy:  finding.Advise("coupling.lighter_or_stronger", nil),
		Fields:  []string{at + "/rating", "/towed/actual/weight"},
	})
}

// classLimit is the greatest gross trailer weight of a hitch class, in pounds.
// Source: SAE J684 classes as printed in COMAR 11.13.08.10 Table 1. A car is
// not a trailer, but the marking limits it.
func classLimit(class int) unit.Mass {
	return unit.LB([]float64{2_000, 3_500, 5_000, 10_000}[class-1])
}

// partRating returns the weight a part may pull: its label, its hitch class, or
// the lower of the two. A breaking strength is neither.
func partRating(p rig.Part) (unit.Mass, finding.Basis, bool) {
	label := p.Rating
	if p.RatingKind == rig.BreakingStrength {
		label = nil
	}
	if p.HitchClass != nil {
		limit := classLimit(*p.HitchClass)
		if label == nil || label.Over(limit) {
			return limit, finding.Basis{Kind: finding.Standard, Reference: "SAE J684 hitch class limits, as printed in COMAR 11.13.08.10 Table 1", Year: 2024, Known: "high"}, true
		}
	}
	if label == nil {
		return unit.Mass{}, finding.Basis{}, false
	}
	return *label, rated("Rating on the part's label"), true
}

// partsRecorded asks for the parts that every chain has.
func (j *judge) partsRecorded(kinds map[rig.PartKind]int) {
	for _, k := range []rig.PartKind{rig.Receiver, rig.TowBar, rig.BasePlate} {
		if kinds[k] > 0 {
			continue
		}
		j.limit(finding.Say("limit.part_"+string(k), nil), "/coupling/parts", nil)
		j.add(finding.Finding{
			ID: "coupling.part-missing." + string(k), Verdict: finding.FindOut, Decides: true,
			Says:   finding.Say("coupling.part_missing", finding.Params{"part": finding.Word("part." + string(k))}),
			Fields: []string{"/coupling/parts"},
			Remedy: finding.Advise("coupling.part_rating_remedy", nil),
			Basis:  []finding.Basis{practice("The lowest rating in the pull governs, so every part needs one")},
		})
	}
}

// longReach minds extensions, and more than one piece between receiver and bar.
func (j *judge) longReach(kinds map[rig.PartKind]int) {
	if kinds[rig.Extension]+kinds[rig.Adapter] > 1 {
		j.add(finding.Finding{
			ID: "coupling.stacked", Verdict: finding.Mind, Decides: true,
			Says: finding.Say("coupling.stacked", nil), Fields: []string{"/coupling/parts"},
			Remedy: finding.Advise("coupling.stacked_remedy", nil),
			Basis:  []finding.Basis{practice("One extension or one drop in series, never several")},
		})
	}
	if kinds[rig.Extension] > 0 {
		j.add(finding.Finding{
			ID: "coupling.extension", Verdict: finding.Mind,
			Says: finding.Say("coupling.extension", nil), Fields: []string{"/coupling/parts"},
			Basis: []finding.Basis{practice("An extension's own label rules, and cables, lanyard and umbilical are measured again")},
		})
	}
}

// governing reports the lowest of the limits, and the 10 % reserve.
func (j *judge) governing() {
	var known []Limit
	for _, l := range j.report.Limits {
		if l.Allowed != nil {
			known = append(known, l)
		}
	}
	if len(known) == 0 {
		return
	}
	lowest := slices.MinFunc(known, func(a, b Limit) int { return a.Allowed.Compare(*b.Allowed) })
	g := Governing{Limit: lowest, Complete: !j.limitMissing}
	j.report.Governing = &g
	if j.car == nil {
		return
	}
	reserve := lowest.Allowed.Percent(90)
	g.Within = truth(!j.car.Over(*lowest.Allowed))
	g.WithReserve = truth(j.car.ComparePercent(*lowest.Allowed, 90_000) <= 0)
	j.report.Governing = &g
	if !*g.Within {
		return // each limit passed over has its own finding
	}
	figures := []finding.Figure{entered("figure.car_actual", *j.car), computed("figure.governing", *lowest.Allowed), computed("figure.margin", *lowest.Margin)}
	params := finding.Params{
		"limit": finding.Word(lowest.Name.ID), "allowed": finding.MassOf(*lowest.Allowed),
		"car": finding.MassOf(*j.car), "margin": finding.MassOf(lowest.Margin.To(*j.car)),
	}
	if g.Complete {
		j.add(finding.Finding{
			ID: "coupling.weakest-link", Verdict: finding.OK, Decides: true,
			Says: finding.Say("coupling.weakest_link", params), Figures: figures, Fields: []string{lowest.Field},
			Basis: []finding.Basis{rated("Labels of the parts in the pull"), arithmetic("The lowest of all limits on the car's weight")},
		})
	}
	if !*g.WithReserve {
		params["reserve"] = finding.MassOf(reserve)
		j.add(finding.Finding{
			ID: "coupling.reserve", Verdict: finding.Mind,
			Says: finding.Say("coupling.reserve", params), Figures: append(figures, computed("figure.reserve", reserve)), Fields: []string{lowest.Field},
			Basis: []finding.Basis{practice("Keep 10 % of the lowest rating in hand: advice, not a rating")},
		})
	}
}
