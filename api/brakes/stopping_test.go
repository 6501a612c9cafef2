package brakes

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, tolerance)
	}
}

const lb = pound

// Braking from 20 mph at the decelerations of state and federal tables, and the
// distances printed beside them. Source: arithmetic v²/2a; R.I. 31-23-5, Ga.
// 40-8-53 (30/14, 40/10.7), N.J. 39:3-68 (45/9.5), 49 CFR 393.52 (20/21, 25/17).
func TestBrakingFrom20(t *testing.T) {
	near(t, "20 mph in ft/s", twenty/foot, 29.3333, 1e-4)
	near(t, "v²", math.Pow(twenty/foot, 2), 860.444, 1e-3)
	for _, c := range []struct{ a, ft, printed float64 }{{21, 20.49, 20}, {17, 25.31, 25}, {14, 30.73, 30}, {10.7, 40.21, 40}, {9.5, 45.29, 45}} {
		got := brakingM(twenty, c.a*foot) / foot
		near(t, "computed", got, c.ft, 0.01)
		near(t, "printed", got, c.printed, 1)
	}
	for ft, a := range map[float64]float64{25: 17.21, 30: 14.34, 35: 12.29, 40: 10.76, 45: 9.56, 50: 8.60} {
		near(t, "equal deceleration", decelOf(twenty, ft*foot, 0)/foot, a, 0.01)
	}
	// Statutes' pairs of distance and deceleration lie within 0.35 ft/s².
	for ft, a := range map[float64]float64{30: 14, 40: 10.7, 45: 9.5} {
		near(t, "statute", decelOf(twenty, ft*foot, 0)/foot, a, 0.35)
	}
}

// 100 a/g is the force column: with g = 32.2 ft/s² as the table was built, and
// with the standard value. Source: 49 CFR 393.52 columns agree.
func TestForceColumn(t *testing.T) {
	for _, c := range []struct{ a, old, standard float64 }{{21, 65.2, 65.27}, {17, 52.8, 52.84}, {14, 43.5, 43.51}} {
		near(t, "g 32.2", 100*c.a/32.2, c.old, 0.05)
		near(t, "g 9.80665", 100*c.a*foot/gravity, c.standard, 0.1)
	}
	for _, k := range classes {
		near(t, k.id, 100*k.decelFtS2*foot/gravity, k.forcePct, 0.1)
	}
}

// The lag that a distance leaves. Source: arithmetic.
func TestLag(t *testing.T) {
	for _, c := range []struct{ ft, s float64 }{{35, 0.146}, {40, 0.316}, {50, 0.657}} {
		near(t, "lag", lagIn(twenty, c.ft*foot, 14*foot), c.s, 0.002)
	}
}

func stopped(towing, towed float64, alone *unit.Length) StoppingInput {
	r := &rig.Rig{}
	r.Towing.Actual.Weight, r.Towed.Actual.Weight = ptr(unit.LB(towing)), ptr(unit.LB(towed))
	r.Stopping.Alone = rig.Stop{From: ptr(unit.MPH(20)), Distance: alone}
	return StoppingInput{Rig: r}
}

func caseOf(t *testing.T, r StoppingReport, k CaseKind) StopCase {
	t.Helper()
	i := slices.IndexFunc(r.Cases, func(c StopCase) bool { return c.Case == k })
	if i < 0 {
		t.Fatalf("no case %s in %v", k, r.Cases)
	}
	return r.Cases[i]
}

// The worked case: 26.0 ft alone, 31.2 ft with 4,000 lb unbraked, 28.4 ft with
// the car giving itself half the deceleration. Every step by hand in example_test.go.
func TestStoppingWorkedCase(t *testing.T) {
	in := stopped(20_000, 4_000, ptr(unit.FT(26)))
	in.Rig.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), CarSharePct: ptr(50.0)}
	r := Stopping(in)
	near(t, "alone", caseOf(t, r, Alone).From20Ft, 26.0, 1e-8)
	near(t, "unbraked", caseOf(t, r, PairUnbraked).From20Ft, 31.2, 1e-7)
	near(t, "braked", caseOf(t, r, PairBraked).From20Ft, 28.3636364, 1e-7)
	// The same by the share the other way: a pair measured in 28.3636 ft.
	in.Rig.BrakeUnit.CarSharePct = nil
	in.Rig.Stopping.PairFrom20MPH = ptr(unit.FT(28.364))
	near(t, "share found", *Stopping(in).CarSharePct, 50, 0.02)
}

