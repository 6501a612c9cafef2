package coupling

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// motorhome judges the motorhome alone: its weight against its GVWR and each
// axle against its rating. Room under the GCWR can hide either overload.
func (j *judge) motorhome() {
	t := j.rig.Towing
	j.scaleTicket(ticket{
		id: "coupling.motorhome-weight", says: "coupling.motorhome_weight", weight: t.Actual, at: "/towing/actual",
	})
	j.ownRating(ownRating{
		id: "coupling.motorhome-gvwr", over: "coupling.motorhome_gvwr_over", within: "coupling.motorhome_gvwr_within",
		missing: "coupling.motorhome_gvwr_missing", remedy: "coupling.motorhome_gvwr_remedy",
		actual: t.Actual.Weight, rating: t.GVWR, field: "/towing/gvwr",
	})
	axles := []axle{{t.FrontAxle, "/towing/front_axle", "word.front_axle"}, {t.RearAxle, "/towing/rear_axle", "word.rear_axle"}}
	if t.TagAxle.Rating != nil || t.TagAxle.Actual != nil {
		axles = append(axles, axle{t.TagAxle, "/towing/tag_axle", "word.tag_axle"})
	}
	j.axles("coupling.motorhome-axle", "word.motorhome", axles, t.Actual.Weight)
}

// towedCar judges the car alone.
func (j *judge) towedCar() {
	t := j.rig.Towed
	j.scaleTicket(ticket{
		id: "coupling.car-weight", says: "coupling.car_weight", weight: t.Actual, at: "/towed/actual",
	})
	if t.Curb != nil && j.car != nil && t.Curb.Over(*j.car) {
		j.add(finding.Finding{
			ID: "coupling.car-below-curb", Verdict: finding.FindOut, Decides: true,
			Says:    finding.Say("coupling.car_below_curb", finding.Params{"actual": finding.MassOf(*j.car), "curb": finding.MassOf(*t.Curb)}),
			Figures: []finding.Figure{entered("figure.car_actual", *j.car), entered("figure.car_curb", *t.Curb)},
			Basis:   []finding.Basis{arithmetic("A loaded car cannot weigh less than its curb weight")},
			Fields:  []string{"/towed/actual/weight", "/towed/curb"},
		})
	}
	j.limit(finding.Say("limit.car_gvwr", nil), "/towed/gvwr", t.GVWR)
	j.ownRating(ownRating{
		id: "coupling.car-gvwr", over: "coupling.car_gvwr_over", within: "coupling.car_gvwr_within",
		missing: "coupling.car_gvwr_missing", remedy: "coupling.car_gvwr_remedy",
		actual: j.car, rating: t.GVWR, field: "/towed/gvwr",
	})
	j.axles("coupling.car-axle", "word.towed_car", []axle{
		{t.FrontAxle, "/towed/front_axle", "word.front_axle"}, {t.RearAxle, "/towed/rear_axle", "word.rear_axle"},
	}, j.car)
}

type ticket struct {
	id, says string // says is the stem of the sentences
	weight   rig.Weight
	at       string
}

// scaleTicket asks for a weight found on a scale. Any other figure is used to
// find what is too heavy, but never to call it light enough.
func (j *judge) scaleTicket(t ticket) {
	f := finding.Finding{
		ID: t.id, Verdict: finding.FindOut, Decides: true,
		Basis:  []finding.Basis{practice("Weigh each vehicle on a scale, loaded as it travels")},
		Remedy: finding.Advise(t.says+"_remedy", nil),
	}
	switch {
	case t.weight.Weight == nil:
		f.Says, f.Fields = finding.Say(t.says+"_missing", nil), []string{t.at + "/weight"}
	case t.weight.How != rig.Scale:
		f.Says, f.Fields = finding.Say(t.says+"_not_weighed", finding.Params{"weight": finding.MassOf(*t.weight.Weight)}), []string{t.at + "/how"}
		f.Figures = []finding.Figure{entered("figure.weight", *t.weight.Weight)}
	default:
		return
	}
	j.add(f)
}

type ownRating struct {
	id, over, within, missing, remedy string
	actual, rating                    *unit.Mass
	field                             string
}

