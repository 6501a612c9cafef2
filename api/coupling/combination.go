package coupling

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// combination judges what the motorhome's maker allows behind it: the GCWR and
// the towing limits with and without working brakes on the car.
func (j *judge) combination() {
	j.ratingsAgree()
	j.gcwr()
	j.towLimit()
	j.unbrakedLimit()
}

// ratingsAgree finds a GCWR below the GVWR: one of the two was misread.
func (j *judge) ratingsAgree() {
	t := j.rig.Towing
	if t.GCWR == nil || t.GVWR == nil || !t.GVWR.Over(*t.GCWR) {
		return
	}
	j.add(finding.Finding{
		ID: "coupling.gcwr-below-gvwr", Verdict: finding.FindOut, Decides: true,
		Says:    finding.Say("coupling.gcwr_below_gvwr", finding.Params{"gcwr": finding.MassOf(*t.GCWR), "gvwr": finding.MassOf(*t.GVWR)}),
		Figures: []finding.Figure{entered("figure.gcwr", *t.GCWR), entered("figure.gvwr", *t.GVWR)},
		Basis:   []finding.Basis{arithmetic("The most both may weigh cannot be below the most one of them may weigh")},
		Fields:  []string{"/towing/gcwr", "/towing/gvwr"},
	})
}

// gcwr judges GCWR less the motorhome's actual weight. Without an actual weight
// GCWR less GVWR is shown as what would be left if the motorhome is within its
// GVWR, and the question stays open.
func (j *judge) gcwr() {
	t := j.rig.Towing
	name := finding.Say("limit.gcwr", nil)
	if t.GCWR == nil {
		j.limit(name, "/towing/gcwr", nil)
		j.add(finding.Finding{
			ID: "coupling.gcwr", Verdict: finding.FindOut, Decides: true,
			Says: finding.Say("coupling.gcwr_missing", nil), Fields: []string{"/towing/gcwr"},
			Remedy: finding.Advise("coupling.gcwr_missing_remedy", nil),
			Basis:  []finding.Basis{practice("Motorhome and car together stay within the GCWR")},
		})
		return
	}
	if t.Actual.Weight == nil {
		j.limit(name, "/towing/actual/weight", nil)
		j.gcwrUnweighed()
		return
	}
	room := t.GCWR.Sub(*t.Actual.Weight)
	j.limit(name, "/towing/gcwr", &room)
	if j.car == nil {
		return
	}
	together := t.Actual.Weight.Add(*j.car)
	f := finding.Finding{
		ID: "coupling.gcwr", Decides: true, Fields: []string{"/towing/gcwr", "/towing/actual/weight", "/towed/actual/weight"},
		Figures: []finding.Figure{
			entered("figure.gcwr", *t.GCWR), entered("figure.motorhome_actual", *t.Actual.Weight), entered("figure.car_actual", *j.car),
			computed("figure.room", room),
		},
		Basis: []finding.Basis{rated("GCWR of the motorhome"), arithmetic("GCWR less the motorhome's actual weight")},
	}
	params := finding.Params{"gcwr": finding.MassOf(*t.GCWR), "together": finding.MassOf(together), "room": finding.MassOf(room), "car": finding.MassOf(*j.car)}
	if together.Over(*t.GCWR) {
		over := together.Sub(*t.GCWR)
		params["over"] = finding.MassOf(over)
		f.Verdict, f.Says, f.Remedy = finding.NoGo, finding.Say("coupling.gcwr_over", params), finding.Advise("coupling.gcwr_remedy", nil)
		f.Figures = append(f.Figures, computed("figure.over", over))
	} else {
		f.Verdict, f.Says = finding.OK, finding.Say("coupling.gcwr_within", params)
	}
	j.add(f)
}

// gcwrUnweighed says what GCWR less GVWR would leave. It never closes the
// question: the arithmetic holds only for a motorhome within its GVWR.
func (j *judge) gcwrUnweighed() {
	t := j.rig.Towing
	if t.GVWR == nil || t.GVWR.Over(*t.GCWR) {
		return
	}
	room := t.GCWR.Sub(*t.GVWR)
	f := finding.Finding{
		ID: "coupling.gcwr", Verdict: finding.FindOut, Decides: true,
		Figures: []finding.Figure{entered("figure.gcwr", *t.GCWR), entered("figure.gvwr", *t.GVWR), computed("figure.room", room)},
		Basis:   []finding.Basis{arithmetic("GCWR less GVWR, which holds only while the motorhome is within its GVWR")},
		Remedy:  finding.Advise("coupling.motorhome_weight_remedy", nil),
		Fields:  []string{"/towing/actual/weight"},
	}
	params := finding.Params{"room": finding.MassOf(room)}
	if j.car == nil {
		f.Says = finding.Say("coupling.gcwr_unweighed", params)
	} else {
		params["car"] = finding.MassOf(*j.car)
		f.Says = finding.Say("coupling.gcwr_unweighed_car", params)
		f.Figures = append(f.Figures, entered("figure.car_actual", *j.car))
	}
	j.add(f)
}

