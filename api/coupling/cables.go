package coupling

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// CableReading compares the safety cables with the car in the two ways that
// published rules read them.
type CableReading struct {
	Count int `json:"count"`
	// Kind is the strength that every cable states, absent where they differ or
	// one states none.
	Kind rig.StrengthKind `json:"kind,omitzero"`
	// Weakest is the lowest strength, Combined their sum.
	Weakest  *unit.Mass `json:"weakest,omitzero"`
	Combined *unit.Mass `json:"combined,omitzero"`
	// EachHolds is whether every cable alone is as strong as the car is heavy
	// (SAE J684; N.H. RSA 266:63), CombinedHolds whether all together are
	// (guidance to 49 CFR 393.70(d)). Absent when a figure is missing.
	EachHolds     *bool `json:"each_holds,omitzero"`
	CombinedHolds *bool `json:"combined_holds,omitzero"`
}

// cables judges the safety cables: how many, how strong, where fastened.
func (j *judge) cables() {
	ids := j.rig.Coupling.CableOrder()
	if len(ids) == 0 {
		j.add(finding.Finding{
			ID: "coupling.cables", Verdict: finding.FindOut, Decides: true,
			Says: finding.Say("coupling.cables_missing", nil), Fields: []string{"/coupling/cables"},
			Remedy: finding.Advise("coupling.cables_remedy", nil),
			Basis:  []finding.Basis{practice("Two safety cables, each as strong as the car is heavy")},
		})
		return
	}
	if len(ids) == 1 {
		j.add(finding.Finding{
			ID: "coupling.cables-one", Verdict: finding.Mind, Decides: true,
			Says: finding.Say("coupling.cables_one", nil), Fields: []string{"/coupling/cables"},
			Remedy: finding.Advise("coupling.cables_remedy", nil),
			Basis:  []finding.Basis{practice("Two safety cables, one each side")},
		})
	}
	j.readCables(ids)
	for _, id := range ids {
		j.cable(id, j.rig.Coupling.Cables[id])
	}
	j.crossed()
}

// readCables fills the report's reading of the cables.
func (j *judge) readCables(ids []string) {
	r := CableReading{Count: len(ids)}
	j.report.Cables = &r
	var weakest, sum unit.Mass
	for i, id := range ids {
		k := j.rig.Coupling.Cables[id]
		if k.Strength == nil || k.Kind == "" || i > 0 && k.Kind != r.Kind {
			r.Kind = ""
			return
		}
		r.Kind = k.Kind
		switch {
		case i == 0:
			weakest, sum = *k.Strength, *k.Strength
		default:
			sum = sum.Add(*k.Strength)
			if weakest.Over(*k.Strength) {
				weakest = *k.Strength
			}
		}
	}
	r.Weakest, r.Combined = &weakest, &sum
	if j.car != nil {
		r.EachHolds, r.CombinedHolds = truth(!j.car.Over(weakest)), truth(!j.car.Over(sum))
	}
}

// cable judges one cable's working load and the points it is fastened to.
func (j *judge) cable(id string, k rig.Cable) {
	at := "/coupling/cables/" + id
	name := finding.Say("limit.cable", nil)
	switch {
	case k.Strength == nil || k.Kind == "":
		j.limit(name, at+"/strength", nil)
		j.add(finding.Finding{
			ID: "coupling.cable-strength." + id, Verdict: finding.FindOut, Decides: true,
			Says:   finding.Say("coupling.cable_strength_missing", finding.Params{"id": finding.Plain(id)}),
			Fields: []string{at + "/strength", at + "/kind"}, Remedy: finding.Advise("coupling.cable_strength_remedy", nil),
			Basis: []finding.Basis{practice("Each cable as strong as the car is heavy")},
		})
	case k.Kind == rig.BreakingStrength:
		j.limit(name, at+"/strength", nil)
		j.add(finding.Finding{
			ID: "coupling.cable-strength." + id, Verdict: finding.FindOut, Decides: true,
			Says:    finding.Say("coupling.cable_breaking", finding.Params{"id": finding.Plain(id), "strength": finding.MassOf(*k.Strength)}),
			Figures: []finding.Figure{entered("figure.breaking_strength", *k.Strength)},
			Fields:  []string{at + "/strength", at + "/kind"}, Remedy: finding.Advise("coupling.cable_strength_remedy", nil),
			Basis: []finding.Basis{practice("A breaking strength is never compared with a working load")},
		})
	default:
		j.limit(name, at+"/strength", k.Strength)
		j.cableLoad(id, at, *k.Strength)
	}
	j.points(id, at, k)
}