// 20,000 lb that gives 14 ft/s², 4,000 lb behind it unbraked. Source: arithmetic;
// the links are those of the 30 and 40 ft statutes.
func TestUnbrakedMass(t *testing.T) {
	a := pairDecel(14*foot, 20_000*lb, 0, 4_000*lb)
	near(t, "a'", a/foot, 11.667, 0.001)
	near(t, "20 mph", brakingM(twenty, a)/foot, 36.88, 0.1)
	near(t, "60 mph", brakingM(60*mph, a)/foot, 331.9, 0.1)
	near(t, "60 mph alone", brakingM(60*mph, 14*foot)/foot, 276.6, 0.1)
	near(t, "ratio", 14*foot/a, 1.2, 1e-12)
	needed, gap := forces(43.5, 20_000, 4_000)
	near(t, "force", needed, 10_440, 1)
	near(t, "gap", gap, 1_740, 1)
	near(t, "motorhome alone", needed-gap, 8_700, 1)
	near(t, "share where 14 becomes 10.7", unbrakedShare(1/10.7, 1/14.0), 0.308, 0.001)
	near(t, "share using up 35 ft", unbrakedShare(35*foot, brakingM(twenty, 14*foot)), 0.139, 0.001)
	near(t, "share using up 40 ft", unbrakedShare(40*foot, brakingM(twenty, 14*foot)), 0.302, 0.001)
}

// Class A3 allows 35 ft, B3 40 ft: 36 ft fails one and passes the other.
func TestClassesExact(t *testing.T) {
	in := StoppingInput{Rig: &rig.Rig{Stopping: rig.Stopping{PairFrom20MPH: ptr(unit.FT(36))}}}
	met := map[string]bool{}
	for _, c := range Stopping(in).Classes {
		met[c.Class] = *c.PairMeasuredMet
	}
	if met["a3"] || !met["b3"] {
		t.Errorf("36 ft: %v", met)
	}
	in.Rig.Stopping.PairFrom20MPH = ptr(unit.FT(35))
	if c := Stopping(in).Classes[2]; !*c.PairMeasuredMet {
		t.Error("35 ft is not within 35 ft")
	}
	// 10.668 m is 35 ft exactly; a millimetre more is over.
	in.Rig.Stopping.PairFrom20MPH = ptr(unit.M(10.669))
	if c := Stopping(in).Classes[2]; *c.PairMeasuredMet {
		t.Error("10.669 m is within 35 ft")
	}
}

// 3,000 lb behind 3,400 lb needs brakes (88.2 %), behind 7,500 lb it is 40 %
// exactly and does not exceed it. Source: 49 CFR 393.42(b)(3) and its guidance.
func TestTrailerRule(t *testing.T) {
	if !trailerAsksBrakes(unit.LB(3_000), unit.LB(3_400)) || trailerAsksBrakes(unit.LB(3_000), unit.LB(7_500)) || !trailerAsksBrakes(unit.LB(3_000.001), unit.LB(7_500.002)) {
		t.Error("the 40 % line is not where it is")
	}
	y := Stopping(stopped(3_400, 3_000, nil)).Yardsticks
	near(t, "per cent", y.CarOfMotorhomePct, 88.2, 0.1)
}

// 49 CFR 393.71(h)(1), from memory: 4,000 lb is 5,200 and 2,400 lb raw, and the
// row for less than 5,000 lb governs.
func TestBarStrength(t *testing.T) {
	long, beam := barStrengthLB(4_000)
	if long != 6_500 || beam != 3_000 {
		t.Errorf("got %v, %v", long, beam)
	}
	near(t, "raw", 1.3*4_000, 5_200, 0)
	long, beam = barStrengthLB(5_000)
	if long != 6_500 || beam != 3_000 {
		t.Errorf("5,000 lb: got %v, %v", long, beam)
	}
}

// The line of a commercial vehicle, 10,001 lb, prints as 4,536 kg.
func TestCommercialThreshold(t *testing.T) {
	near(t, "kg", unit.LB(10_001).In("kg"), 4_536.377, 0.001)
}

