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

func descending() GradeInput {
	r := &rig.Rig{}
	r.Towing.Actual.Weight, r.Towed.Actual.Weight = ptr(unit.LB(20_000)), ptr(unit.LB(4_000))
	return GradeInput{Rig: r, GradePct: ptr(6.0), Speed: ptr(unit.MPH(55)), Length: ptr(unit.MI(5))}
}

// 24,000 lb down 6 % for 5 mi. Source: arithmetic, energy is weight times drop.
func TestGradeWorkedCase(t *testing.T) {
	d := Grade(descending()).Descent
	near(t, "drop", d.Whole.DropM, 481.9, 0.1)
	near(t, "energy", d.Whole.EnergyMJ, 51.45, 0.1)
	near(t, "the car's part", d.Whole.CarMJ, 8.58, 0.1)
	near(t, "the car's part in per cent", d.CarPct, 100.0/6, 1e-6)
	near(t, "power", d.PowerKW, 157, 0.5)
	near(t, "horsepower", d.PowerHP, d.PowerKW/0.745699872, 1e-5)
}

// A textbook problem: 48,000 lb on 10°: 8,335 lbf along the road, 47,271 square
// to it.
func TestForceOnSlope(t *testing.T) {
	sin, cos := slope(100 * math.Tan(10*math.Pi/180))
	near(t, "along", 48_000*sin, 8_335, 1)
	near(t, "square", 48_000*cos, 47_271, 1)
}

// OpenStax University Physics: a truck of 10,000 kg that loses 75.0 m at steady
// speed gives 7.35e6 J; a tenth of it in 10 kg of 800 J/(kg K) is 92 K (numbers
// from memory, arithmetic here).
func TestBrakesHeat(t *testing.T) {
	e := 10_000 * gravity * 75.0
	near(t, "energy", e, 7.35e6, 1e4)
	near(t, "kelvin", e/10/10/800, 92, 0.5)
}

func TestGradeVerdicts(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(*GradeInput)
		verdict finding.Verdict
		is      finding.Verdict
	}{
		"ErrNoWeight":       {func(in *GradeInput) { in.Rig.Towed.Actual.Weight = nil }, finding.FindOut, finding.FindOut},
		"ErrNoGrade":        {func(in *GradeInput) { in.GradePct = nil }, finding.FindOut, finding.FindOut},
		"EngineUnknown":     {func(*GradeInput) {}, finding.OK, finding.FindOut},
		"EngineNotMeasured": {func(in *GradeInput) { in.Rig.Towing.EngineBrake = ptr(true) }, finding.OK, finding.FindOut},
		"EngineContradicted": {func(in *GradeInput) {
			in.Rig.Towing.EngineBrake, in.Rig.Towing.EngineBrakeKW = ptr(false), ptr(150.0)
		}, finding.OK, finding.FindOut},
		"OKAllButNothing": {func(in *GradeInput) {
			in.Rig.Towing.EngineBrakeKW, in.Rig.BrakeUnit.Fitted = ptr(157.2), ptr(false) // of 157.209
		}, finding.OK, finding.OK},
		"NoEngineBrake": {func(in *GradeInput) { in.Rig.Towing.EngineBrake = ptr(false) }, finding.OK, finding.Mind},
		"Held":          {func(in *GradeInput) { in.Rig.Towing.EngineBrakeKW = ptr(160.0) }, finding.OK, finding.OK},
		"Level":         {func(in *GradeInput) { in.GradePct, in.Rig.Towing.EngineBrakeKW = ptr(0.0), ptr(0.0) }, finding.OK, finding.OK},
	} {
		t.Run(name, func(t *testing.T) {
			in := descending()
			c.change(&in)
			r := Grade(in)
			i := slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.ID == "brakes.grade" })
			if r.Verdict != c.verdict || i < 0 || r.Findings[i].Verdict != c.is {
				t.Errorf("verdict %s, want %s: %v", r.Verdict, c.verdict, r.Findings)
			}
		})
	}
}

