package readiness

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// trip judges the plan against the limits that the owner's manual sets.
func trip(r rig.Rig, t Trip) []finding.Finding {
	var all []finding.Finding
	for _, f := range []*finding.Finding{speed(r, t), distance(r, t), engineRun(r, t)} {
		if f != nil {
			all = append(all, *f)
		}
	}
	return all
}

// manual is the basis of every limit here.
func manual(p rig.Permission) []finding.Basis {
	b := finding.Basis{Kind: finding.Rating, Reference: "Owner's manual of the towed car"}
	if p.Page != "" {
		b.Reference += ", " + p.Page
	}
	return []finding.Basis{b}
}

func speed(r rig.Rig, t Trip) *finding.Finding {
	limit := r.Permission.MaxSpeed
	if limit == nil {
		return nil
	}
	f := finding.Finding{
		ID: "trip.manual-speed", Area: finding.Trip, Basis: manual(r.Permission), Fields: []string{"/permission/max_speed"},
		Figures: []finding.Figure{{Label: "figure.manual_speed", Value: finding.SpeedOf(*limit), Entered: true}},
	}
	params := finding.Params{"limit": finding.SpeedOf(*limit)}
	switch {
	case t.PlannedSpeed == nil:
		f.Verdict, f.Says = finding.Mind, finding.Say("trip.manual_speed", params)
	case t.PlannedSpeed.Over(*limit):
		params["planned"] = finding.SpeedOf(*t.PlannedSpeed)
		f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("trip.manual_speed_over", params)
		f.Remedy = finding.Advise("trip.manual_speed_remedy", params)
	default:
		params["planned"] = finding.SpeedOf(*t.PlannedSpeed)
		f.Verdict, f.Decides, f.Says = finding.OK, true, finding.Say("trip.manual_speed_within", params)
	}
	return &f
}

func distance(r rig.Rig, t Trip) *finding.Finding {
	limit := r.Permission.MaxDistance
	if limit == nil {
		return nil
	}
	f := finding.Finding{
		ID: "trip.manual-distance", Area: finding.Trip, Decides: true, Basis: manual(r.Permission), Fields: []string{"/permission/max_distance"},
		Figures: []finding.Figure{{Label: "figure.manual_distance", Value: finding.LengthOf(*limit), Entered: true}},
	}
	params := finding.Params{"limit": finding.LengthOf(*limit)}
	switch {
	case t.Distance == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("trip.manual_distance_unknown", params)
	case t.Distance.Over(*limit):
		params["distance"] = finding.LengthOf(*t.Distance)
		f.Verdict, f.Says = finding.NoGo, finding.Say("trip.manual_distance_over", params)
		f.Remedy = finding.Advise("trip.manual_distance_remedy", nil)
	default:
		params["distance"] = finding.LengthOf(*t.Distance)
		f.Verdict, f.Says = finding.OK, finding.Say("trip.manual_distance_within", params)
	}
	return &f
}

// engineRun reminds of the runs that the manual asks for on the way. What the
// run consists of stands in the manual, not here.
func engineRun(r rig.Rig, t Trip) *finding.Finding {
	every := r.Permission.EngineRunEveryH
	if every == nil || t.DrivingH != nil && *t.DrivingH <= *every {
		return nil
	}
	return &finding.Finding{
		ID: "trip.engine-run", Area: finding.Trip, Verdict: finding.Mind,
		Says:  finding.Say("trip.engine_run", finding.Params{"every": finding.Num(*every, "h")}),
		Basis: manual(r.Permission), Fields: []string{"/permission/engine_run_every_h"},
		Remedy: finding.Advise("trip.engine_run_remedy", nil),
	}
}