// Published stops of other books: the same two formulas in their units.
func TestStopsOfTextbooks(t *testing.T) {
	// OpenStax: 30.0 m/s at 7.00 and 5.00 m/s², 0.500 s to react.
	near(t, "dry", brakingM(30, 7), 64.3, 0.1)
	near(t, "wet", brakingM(30, 5), 90.0, 0.1)
	near(t, "dry with reaction", brakingM(30, 7)+15, 79.3, 0.1)
	near(t, "wet with reaction", brakingM(30, 5)+15, 105, 0.1)
	// A road-accident text: 25 m/s, friction 0.5 and 0.7, g 9.81; mass falls out.
	near(t, "0.5", brakingM(25, 0.5*9.81), 63.71, 0.01)
	near(t, "0.7", brakingM(25, 0.7*9.81), 45.51, 0.01)
	// HyperPhysics' problem: 24.6 m/s at 7.8 m/s².
	near(t, "way", brakingM(24.6, 7.8), 38.8, 0.05)
	near(t, "time", 24.6/7.8, 3.15, 0.05)
	// A textbook problem: 15 and 55 mph, 0.700 s, 12.0 ft/s²; one posted solution
	// has 21.5 ft by a slip.
	for v, want := range map[float64]float64{15: 35.57, 55: 327.6} {
		near(t, "feet", (v*mph*0.7+brakingM(v*mph, 12*foot))/foot, want, 0.1)
	}
	// American Samoa Code 22.1109: 0.0925 V² ft.
	a := mph * mph / foot / foot / 2 / 0.0925
	for v, want := range map[float64]float64{10: 9.3, 15: 20.8, 20: 37.0, 25: 58.0, 30: 83.3} {
		near(t, "feet", brakingM(v*mph/foot, a), want, 0.2)
	}
	// 20,000 lb at 60 mph: 3.263 MJ, 2.407e6 ft·lbf.
	e := 20_000 * lb * math.Pow(60*mph, 2) / 2
	near(t, "joules", e, 3.263e6, 3.263e3)
	near(t, "foot-pounds", e/foot/lb/gravity, 2.407e6, 2.407e3)
}

func formOf(all []FormResult, f Form) FormResult {
	return all[slices.IndexFunc(all, func(r FormResult) bool { return r.Form == f })]
}

// AASHTO's design stop, 2.5 s and 11.2 ft/s². Source: textbook reprints; values
// at other speeds and on grades are the forms' own arithmetic, beside what AASHTO
// prints (from memory) within 1 ft on grades.
func TestAASHTOForms(t *testing.T) {
	for v, want := range map[float64]float64{20: 111.9, 30: 196.6, 40: 300.6, 50: 423.7, 55: 492.5, 60: 566.0, 65: 644.4, 70: 727.6} {
		near(t, "level, 1.075 V²/a", formOf(formsAt(v, 0), AASHTO).TotalFt, want, 0.2)
	}
	level := formsAt(60, 0)
	near(t, "reaction", formOf(level, AASHTO).ReactionFt, 220.5, 0.1)
	near(t, "braking, 1.075 V²/a", formOf(level, AASHTO).BrakingFt, 345.5, 0.1)
	near(t, "braking, V²/(30 f)", formOf(level, AASHTOGrade).BrakingFt, 345.0, 0.1)
	near(t, "total, V²/(30 f)", formOf(level, AASHTOGrade).TotalFt, 565.5, 0.1)
	for pct, want := range map[float64]float64{-3: 598.1, -6: 637.4, -9: 685.9, 3: 538.1, 6: 514.7, 9: 494.6, -4: 610.3} {
		near(t, "grade", formOf(formsAt(60, pct), AASHTOGrade).TotalFt, want, 0.2)
	}
	for pct, printed := range map[float64]float64{-3: 598, -6: 638, -9: 686, 3: 538, 6: 515, 9: 495} {
		near(t, "printed", formOf(formsAt(60, pct), AASHTOGrade).TotalFt, printed, 1)
	}
}

// The CDL manual's 55 mph: 142 + 61 + 216 = 419 ft as printed, 15.06 ft/s²; and
// the drivers' chart 1.1 V + 0.06 V².
func TestDriverForms(t *testing.T) {
	near(t, "perception", 55*mph/foot*1.75, 142, 1)
	near(t, "reaction", 55*mph/foot*0.75, 61, 1)
	near(t, "total", formOf(formsAt(55, 0), CDLManual).TotalFt, 419, 1.5)
	near(t, "deceleration", decelOf(55*mph, 216*foot, 0)/foot, 15.06, 0.01)
	for v, want := range map[float64]float64{10: 17, 20: 46, 30: 87, 40: 140, 50: 205} {
		near(t, "chart", formOf(formsAt(v, 0), DriverChart).TotalFt, want, 1e-9)
	}
	// Braking grows with the square: twice the speed four times, three times nine.
	near(t, "scaling", brakingM(60, 5)/brakingM(20, 5), 9, 1e-12)
}