// The engine brake takes 100 of 157 kW; the rest falls to the service brakes,
// 20,000 to 2,000 where the car brakes half as hard.
func TestGradeShares(t *testing.T) {
	in := descending()
	in.Rig.Towing.EngineBrakeKW, in.Rig.BrakeUnit = ptr(100.0), rig.BrakeUnit{Fitted: ptr(true), CarSharePct: ptr(50.0)}
	d := Grade(in).Descent
	near(t, "shortfall", *d.ShortfallKW, d.PowerKW-100, 1e-6)
	near(t, "car", *d.CarBrakesKW, *d.ShortfallKW/11, 1e-6)
	near(t, "motorhome", *d.MotorhomeBrakesKW, *d.ShortfallKW*10/11, 1e-6)
	// The same share by two measured stops: 26 ft alone, (20,000 + 2,000)/24,000 of
	// that deceleration together, 28.3636 ft.
	in.Rig.BrakeUnit.CarSharePct = nil
	in.Rig.Stopping = rig.Stopping{Alone: rig.Stop{From: ptr(unit.MPH(20)), Distance: ptr(unit.FT(26))}, PairFrom20MPH: ptr(unit.FT(28.364))}
	near(t, "car, by two stops", *Grade(in).Descent.CarBrakesKW, *d.ShortfallKW/11, 0.002)
	near(t, "speed that holds", *d.HoldsAtMPH, 55*100/d.PowerKW, 1e-5)
	near(t, "heat", *d.Whole.ServiceMJ, d.Whole.EnergyMJ**d.ShortfallKW/d.PowerKW, 1e-6)
}

// Two ways through the units give the same nine digits: 62.5 mph is 100.584 km/h,
// 62.5 mi 100.584 km, 100,000 lb 45,359.237 kg, all exactly.
func TestGradeSIEqualsUS(t *testing.T) {
	us, si := descending(), descending()
	us.Rig.Towing.Actual.Weight, si.Rig.Towing.Actual.Weight = ptr(unit.LB(100_000)), ptr(unit.KG(45_359.237))
	kmh, err := unit.NewSpeed(100.584, "km_h")
	km, errKM := unit.NewLength(100.584, "km")
	if err != nil || errKM != nil {
		t.Fatal(err, errKM)
	}
	us.Speed, us.Length, si.Speed, si.Length = ptr(unit.MPH(62.5)), ptr(unit.MI(62.5)), &kmh, &km
	a, errA := strictjson.Marshal(Grade(us).Descent)
	b, errB := strictjson.Marshal(Grade(si).Descent)
	if errA != nil || errB != nil || string(a) != string(b) {
		t.Errorf("US %s\nSI %s", a, b)
	}
}

// No energy from nowhere: what the engine brake and both service brakes take is
// what the fall gives, and energy is power times time.
func TestGradeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := descending()
		in.GradePct = ptr(rapid.Float64Range(0, 30).Draw(t, "grade"))
		in.Speed = ptr(unit.MPH(float64(rapid.IntRange(5, 100).Draw(t, "speed"))))
		in.Length = ptr(unit.MI(float64(rapid.IntRange(0, 100).Draw(t, "length"))))
		in.Rig.Towing.EngineBrakeKW = ptr(rapid.Float64Range(0, 1_000).Draw(t, "engine brake"))
		in.Rig.BrakeUnit.CarSharePct = ptr(rapid.Float64Range(0, 200).Draw(t, "share"))
		if err := in.Validate(); err != nil {
			t.Fatal(err)
		}
		r := Grade(in)
		if _, err := strictjson.Marshal(r); err != nil {
			t.Fatal(err)
		}
		d := *r.Descent
		sum := *d.EngineBrakeKW
		if d.CarBrakesKW != nil {
			sum += *d.CarBrakesKW + *d.MotorhomeBrakesKW
		}
		if math.Abs(sum-d.PowerKW) > 1e-6*(1+d.PowerKW) {
			t.Fatalf("%v kW taken, %v given", sum, d.PowerKW)
		}
		if math.Abs(d.PowerKW*d.Whole.Minutes*60/1000-d.Whole.EnergyMJ) > 1e-6*(1+d.Whole.EnergyMJ) {
			t.Fatalf("%+v", d)
		}
	})
}

func TestGradeInputRefused(t *testing.T) {
	for body, pointer := range map[string]string{
		`{}`:                                        "/rig",
		`{"rig":{},"grade_pct":100}`:                "/grade_pct",
		`{"rig":{},"grade_pct":-6}`:                 "/grade_pct",
		`{"rig":{},"speed":{"mph":200}}`:            "/speed",
		`{"rig":{},"length":{"mi":101}}`:            "/length",
		`{"rig":{"towing":{"engine_brake_kw":-1}}}`: "/rig/towing/engine_brake_kw",
	} {
		var in GradeInput
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}

func FuzzGrade(f *testing.F) {
	f.Add([]byte(`{"rig":{"towing":{"actual":{"weight":{"lb":20000}},"engine_brake_kw":0},"towed":{"actual":{"weight":{"kg":1800}}}},"grade_pct":0,"speed":{"mph":5},"length":{"mi":0}}`))
	f.Add([]byte(`{"rig":{},"grade_pct":30}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var in GradeInput
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		if _, err := strictjson.Marshal(Grade(in)); err != nil {
			t.Fatal(err)
		}
	})
}