// ownRating judges a vehicle's actual weight against its own GVWR. A missing
// actual weight was already asked for by scaleTicket.
func (j *judge) ownRating(o ownRating) {
	if o.rating == nil {
		j.add(finding.Finding{
			ID: o.id, Verdict: finding.FindOut, Decides: true,
			Says: finding.Say(o.missing, nil), Fields: []string{o.field},
			Remedy: finding.Advise("coupling.certification_label", nil),
			Basis:  []finding.Basis{practice("Every vehicle stays within its own GVWR")},
		})
		return
	}
	if o.actual == nil {
		return
	}
	f := finding.Finding{
		ID: o.id, Decides: true, Fields: []string{o.field},
		Figures: []finding.Figure{entered("figure.weight", *o.actual), entered("figure.gvwr", *o.rating)},
		Basis:   []finding.Basis{rated("GVWR on the certification label")},
	}
	params := finding.Params{"actual": finding.MassOf(*o.actual), "rating": finding.MassOf(*o.rating)}
	if o.actual.Over(*o.rating) {
		over := o.actual.Sub(*o.rating).To(*o.actual)
		params["over"] = finding.MassOf(over)
		f.Verdict, f.Says, f.Remedy = finding.NoGo, finding.Say(o.over, params), finding.Advise(o.remedy, nil)
		f.Figures = append(f.Figures, computed("figure.over", over))
	} else {
		f.Verdict, f.Says = finding.OK, finding.Say(o.within, params)
	}
	j.add(f)
}

type axle struct {
	rig.Axle
	at, word string
}

// axles judges each axle against its rating. Missing figures are asked for in
// one finding that does not decide: a flat-towed car puts next to no weight on
// the motorhome's axles, and its own weight is judged as a whole.
func (j *judge) axles(id, vehicle string, axles []axle, actual *unit.Mass) {
	var missing []string
	var sum unit.Mass
	for i, a := range axles {
		if a.Rating == nil {
			missing = append(missing, a.at+"/rating")
		}
		if a.Actual == nil {
			missing = append(missing, a.at+"/actual")
			continue
		}
		if i == 0 {
			sum = *a.Actual
		} else {
			sum = sum.Add(*a.Actual)
		}
		if a.Rating != nil && a.Actual.Over(*a.Rating) {
			over := a.Actual.Sub(*a.Rating).To(*a.Actual)
			j.add(finding.Finding{
				ID: id, Verdict: finding.NoGo, Decides: true,
				Says: finding.Say("coupling.axle_over", finding.Params{
					"axle": finding.Word(a.word), "vehicle": finding.Word(vehicle),
					"actual": finding.MassOf(*a.Actual), "rating": finding.MassOf(*a.Rating), "over": finding.MassOf(over),
				}),
				Figures: []finding.Figure{entered("figure.axle_actual", *a.Actual), entered("figure.axle_rating", *a.Rating), computed("figure.over", over)},
				Basis:   []finding.Basis{rated("GAWR on the certification label")},
				Remedy:  finding.Advise("coupling.axle_remedy", nil),
				Fields:  []string{a.at + "/actual", a.at + "/rating"},
			})
		}
	}
	if len(missing) > 0 {
		j.add(finding.Finding{
			ID: id + "-missing", Verdict: finding.FindOut,
			Says: finding.Say("coupling.axle_missing", finding.Params{"vehicle": finding.Word(vehicle)}), Fields: missing,
			Remedy: finding.Advise("coupling.axle_missing_remedy", nil),
			Basis:  []finding.Basis{practice("Weigh each axle on the same scale ticket")},
		})
		return
	}
	j.axleSum(id, vehicle, axles, sum, actual)
}

// axleSum compares the axles with the whole: a difference over 3 % means that
// one of the figures was misread or belongs to another day.
func (j *judge) axleSum(id, vehicle string, axles []axle, sum unit.Mass, actual *unit.Mass) {
	if actual == nil || sum.ComparePercent(*actual, 97_000) >= 0 && sum.ComparePercent(*actual, 103_000) <= 0 {
		return
	}
	var fields []string
	for _, a := range axles {
		fields = append(fields, a.at+"/actual")
	}
	j.add(finding.Finding{
		ID: id + "-sum", Verdict: finding.FindOut, Decides: true,
		Says: finding.Say("coupling.axle_sum", finding.Params{
			"vehicle": finding.Word(vehicle), "sum": finding.MassOf(sum), "actual": finding.MassOf(*actual),
		}),
		Figures: []finding.Figure{computed("figure.axle_sum", sum), entered("figure.weight", *actual)},
		Basis:   []finding.Basis{arithmetic("The axles of one weighing add up to the whole, within 3 %")},
		Fields:  fields,
	})
}