// Two ways through the units give the same nine digits: 62.5 mph is 100.584
// km/h, 26 ft 7,924.8 mm, 100,000 lb 45,359.237 kg, all exactly.
func TestSIEqualsUS(t *testing.T) {
	us := stopped(100_000, 20_000, ptr(unit.FT(254)))
	us.Rig.Stopping.Alone.From = ptr(unit.MPH(62.5))
	us.Speed, us.Rig.BrakeUnit.CarSharePct, us.ReactionS, us.GradePct, us.Friction = ptr(unit.MPH(62.5)), ptr(50.0), ptr(0.75), ptr(-4.0), ptr(0.4)
	si := us
	r := *us.Rig
	r.Towing.Actual.Weight = ptr(unit.KG(45_359.237))
	kmh, err := unit.NewSpeed(100.584, "km_h")
	if err != nil {
		t.Fatal(err)
	}
	r.Stopping.Alone = rig.Stop{From: &kmh, Distance: ptr(unit.M(77.419))} // 254 ft is 77.4192 m
	us.Rig.Stopping.Alone.Distance = ptr(unit.M(77.419))
	si.Rig, si.Speed = &r, &kmh
	a, errA := strictjson.Marshal(Stopping(us).Cases)
	b, errB := strictjson.Marshal(Stopping(si).Cases)
	if errA != nil || errB != nil || string(a) != string(b) {
		t.Errorf("US %s\nSI %s", a, b)
	}
	mm, err := unit.NewLength(7_924.8, "mm")
	if err != nil {
		t.Fatal(err)
	}
	one, two := Stopping(stopped(20_000, 4_000, ptr(unit.FT(26)))), Stopping(stopped(20_000, 4_000, &mm))
	if one.Cases[1].From20Ft != two.Cases[1].From20Ft {
		t.Errorf("%v and %v", one.Cases[1].From20Ft, two.Cases[1].From20Ft)
	}
	// And by the formula in feet against the formula in metres.
	near(t, "ft", unit.Round9(29.0+1.0/3)*unit.Round9(29.0+1.0/3)/2/14, brakingM(twenty, 14*foot)/foot, 1e-6)
}

