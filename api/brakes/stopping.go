package brakes

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Surface is what the road is covered with.
type Surface string

// The surfaces.
const (
	DrySurface    Surface = "dry"
	WetSurface    Surface = "wet"
	GravelSurface Surface = "gravel"
	SnowSurface   Surface = "snow"
	IceSurface    Surface = "ice"
)

// Values lists the surfaces.
func (Surface) Values() []string { return []string{"dry", "wet", "gravel", "snow", "ice"} }

// StopLimit is a distance within which the pair must stop.
type StopLimit struct {
	// Name is whose limit it is, for example a state.
	Name     string      `json:"name"`
	From     unit.Speed  `json:"from"`
	Distance unit.Length `json:"distance"`
	// Braked is true where the limit holds for a car with working brakes, false
	// for one without, absent for either.
	Braked *bool `json:"braked,omitzero"`
}

// StoppingInput is the input of brakes/stopping.
type StoppingInput struct {
	Rig *rig.Rig `json:"rig"`
	// Speed is the speed to stop from; ReactionS the driver's seconds before the
	// pedal moves.
	Speed     *unit.Speed `json:"speed,omitzero"`
	ReactionS *float64    `json:"reaction_s,omitzero"`
	// GradePct is the grade, per cent, downhill negative.
	GradePct *float64 `json:"grade_pct,omitzero"`
	// Surface or Friction say what the tires grip, never both; without either it
	// is the road of the measured stop.
	Surface  Surface  `json:"surface,omitzero"`
	Friction *float64 `json:"friction,omitzero"`
	// CarSharePct takes the place of the share recorded on the brake unit.
	CarSharePct *float64 `json:"car_share_pct,omitzero"`
	// TowingFrontPct and TowedFrontPct are the front axle's part of each vehicle's
	// brake force; without them it is spread as the axles are loaded.
	TowingFrontPct *float64    `json:"towing_front_pct,omitzero"`
	TowedFrontPct  *float64    `json:"towed_front_pct,omitzero"`
	Limits         []StopLimit `json:"limits,omitzero"`
}

// maxLimits bounds the list of limits.
const maxLimits = 200

// Validate returns what is not possible in the input, nil if nothing.
func (in StoppingInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	c.Speed("speed", in.Speed)
	c.Number("reaction_s", in.ReactionS, 0, 10)
	c.Number("grade_pct", in.GradePct, -30, 30)
	rig.Choice(c, "surface", in.Surface)
	c.Number("friction", in.Friction, 0.05, 1.2)
	if in.Surface != "" && in.Friction != nil {
		c.In("friction").Bad("surface and friction both say what the road gives; give one")
	}
	c.Number("car_share_pct", in.CarSharePct, 0, 200)
	c.Number("towing_front_pct", in.TowingFrontPct, 0, 100)
	c.Number("towed_front_pct", in.TowedFrontPct, 0, 100)
	if limits := c.In("limits"); len(in.Limits) > maxLimits {
		limits.Bad("%d limits, at most %d", len(in.Limits), maxLimits)
	} else {
		for i, l := range in.Limits {
			l.check(limits.Index(i))
		}
	}
	return c.Err()
}

func (l StopLimit) check(c rig.Checker) {
	if l.Name == "" {
		c.In("name").Bad("missing")
	}
	c.Text("name", l.Name, 120)
	c.SpeedWithin("from", &l.From, 10, 80)
	c.Length("distance", &l.Distance, 1, 2_000)
}

// CaseKind says which stop a case is.
type CaseKind string

// The cases.
const (
	Alone        CaseKind = "alone"         // the motorhome, as measured
	PairUnbraked CaseKind = "pair_unbraked" // the same brakes, the car pushing
	PairBraked   CaseKind = "pair_braked"   // the car braking at the share given
	PairMeasured CaseKind = "pair_measured" // the pair, as measured
)

// Values lists the cases.
func (CaseKind) Values() []string {
	return []string{"alone", "pair_unbraked", "pair_braked", "pair_measured"}
}

// StopCase is one stop: on the road of the measured stop from 20 mph, and as
// asked for.
type StopCase struct {
	Case      CaseKind `json:"case"`
	DecelFtS2 float64  `json:"decel_ft_s2"`
	DecelMS2  float64  `json:"decel_m_s2"`
	From20Ft  float64  `json:"from_20_mph_ft"`
	From20M   float64  `json:"from_20_mph_m"`
	// BarPushLbf is what pushes on the tow bar meanwhile, pounds-force; less than
	// nothing where the car holds back.
	BarPushLbf *float64 `json:"bar_push_lbf,omitzero"`
	// At is the stop asked for, absent without a speed or where it never stands.
	At *StopAt `json:"at,omitzero"`
}

// StopAt is a stop at the speed, grade and surface asked for.
type StopAt struct {
	ReactionFt float64 `json:"reaction_ft"`
	BrakingFt  float64 `json:"braking_ft"`
	TotalFt    float64 `json:"total_ft"`
	TotalM     float64 `json:"total_m"`
	// BrakingS is the time from the first movement of the pedal, seconds.
	BrakingS float64 `json:"braking_s"`
}

// CurvePoint is one speed of the curve: feet from the first movement of the
// pedal, as asked for. A case that is not known or never stands is left out.
type CurvePoint struct {
	SpeedMPH       float64 `json:"speed_mph"`
	AloneFt        float64 `json:"alone_ft,omitzero"`
	PairUnbrakedFt float64 `json:"pair_unbraked_ft,omitzero"`
	PairBrakedFt   float64 `json:"pair_braked_ft,omitzero"`
	PairMeasuredFt float64 `json:"pair_measured_ft,omitzero"`
}

// StoppingReport is the answer of brakes/stopping.
type StoppingReport struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	Cases         []StopCase        `json:"cases"`
	// CarSharePct is the deceleration the car gives itself, per cent of the
	// motorhome's, as found from two measured stops; absent where they contradict
	// each other.
	CarSharePct *float64      `json:"car_share_pct,omitzero"`
	Axles       []AxleDemand  `json:"axles"`
	Classes     []ClassResult `json:"classes"`
	Limits      []LimitResult `json:"limits"`
	Forms       []FormResult  `json:"forms"`
	Curve       []CurvePoint  `json:"curve"`
	Yardsticks  *Yardsticks   `json:"yardsticks,omitzero"`
}

// Stopping reckons how the pair stops from what was measured: the motorhome
// alone, the pair, or a maker's figure. Without any it says how to measure.
func Stopping(in StoppingInput) StoppingReport {
	s := newScene(in)
	r := StoppingReport{
		Findings: []finding.Finding{}, Cases: s.report(), CarSharePct: s.reached,
		Axles: s.axles(), Classes: s.classes(), Limits: s.limits(), Forms: []FormResult{}, Curve: s.curve(), Yardsticks: s.yardsticks(),
	}
	if in.Speed != nil {
		r.Forms = formsAt(in.Speed.In("mph"), value(in.GradePct))
	}
	r.Findings = s.findings(r)
	finding.Sort(r.Findings)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

// StopFindings are the findings of Stopping alone.
func StopFindings(in StoppingInput) []finding.Finding {
	s := newScene(in)
	return s.findings(StoppingReport{Axles: s.axles(), Limits: s.limits()})
}

// value is a figure that may be absent, zero where that means none.
func value(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}
