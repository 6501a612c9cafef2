package coupling

import (
	"math"

	"pintail/api/finding"
	"pintail/api/unit"
)

// Slope is how far the tow bar is from level.
type Slope struct {
	// Difference is the motorhome's pin height less the car's.
	Difference unit.Length `json:"difference"`
	// Deg is the slope of the bar in degrees, positive when it falls towards the
	// car; absent without the length of the arms.
	Deg *float64 `json:"deg,omitzero"`
	// VerticalPct is the vertical part of the push along the bar, in per cent of
	// its horizontal part.
	VerticalPct *float64 `json:"vertical_pct,omitzero"`
	// LevelBy is the rise (positive) or drop (negative) at the motorhome that
	// would level the bar.
	LevelBy unit.Length `json:"level_by"`
}

// comfortable and greatest are the height differences that the trade accepts. Common practice; club instructors
// give 2 to 4 in, many say 3 in.
func comfortable() unit.Length { return unit.IN(3) }
func greatest() unit.Length    { return unit.IN(4) }

// slope judges the tow bar's slope from the two pin heights and the arm length.
func (j *judge) slope() {
	g := j.rig.Coupling.Geometry
	if g.TowingPinHeight == nil || g.TowedPinHeight == nil {
		j.add(finding.Finding{
			ID: "coupling.slope", Verdict: finding.FindOut,
			Says:   finding.Say("coupling.slope_missing", nil),
			Fields: []string{"/coupling/geometry/towing_pin_height", "/coupling/geometry/towed_pin_height"},
			Remedy: finding.Advise("coupling.slope_measure", nil),
			Basis:  []finding.Basis{practice("A tow bar within 2 to 4 in of level")},
		})
		return
	}
	difference := g.TowingPinHeight.Sub(*g.TowedPinHeight)
	s := Slope{Difference: difference, LevelBy: g.TowedPinHeight.Sub(*g.TowingPinHeight)}
	j.report.Slope = &s
	f := finding.Finding{
		ID: "coupling.slope", Fields: []string{"/coupling/geometry/towing_pin_height", "/coupling/geometry/towed_pin_height"},
		Figures: []finding.Figure{
			{Label: "figure.towing_pin_height", Value: finding.LengthOf(*g.TowingPinHeight), Entered: true},
			{Label: "figure.towed_pin_height", Value: finding.LengthOf(*g.TowedPinHeight), Entered: true},
			{Label: "figure.height_difference", Value: finding.LengthOf(difference)},
		},
		Basis: []finding.Basis{practice("A tow bar within 2 to 4 in of level, measured on level ground at travel height")},
	}
	size := absolute(difference)
	if g.ArmLength != nil && g.ArmLength.Over(size) {
		deg, vertical := slopeOf(difference, *g.ArmLength)
		s.Deg, s.VerticalPct = &deg, &vertical
		f.Figures = append(f.Figures,
			finding.Figure{Label: "figure.slope", Value: finding.Num(deg, "deg")},
			finding.Figure{Label: "figure.vertical_share", Value: finding.Num(vertical, "pct")})
		f.Basis = append(f.Basis, arithmetic("Slope = arcsin(height difference / arm length); vertical share of the push = tan(slope)"))
	}
	params := finding.Params{"difference": finding.LengthOf(size), "by": finding.LengthOf(absolute(s.LevelBy))}
	remedy := "coupling.slope_drop"
	if s.LevelBy.Sign() > 0 {
		remedy = "coupling.slope_rise"
	}
	switch {
	case g.ArmLength != nil && !g.ArmLength.Over(size):
		f.Verdict, f.Decides = finding.FindOut, true
		f.Says, f.Fields = finding.Say("coupling.slope_impossible", params), append(f.Fields, "/coupling/geometry/arm_length")
	case size.Over(greatest()):
		f.Verdict, f.Decides = finding.Mind, true
		f.Says, f.Remedy = finding.Say("coupling.slope_steep", params), finding.Advise(remedy, params)
	case size.Over(comfortable()):
		f.Verdict = finding.Mind
		f.Says, f.Remedy = finding.Say("coupling.slope_some", params), finding.Advise(remedy, params)
	default:
		f.Verdict, f.Says = finding.OK, finding.Say("coupling.slope_level", params)
	}
	j.add(f)
}

// slopeOf returns the bar's slope in degrees and the vertical part of the push
// in per cent. The arm must be longer than the difference.
func slopeOf(difference, arm unit.Length) (deg, verticalPct float64) {
	angle := math.Asin(difference.In("m") / arm.In("m"))
	return unit.Round9(angle * 180 / math.Pi), unit.Round9(100 * math.Abs(math.Tan(angle)))
}

func absolute(l unit.Length) unit.Length {
	if l.Sign() < 0 {
		return unit.Length{}.To(l).Sub(l)
	}
	return l
}