func TestStoppingVerdicts(t *testing.T) {
	limit := func(ft float64, braked *bool) []StopLimit {
		return []StopLimit{{Name: "Rhode Island", From: unit.MPH(20), Distance: unit.FT(ft), Braked: braked}}
	}
	from30 := func(ft float64) rig.Stop { return rig.Stop{From: ptr(unit.MPH(30)), Distance: ptr(unit.FT(ft))} }
	for name, c := range map[string]struct {
		change  func(*StoppingInput)
		verdict finding.Verdict
		id      string
		is      finding.Verdict
	}{
		"ErrNothingMeasured": {func(in *StoppingInput) { in.Rig.Stopping = rig.Stopping{} }, finding.FindOut, "stopping", finding.FindOut},
		"ErrNoWeight":        {func(in *StoppingInput) { in.Rig.Towed.Actual.Weight = nil }, finding.FindOut, "stopping", finding.FindOut},
		"Unbraked":           {func(in *StoppingInput) { in.Rig.BrakeUnit.Fitted = ptr(false) }, finding.OK, "stopping", finding.Mind},
		"ShareUnknown":       {func(*StoppingInput) {}, finding.OK, "stopping", finding.FindOut},
		"OKMeasured":         {func(in *StoppingInput) { in.Rig.Stopping.PairFrom20MPH = ptr(unit.FT(29)) }, finding.OK, "stopping", finding.OK},
		"OKLimit":            {func(in *StoppingInput) { in.Rig.Stopping.PairFrom20MPH, in.Limits = ptr(unit.FT(29)), limit(30, nil) }, finding.OK, "limits", finding.OK},
		"OKLimitExactly":     {func(in *StoppingInput) { in.Rig.Stopping.PairFrom20MPH, in.Limits = ptr(unit.FT(30)), limit(30, nil) }, finding.OK, "limits", finding.OK},
		"ErrLimit": {func(in *StoppingInput) {
			in.Rig.Stopping.PairFrom20MPH, in.Limits = ptr(unit.FT(30.001)), limit(30, nil)
		}, finding.NoGo, "limit.0", finding.NoGo},
		// 60.8 ft from 30 mph comes to (20/30)² of it, 27.02 ft, from 20: not seen there.
		"LimitFromAnotherSpeed":    {func(in *StoppingInput) { in.Rig.Stopping.Pair, in.Limits = from30(60.8), limit(30, nil) }, finding.OK, "limits", finding.Mind},
		"ErrLimitFromAnotherSpeed": {func(in *StoppingInput) { in.Rig.Stopping.Pair, in.Limits = from30(69), limit(30, nil) }, finding.FindOut, "limit.0", finding.FindOut},
		"ErrLimitReckoned":         {func(in *StoppingInput) { in.Rig.BrakeUnit.Fitted, in.Limits = ptr(false), limit(30, nil) }, finding.FindOut, "limit.0", finding.FindOut},
		"ErrLimitAlone":            {func(in *StoppingInput) { in.Rig.BrakeUnit.Fitted, in.Limits = ptr(false), limit(25, nil) }, finding.NoGo, "limit.0", finding.NoGo},
		"LimitReckonedKept":        {func(in *StoppingInput) { in.Rig.BrakeUnit.Fitted, in.Limits = ptr(false), limit(40, nil) }, finding.OK, "limits", finding.Mind},
		"ErrLimitUnknown":          {func(in *StoppingInput) { in.Limits = limit(40, nil) }, finding.FindOut, "limit.0", finding.FindOut},
		"LimitOfAnotherState":      {func(in *StoppingInput) { in.Rig.BrakeUnit.Fitted, in.Limits = ptr(false), limit(20, ptr(true)) }, finding.OK, "stopping", finding.Mind},
		"Tightened": {func(in *StoppingInput) {
			in.Rig.BrakeUnit.Fitted, in.Limits = ptr(false), append(limit(30, ptr(true)), limit(40, ptr(false))...)
		}, finding.OK, "tightened.0", finding.Mind},
		"Stretched": {func(in *StoppingInput) { in.Speed = ptr(unit.MPH(55)) }, finding.OK, "stretched", finding.Mind},
		"ErrNeverStands": {func(in *StoppingInput) {
			in.Speed, in.GradePct, in.Surface = ptr(unit.MPH(20)), ptr(-25.0), SnowSurface
		}, finding.NoGo, "no-stop", finding.NoGo},
		"ShareWithoutUnit": {func(in *StoppingInput) { in.Rig.BrakeUnit.CarSharePct = ptr(50.0) }, finding.OK, "stopping", finding.FindOut},
		// 31.2 ft is the pair with the car not braking: 31.3 ft asks of the car to push.
		"StopsDifferLong": {func(in *StoppingInput) { in.Rig.Stopping.PairFrom20MPH = ptr(unit.FT(31.3)) }, finding.OK, "stops-differ", finding.FindOut},
		// 20 ft asks 2.8 times the motorhome's 0.514 of the car: friction 1.44.
		"StopsDifferShort": {func(in *StoppingInput) { in.Rig.Stopping.PairFrom20MPH = ptr(unit.FT(20)) }, finding.OK, "stops-differ", finding.FindOut},
		"AxlesUnweighed":   {func(in *StoppingInput) { in.TowingFrontPct = ptr(60.0) }, finding.OK, "axles", finding.FindOut},
		"Locks":            {func(in *StoppingInput) { in.Surface = WetSurface }, finding.OK, "lock", finding.Mind},
	} {
		t.Run(name, func(t *testing.T) {
			in := stopped(20_000, 4_000, ptr(unit.FT(26)))
			c.change(&in)
			r := Stopping(in)
			if r.Verdict != c.verdict {
				t.Errorf("verdict %s, want %s: %v", r.Verdict, c.verdict, r.Findings)
			}
			i := slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.ID == "brakes."+c.id })
			if i < 0 || r.Findings[i].Verdict != c.is {
				t.Errorf("no %s that is %s in %v", c.id, c.is, r.Findings)
			}
			for _, f := range r.Findings {
				if f.Verdict == finding.OK && len(f.Basis) == 0 || f.Says.Sentence == f.Says.ID {
					t.Errorf("%+v", f)
				}
			}
		})
	}
}

