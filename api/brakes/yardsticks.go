package brakes

import "pintail/api/unit"

// class is one row of the federal brake performance table, from 20 mph: the
// distance counts from the first movement of the pedal.
//
// Source: 49 CFR 393.52, read in a state's copy (67 Pa. Code ch. 175 Table I);
// that driveaway-towaway pairs are in B2 is from memory. It binds carriers: here
// it is a commercial yard-stick and no rule for a private tow.
type class struct {
	id                   string
	forcePct, decelFtS2  float64
	serviceFt, emergency float64
}

var classes = [...]class{
	{"a1", 65.2, 21, 20, 54},
	{"a2", 52.8, 17, 25, 66},
	{"a3", 43.5, 14, 35, 85},
	{"b1", 52.8, 17, 25, 66},
	{"b2", 43.5, 14, 35, 85},
	{"b3", 43.5, 14, 40, 90},
}

// trailerAsksBrakes reports whether a trailer of this weight needs brakes by the
// federal rule: over 3,000 lb always, else when it exceeds 40 % of the towing
// vehicle. Source: 49 CFR 393.42(b)(3), a yard-stick here.
func trailerAsksBrakes(trailer, towing unit.Mass) bool {
	return trailer.Over(unit.LB(3_000)) || trailer.ComparePercent(towing, 40_000) > 0
}

// barStrengthLB is what a driveaway tow bar must stand lengthwise and as a beam,
// pounds, for a towed vehicle of the weight given: 1.3 and 0.6 times its weight,
// and for one under 5,000 lb at least 6,500 and 3,000 lb. Source: 49 CFR
// 393.71(h)(1), from memory.
func barStrengthLB(towed float64) (long, beam float64) {
	if towed < 5_000 {
		return 6_500, 3_000
	}
	return 1.3 * towed, 0.6 * towed
}

// Form names a published way of reckoning stopping sight or stopping distance.
type Form string

// The forms.
const (
	AASHTO      Form = "aashto"       // 1.47 V t + 1.075 V²/a, 2.5 s and 11.2 ft/s², level
	AASHTOGrade Form = "aashto_grade" // 1.47 V t + V²/(30 (f ± G)), f = 11.2/32.2
	CDLManual   Form = "cdl_manual"   // 1.75 s perception, 0.75 s reaction, 216 ft of braking from 55 mph
	DriverChart Form = "driver_chart" // 1.1 V + 0.06 V²
)

// Values lists the forms.
func (Form) Values() []string {
	return []string{"aashto", "aashto_grade", "cdl_manual", "driver_chart"}
}

// FormResult is one form at the speed asked for, feet.
type FormResult struct {
	Form       Form    `json:"form"`
	ReactionFt float64 `json:"reaction_ft"`
	BrakingFt  float64 `json:"braking_ft"`
	TotalFt    float64 `json:"total_ft"`
}

// Design values of the AASHTO forms: seconds and ft/s².
const aashtoReaction, aashtoDecel = 2.5, 11.2

// formsAt are the forms at V mph on a grade, per cent, uphill positive. On a
// grade so steep that a form gives no stop it is left out.
func formsAt(v, gradePct float64) []FormResult {
	reaction := 1.47 * v * aashtoReaction
	all := make([]FormResult, 0, 4)
	add := func(f Form, reaction, braking float64) {
		all = append(all, FormResult{Form: f, ReactionFt: unit.Round9(reaction), BrakingFt: unit.Round9(braking), TotalFt: unit.Round9(reaction + braking)})
	}
	add(AASHTO, reaction, 1.075*v*v/aashtoDecel)
	if f := aashtoDecel/32.2 + gradePct/100; f > 0 {
		add(AASHTOGrade, reaction, v*v/(30*f))
	}
	add(CDLManual, v*mph/foot*(1.75+0.75), 216*v*v/(55*55))
	add(DriverChart, 1.1*v, 0.06*v*v)
	return all
}