// cableLoad judges a working load. Each cable must hold the car alone: when one
// end lets go, one cable may be all there is. That all together would do is
// said, because a published yard-stick reads it so.
func (j *judge) cableLoad(id, at string, load unit.Mass) {
	if j.car == nil || !j.car.Over(load) {
		return
	}
	says := "coupling.cable_weak"
	if r := j.report.Cables; r.CombinedHolds != nil && *r.CombinedHolds {
		says = "coupling.cable_weak_combined"
	}
	j.add(finding.Finding{
		ID: "coupling.cable-strength." + id, Verdict: finding.NoGo, Decides: true,
		Says: finding.Say(says, finding.Params{
			"id": finding.Plain(id), "load": finding.MassOf(load), "car": finding.MassOf(*j.car),
		}),
		Figures: []finding.Figure{entered("figure.car_actual", *j.car), entered("figure.cable_load", load)},
		Basis: []finding.Basis{
			practice("Each cable as strong as the car is heavy"),
			{Kind: finding.Standard, Reference: "N.H. RSA 266:63 and SAE J684 read each chain alone; guidance to 49 CFR 393.70(d), a commercial yard-stick, reads two together", Known: "medium"},
		},
		Remedy: finding.Advise("coupling.cable_weak_remedy", nil),
		Fields: []string{at + "/strength"},
	})
}

// points judges where a cable is fastened.
func (j *judge) points(id, at string, k rig.Cable) {
	for _, end := range []struct {
		place rig.AnchorPlace
		field string
		word  string
	}{{k.TowingPoint, at + "/towing_point", "word.motorhome_end"}, {k.TowedPoint, at + "/towed_point", "word.car_end"}} {
		f := finding.Finding{
			ID: "coupling.cable-point." + id, Fields: []string{end.field},
			Remedy: finding.Advise("coupling.cable_point_remedy", nil),
			Basis:  []finding.Basis{practice("Cables go to rated points that stay when the bar, the base plate or the bumper goes")},
		}
		params := finding.Params{"id": finding.Plain(id), "end": finding.Word(end.word)}
		switch end.place {
		case rig.Frame, rig.ReceiverPoint:
			continue
		case "":
			f.Verdict, f.Says = finding.FindOut, finding.Say("coupling.cable_point_missing", params)
		case rig.OnTowBar, rig.OnBumper, rig.OnCable:
			params["place"] = finding.Word("place." + string(end.place))
			f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("coupling.cable_point_wrong", params)
			f.Basis = append(f.Basis, finding.Basis{Kind: finding.Standard, Reference: "49 CFR 393.70(d): fastened to the frame, not to the coupling's own attachment; a commercial yard-stick", Known: "medium"})
		default:
			params["place"] = finding.Word("place." + string(end.place))
			f.Verdict, f.Says = finding.Mind, finding.Say("coupling.cable_point_mind", params)
		}
		j.add(f)
	}
	j.pointRating(id, at, k)
}

func (j *judge) pointRating(id, at string, k rig.Cable) {
	if k.PointRating == nil || j.car == nil || !j.car.Over(*k.PointRating) {
		return
	}
	j.add(finding.Finding{
		ID: "coupling.cable-point-rating." + id, Verdict: finding.NoGo, Decides: true,
		Says: finding.Say("coupling.cable_point_weak", finding.Params{
			"id": finding.Plain(id), "rating": finding.MassOf(*k.PointRating), "car": finding.MassOf(*j.car),
		}),
		Figures: []finding.Figure{entered("figure.car_actual", *j.car), entered("figure.limit", *k.PointRating)},
		Basis:   []finding.Basis{rated("Marking of the cable point")},
		Remedy:  finding.Advise("coupling.cable_point_remedy", nil),
		Fields:  []string{at + "/point_rating"},
	})
}

// crossed asks that the cables cross under the bar, so that they cradle it.
func (j *judge) crossed() {
	crossed := j.rig.Coupling.CablesCrossed
	if rig.Is(crossed, true) || len(j.rig.Coupling.Cables) < 2 {
		return
	}
	f := finding.Finding{
		ID: "coupling.cables-crossed", Verdict: finding.Mind, Fields: []string{"/coupling/cables_crossed"},
		Says:  finding.Say("coupling.cables_not_crossed", nil),
		Basis: []finding.Basis{practice("Crossed under the bar, the cables cradle it and stay of equal length in turns; several states require it")},
	}
	if crossed == nil {
		f.Verdict, f.Says = finding.FindOut, finding.Say("coupling.cables_crossed_missing", nil)
	}
	j.add(f)
}