// A car braking as hard as the motorhome leaves the deceleration as it is,
// whatever it weighs; a lag measured apart stays what it is at any speed.
func TestStoppingIdentities(t *testing.T) {
	near(t, "equal", pairDecel(4.2, 9_000, 4.2, 1_800), 4.2, 1e-12)
	in := stopped(20_000, 4_000, ptr(unit.FT(35)))
	in.Rig.Stopping.Alone.LagS = ptr(0.146)
	in.Speed = ptr(unit.MPH(60))
	alone := caseOf(t, Stopping(in), Alone)
	near(t, "deceleration behind the lag", alone.DecelFtS2, 14, 0.01)
	near(t, "60 mph", alone.At.TotalFt, 88*0.146+276.6, 0.3)
}

// Two stops that no car explains give no share and no push on the bar; the pair
// stopping just as if the car did not brake gives a share of nothing.
func TestStopsThatDiffer(t *testing.T) {
	in := stopped(20_000, 4_000, ptr(unit.FT(26)))
	for _, c := range []struct {
		ft    float64
		share *float64
	}{{31.2, ptr(0.0)}, {31.3, nil}, {60, nil}, {20, nil}, {28.4, ptr(49.2957746)}} {
		in.Rig.Stopping.PairFrom20MPH = ptr(unit.FT(c.ft))
		r := Stopping(in)
		if (r.CarSharePct == nil) != (c.share == nil) || (caseOf(t, r, PairMeasured).BarPushLbf == nil) != (c.share == nil) {
			t.Errorf("%v ft: share %v, %+v", c.ft, r.CarSharePct, caseOf(t, r, PairMeasured))
		} else if c.share != nil {
			near(t, "share", *r.CarSharePct, *c.share, 1e-6) // (26/28.4 × 24,000 - 20,000)/4,000
		}
	}
}

// Loads of a weighed car: the front axle takes 70 % of the force on 56 % of the
// load, so its tires are asked for 1.244 times the car's own deceleration.
func TestAxleDemand(t *testing.T) {
	in := stopped(20_000, 4_000, ptr(unit.FT(26)))
	in.Rig.Towed.FrontAxle.Actual, in.Rig.Towed.RearAxle.Actual = ptr(unit.LB(2_250)), ptr(unit.LB(1_750))
	in.CarSharePct, in.TowedFrontPct, in.Friction = ptr(100.0), ptr(70.0), ptr(0.55)
	r := Stopping(in)
	i := slices.IndexFunc(r.Axles, func(a AxleDemand) bool { return a.Axle == TowedFront })
	a := r.Axles[i]
	near(t, "front", a.Friction, 16.5470085/32.1740486*0.7/0.5625, 1e-7)
	if !*a.Locks || *r.Axles[i+1].Locks {
		t.Errorf("axles %v", r.Axles)
	}
	near(t, "the motorhome as a whole", r.Axles[0].Friction, 16.5470085/32.1740486, 1e-8)
}

func TestStoppingProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := stopped(float64(rapid.IntRange(2_000, 60_000).Draw(t, "motorhome")), float64(rapid.IntRange(400, 19_000).Draw(t, "car")), nil)
		ft := float64(rapid.IntRange(13, 200).Draw(t, "feet"))
		in.Rig.Stopping.Alone.Distance = ptr(unit.FT(ft))
		in.CarSharePct = ptr(rapid.Float64Range(0, 200).Draw(t, "share"))
		in.Speed = ptr(unit.MPH(float64(rapid.IntRange(5, 100).Draw(t, "speed"))))
		in.GradePct = ptr(rapid.Float64Range(-30, 30).Draw(t, "grade"))
		if rapid.Bool().Draw(t, "surface known") {
			in.Surface = Surface(rapid.SampledFrom(Surface("").Values()).Draw(t, "surface"))
		}
		if err := in.Validate(); err != nil {
			t.Fatal(err)
		}
		r := Stopping(in)
		if _, err := strictjson.Marshal(r); err != nil {
			t.Fatal(err)
		}
		unbraked, braked, alone := r.Cases[1], r.Cases[2], r.Cases[0]
		if unbraked.From20Ft < alone.From20Ft || braked.From20Ft > unbraked.From20Ft*(1+1e-8) {
			t.Fatalf("%v", r.Cases)
		}
		if *in.CarSharePct == 100 && math.Abs(braked.DecelMS2/alone.DecelMS2-1) > 1e-8 {
			t.Fatalf("equal shares: %v", r.Cases)
		}
		// More unbraked mass never stops shorter, as asked for too.
		heavier := in
		more := *in.Rig
		more.Towed.Actual.Weight = ptr(in.Rig.Towed.Actual.Weight.Add(unit.LB(1_000)))
		heavier.Rig = &more
		h := Stopping(heavier).Cases[1]
		if h.From20Ft < unbraked.From20Ft || unbraked.At == nil && h.At != nil || h.At != nil && h.At.TotalFt < unbraked.At.TotalFt {
			t.Fatalf("heavier stops shorter: %v, %v", h, unbraked)
		}
		// No energy from nowhere: the car's brakes never take more from the pair
		// than its tires and the share give.
		for i := 1; i < len(r.Curve); i++ {
			if p, q := r.Curve[i-1], r.Curve[i]; q.PairUnbrakedFt < p.PairUnbrakedFt || q.AloneFt < p.AloneFt {
				t.Fatalf("the curve falls: %v %v", p, q)
			}
		}
	})
}

