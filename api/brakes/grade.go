package brakes

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// GradeInput is the input of brakes/grade.
type GradeInput struct {
	Rig *rig.Rig `json:"rig"`
	// GradePct is the fall, per cent; Speed the speed to hold; Length how long the
	// grade is along the road.
	GradePct *float64     `json:"grade_pct,omitzero"`
	Speed    *unit.Speed  `json:"speed,omitzero"`
	Length   *unit.Length `json:"length,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in GradeInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	c.Number("grade_pct", in.GradePct, 0, 30)
	c.Speed("speed", in.Speed)
	c.Distance("length", in.Length, 100)
	return c.Err()
}

// GradeReport is the answer of brakes/grade.
type GradeReport struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Descent is absent where a figure is missing.
	Descent *Descent `json:"descent,omitzero"`
}

// Descent is what holds a pair at a steady speed down a grade. Rolling and air
// resistance help and are not counted, so the brakes see no more than this.
type Descent struct {
	ForceLbf float64 `json:"force_lbf"`
	ForceN   float64 `json:"force_n"`
	PowerKW  float64 `json:"power_kw"`
	PowerHP  float64 `json:"power_hp"`
	// CarPct is the car's part of all that, by weight.
	CarPct float64 `json:"car_pct"`
	// EngineBrakeKW is what the engine brake takes, ShortfallKW what is left for
	// the service brakes; absent where the engine brake is not known.
	EngineBrakeKW *float64 `json:"engine_brake_kw,omitzero"`
	ShortfallKW   *float64 `json:"shortfall_kw,omitzero"`
	// CarBrakesKW is the part of the shortfall that the car's brakes take, by the
	// share of the brake unit; MotorhomeBrakesKW the rest.
	CarBrakesKW       *float64 `json:"car_brakes_kw,omitzero"`
	MotorhomeBrakesKW *float64 `json:"motorhome_brakes_kw,omitzero"`
	// HoldsAtMPH is the speed at which the engine brake alone would hold, if it
	// gives the same power there; absent above 200 mph, where it says nothing.
	HoldsAtMPH *float64 `json:"holds_at_mph,omitzero"`
	// Whole is the whole grade, absent without its length.
	Whole *WholeGrade `json:"whole,omitzero"`
}

// WholeGrade is a grade from top to bottom.
type WholeGrade struct {
	DropFt   float64 `json:"drop_ft"`
	DropM    float64 `json:"drop_m"`
	Minutes  float64 `json:"minutes"`
	EnergyMJ float64 `json:"energy_mj"`
	// CarMJ is the car's part by weight, ServiceMJ what the service brakes must
	// turn into heat, absent where the engine brake is not known.
	CarMJ     float64  `json:"car_mj"`
	ServiceMJ *float64 `json:"service_mj,omitzero"`
}

// mostHoldsAt is the speed in mph above which a grade as good as drives nothing.
const mostHoldsAt = 200

// watts of a mechanical horsepower: 550 ft·lbf/s.
const horsepower = 550 * foot * pound * gravity

// Grade reckons the force, power and energy that hold the pair at a speed down a
// grade, and how the engine brake and the service brakes share them.
func Grade(in GradeInput) GradeReport {
	r := GradeReport{Findings: []finding.Finding{}}
	car, towing := in.Rig.Towed.Actual.Weight, in.Rig.Towing.Actual.Weight
	if car == nil || towing == nil || in.GradePct == nil || in.Speed == nil {
		r.Findings = append(r.Findings, in.missing())
	} else {
		d, split := in.descent(towing.In("kg"), car.In("kg"))
		r.Descent = &d
		r.Findings = append(r.Findings, in.holding(d))
		if !split {
			f := stopFinding("grade-share", finding.FindOut, finding.Say("brakes.grade_share", nil))
			f.Fields = []string{"/brake_unit/car_share_pct"}
			r.Findings = append(r.Findings, *f)
		}
	}
	finding.Sort(r.Findings)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

func (in GradeInput) missing() finding.Finding {
	s := scene{in: StoppingInput{Rig: in.Rig}}
	f := stopFinding("grade", finding.FindOut, finding.Say("brakes.grade_missing", nil))
	f.Decides = true
	if w := in.Rig.Towing.Actual.Weight; w != nil {
		s.m1 = w.In("kg")
	}
	if w := in.Rig.Towed.Actual.Weight; w != nil {
		s.m2 = w.In("kg")
	}
	if f.Fields = s.unweighed(); f.Fields == nil {
		f.Says = finding.Say("brakes.grade_untold", nil)
	}
	if in.GradePct == nil {
		f.Fields = append(f.Fields, "/grade_pct")
	}
	if in.Speed == nil {
		f.Fields = append(f.Fields, "/speed")
	}
	return *f
}

// descent reckons with weights in kilograms; split is false where service brakes
// are needed and the brake unit's share of them is not known.
func (in GradeInput) descent(m1, m2 float64) (d Descent, split bool) {
	sin, _ := slope(*in.GradePct)
	v := in.Speed.In("km_h") / 3.6
	force := (m1 + m2) * gravity * sin
	power := force * v
	d = Descent{
		ForceLbf: unit.Round9(force / gravity / pound), ForceN: unit.Round9(force),
		PowerKW: unit.Round9(power / 1000), PowerHP: unit.Round9(power / horsepower), CarPct: unit.Round9(100 * m2 / (m1 + m2)),
	}
	engine, known := engineBrakeKW(in.Rig.Towing)
	short := max(0, power-1000*engine)
	if known {
		took := unit.Round9((power - short) / 1000)
		left := unit.Round9(short / 1000)
		d.EngineBrakeKW, d.ShortfallKW = &took, &left
		if at := unit.Round9(1000 * engine / force / mph); force > 0 && engine > 0 && at <= mostHoldsAt {
			d.HoldsAtMPH = &at
		}
	}
	split = true
	if known && short > 0 {
		split = d.split(in.Rig.BrakeUnit.Fitted, in.share(), short, m1, m2)
	}
	if in.Length != nil {
		d.Whole = in.whole(sin, v, force, m2/(m1+m2))
		if known {
			heat := unit.Round9(d.Whole.EnergyMJ * short / max(power, 1e-9))
			d.Whole.ServiceMJ = &heat
		}
	}
	return d, split
}

// share is the car's share of braking, per cent of the motorhome's: as recorded on
// the unit, else as two measured stops give it; nil where neither is known.
func (in GradeInput) share() *float64 {
	if in.Rig.BrakeUnit.CarSharePct != nil {
		return in.Rig.BrakeUnit.CarSharePct
	}
	return newScene(StoppingInput{Rig: in.Rig}).reached
}

// split shares the service brakes' power by the deceleration that each vehicle
// gives itself.
func (d *Descent) split(fitted *bool, pct *float64, short, m1, m2 float64) bool {
	share := 0.0
	switch {
	case rig.Is(fitted, false):
	case pct != nil:
		share = *pct / 100
	default:
		return false
	}
	part := share * m2 / (m1 + share*m2)
	car, motorhome := unit.Round9(part*short/1000), unit.Round9((1-part)*short/1000)
	d.CarBrakesKW, d.MotorhomeBrakesKW = &car, &motorhome
	return true
}

func (in GradeInput) whole(sin, v, force, carPart float64) *WholeGrade {
	along := in.Length.In("m")
	energy := force * along / 1e6
	return &WholeGrade{
		DropFt: unit.Round9(along * sin / foot), DropM: unit.Round9(along * sin), Minutes: unit.Round9(along / v / 60),
		EnergyMJ: unit.Round9(energy), CarMJ: unit.Round9(energy * carPart),
	}
}

// engineBrakeKW is what the engine brake holds, and whether that is known. Power
// recorded for an engine brake that is not there is a contradiction.
func engineBrakeKW(t rig.Towing) (float64, bool) {
	switch {
	case contradicts(t):
		return 0, false
	case t.EngineBrakeKW != nil:
		return *t.EngineBrakeKW, true
	case rig.Is(t.EngineBrake, false):
		return 0, true
	}
	return 0, false
}

func contradicts(t rig.Towing) bool {
	return rig.Is(t.EngineBrake, false) && t.EngineBrakeKW != nil && *t.EngineBrakeKW > 0
}

// holding says whether the engine brake holds the speed.
func (in GradeInput) holding(d Descent) finding.Finding {
	params := finding.Params{"grade": finding.Num(*in.GradePct, "pct"), "speed": finding.SpeedOf(*in.Speed), "power": finding.Num(rounded(d.PowerKW, 10), "kW")}
	f := stopFinding("grade", finding.FindOut, finding.Text{})
	f.Basis = []finding.Basis{{Kind: finding.Computed, Reference: "weight times the fall of the road times speed; rolling and air resistance not counted"}}
	switch {
	case contradicts(in.Rig.Towing):
		f.Says, f.Fields, f.Basis = finding.Say("brakes.grade_engine_contradicted", params), []string{"/towing/engine_brake", "/towing/engine_brake_kw"}, nil
	case d.ShortfallKW == nil:
		f.Says, f.Fields, f.Basis = finding.Say("brakes.grade_engine_unknown", params), []string{"/towing/engine_brake", "/towing/engine_brake_kw"}, nil
	case rounded(*d.ShortfallKW, 10) == 0:
		f.Verdict, f.Says = finding.OK, finding.Say("brakes.grade_held", params)
	default:
		f.Verdict = finding.Mind
		params["left"] = finding.Num(rounded(*d.ShortfallKW, 10), "kW")
		f.Says, f.Remedy = finding.Say("brakes.grade_short", params), finding.Advise("brakes.grade_short.remedy", nil)
		if d.HoldsAtMPH != nil && *d.HoldsAtMPH >= 5 {
			if at, err := unit.NewSpeed(rounded(*d.HoldsAtMPH, 1), "mph"); err == nil {
				f.Remedy = finding.Advise("brakes.grade_slower.remedy", finding.Params{"speed": finding.SpeedOf(at)})
			}
		}
	}
	return *f
}