// towLimit judges the chassis maker's greatest towed weight with brakes. The
// limit without brakes answers too where the car is within it.
func (j *judge) towLimit() {
	t := j.rig.Towing
	limit, field := t.TowLimitBraked, "/towing/tow_limit_braked"
	if limit == nil && t.TowLimitUnbraked != nil && j.car != nil && !j.car.Over(*t.TowLimitUnbraked) {
		limit, field = t.TowLimitUnbraked, "/towing/tow_limit_unbraked"
	}
	j.limit(finding.Say("limit.tow_limit", nil), field, limit)
	if limit == nil {
		j.add(finding.Finding{
			ID: "coupling.tow-limit", Verdict: finding.FindOut, Decides: true,
			Says: finding.Say("coupling.tow_limit_missing", nil), Fields: []string{"/towing/tow_limit_braked"},
			Remedy: finding.Advise("coupling.tow_limit_missing_remedy", nil),
			Basis:  []finding.Basis{practice("The lowest rating in the pull governs; the chassis maker's is one of them")},
		})
		return
	}
	j.against("coupling.tow-limit", "coupling.tow_limit_over", "coupling.tow_limit_within", *limit, field, rated("The motorhome maker's towing limit"))
}

// unbrakedLimit judges the chassis maker's limit for a car without working
// brakes. It is a rating: it holds whatever the law says.
func (j *judge) unbrakedLimit() {
	limit, fitted := j.rig.Towing.TowLimitUnbraked, j.rig.BrakeUnit.Fitted
	if rig.Is(fitted, true) {
		return
	}
	f := finding.Finding{
		ID: "coupling.unbraked-limit", Decides: true,
		Fields: []string{"/towing/tow_limit_unbraked", "/brake_unit/fitted"},
		Basis:  []finding.Basis{rated("The chassis maker's limit for towing without brakes on the towed vehicle")},
		Remedy: finding.Advise("coupling.unbraked_remedy", nil),
	}
	switch {
	case limit == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("coupling.unbraked_missing", nil)
		f.Basis = []finding.Basis{practice("Some chassis makers ask for brakes on anything heavier than a small trailer")}
	case j.car == nil:
		return // the missing weight was asked for already
	case !j.car.Over(*limit):
		f.Verdict, f.Remedy = finding.OK, nil
		f.Says = finding.Say("coupling.unbraked_within", finding.Params{"car": finding.MassOf(*j.car), "limit": finding.MassOf(*limit)})
	case rig.Is(fitted, false):
		f.Verdict = finding.NoGo
		f.Says = finding.Say("coupling.unbraked_over", finding.Params{"car": finding.MassOf(*j.car), "limit": finding.MassOf(*limit)})
	default:
		f.Verdict = finding.FindOut
		f.Says = finding.Say("coupling.unbraked_unknown", finding.Params{"car": finding.MassOf(*j.car), "limit": finding.MassOf(*limit)})
	}
	if limit != nil && j.car != nil {
		f.Figures = []finding.Figure{entered("figure.car_actual", *j.car), entered("figure.tow_limit_unbraked", *limit)}
	}
	if !rig.Is(fitted, true) && limit != nil {
		j.limit(finding.Say("limit.tow_limit_unbraked", nil), "/towing/tow_limit_unbraked", limit)
	}
	j.add(f)
}

// against judges the car's weight against one limit, where both are known.
func (j *judge) against(id, over, within string, limit unit.Mass, field string, basis finding.Basis) {
	if j.car == nil {
		return
	}
	f := finding.Finding{
		ID: id, Decides: true, Fields: []string{field},
		Figures: []finding.Figure{entered("figure.car_actual", *j.car), entered("figure.limit", limit)},
		Basis:   []finding.Basis{basis},
	}
	params := finding.Params{"car": finding.MassOf(*j.car), "limit": finding.MassOf(limit)}
	if j.car.Over(limit) {
		excess := j.car.Sub(limit).To(*j.car)
		params["over"] = finding.MassOf(excess)
		f.Verdict, f.Says, f.Remedy = finding.NoGo, finding.Say(over, params), finding.Advise("coupling.lighter_or_stronger", nil)
		f.Figures = append(f.Figures, computed("figure.over", excess))
	} else {
		f.Verdict, f.Says = finding.OK, finding.Say(within, params)
	}
	j.add(f)
}