func TestStoppingInputRefused(t *testing.T) {
	for body, pointer := range map[string]string{
		`{}`:                                                   "/rig",
		`{"rig":{},"speed":{"mph":200}}`:                       "/speed",
		`{"rig":{},"grade_pct":100}`:                           "/grade_pct",
		`{"rig":{},"grade_pct":-100}`:                          "/grade_pct",
		`{"rig":{},"friction":0}`:                              "/friction",
		`{"rig":{},"friction":0.5,"surface":"ice"}`:            "/friction",
		`{"rig":{},"reaction_s":-1}`:                           "/reaction_s",
		`{"rig":{},"limits":[{"name":"X"}]}`:                   "/limits/0/from",
		`{"rig":{"towed":{"actual":{"weight":{"lb":-4000}}}}}`: "/rig/towed/actual/weight",
		`{"rig":{"stopping":{"alone":{"from":{"mph":20},"distance":{"ft":11}}}}}`:              "/rig/stopping/alone/distance",
		`{"rig":{"stopping":{"pair":{"from":{"mph":60},"distance":{"ft":99}}}}}`:               "/rig/stopping/pair/distance",
		`{"rig":{"stopping":{"alone":{"from":{"mph":60},"distance":{"ft":110},"lag_s":0.5}}}}`: "/rig/stopping/alone/distance",
		`{"rig":{"stopping":{"pair_from_20_mph":{"ft":11.9}}}}`:                                "/rig/stopping/pair_from_20_mph",
		`{"rig":{"stopping":{"alone":{"from":{"mph":200}}}}}`:                                  "/rig/stopping/alone/from",
	} {
		var in StoppingInput
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}

// FuzzStopping: whatever the bytes, an input is refused or gives an answer that
// can be written, which numbers without end cannot.
func FuzzStopping(f *testing.F) {
	for _, seed := range []string{
		`{"rig":{}}`, `{"rig":{"stopping":{"alone":{"from":{"mph":20},"distance":{"ft":26}}}}}`,
		`{"rig":{"towing":{"actual":{"weight":{"lb":20000}}},"towed":{"actual":{"weight":{"lb":4000}}},"stopping":{"alone":{"from":{"mph":20},"distance":{"ft":26}}}},"speed":{"mph":60},"grade_pct":-30,"surface":"ice","car_share_pct":200,"reaction_s":2.5}`,
		`{"rig":{"stopping":{"pair_from_20_mph":{"m":9}}},"friction":0.05,"grade_pct":30,"speed":{"km_h":160},"limits":[{"name":"x","from":{"mph":20},"distance":{"ft":30}}]}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in StoppingInput
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		if _, err := strictjson.Marshal(Stopping(in)); err != nil {
			t.Fatal(err)
		}
	})
}

// BenchmarkStopping has every case, limits and the curve. Goal: 50 µs natively.
func BenchmarkStopping(b *testing.B) {
	in := stopped(20_000, 4_000, ptr(unit.FT(26)))
	in.Rig.Stopping.PairFrom20MPH, in.Speed, in.ReactionS, in.GradePct, in.Surface = ptr(unit.FT(28.4)), ptr(unit.MPH(55)), ptr(0.75), ptr(-6.0), WetSurface
	in.Rig.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), CarSharePct: ptr(50.0)}
	in.Limits = []StopLimit{{Name: "A", From: unit.MPH(20), Distance: unit.FT(40)}}
	b.ReportAllocs()
	for b.Loop() {
		Stopping(in)
	}
}
