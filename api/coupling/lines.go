package coupling

import (
	"math"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Lines is what the geometry asks of cables, lanyard and umbilical. The bar is
// taken as rigid with the car and swinging about one point of the motorhome; a
// crest or dip adds to every length and is not in these figures.
type Lines struct {
	// CableNeedIn is the least length of a safety cable, inches: its ends at
	// their farthest apart between straight ahead and full lock.
	CableNeedIn float64 `json:"cable_need_in"`
	// StraightIn is the least length of any other line, inches: from the line of
	// the motorhome's cable points to the car's, straight ahead.
	StraightIn float64 `json:"straight_in"`
	// FarthestIn is the length that serves a lanyard or umbilical fastened
	// anywhere between the cable points, at any angle up to full lock, inches.
	FarthestIn float64 `json:"farthest_in"`
}

// sweep is the plan view in inches: the bar swings about the origin, the
// motorhome's cable points lie back in front of it, the car's at the end of the
// bar.
type sweep struct {
	bar, back                 float64
	towingSpread, towedSpread float64
	lock                      float64 // radians
}

// farthest returns the greatest distance between a motorhome point and a car
// point while the car swings from -lock to +lock; crossed joins left to right.
//
// The squared distance is C + A cos t + B sin t, so its greatest value lies at
// atan2(B, A) or at an end of the swing.
func (s sweep) farthest(crossed bool) float64 {
	towing, towed := s.towingSpread/2, s.towedSpread/2
	if crossed {
		towed = -towed
	}
	a := 2 * (s.back*s.bar - towing*towed)
	b := -2 * (s.back*towed + s.bar*towing)
	c := s.bar*s.bar + s.back*s.back + towing*towing + towed*towed
	at := func(t float64) float64 { return c + a*math.Cos(t) + b*math.Sin(t) }
	best := math.Max(at(-s.lock), at(s.lock))
	if t := math.Atan2(b, a); math.Abs(t) <= s.lock {
		best = math.Max(best, at(t))
	}
	return unit.Round9(math.Sqrt(math.Max(best, 0)))
}

// straight returns the distance between the two lines of points straight ahead.
func (s sweep) straight() float64 { return unit.Round9(s.bar + s.back) }

// sag returns how far a cable of the given length hangs below its ends when the
// rig stands straight, inches. Source: shallow parabola, length = span +
// 8 sag² / (3 span).
func (s sweep) sag(length float64) float64 {
	towing, towed := s.towingSpread/2, s.towedSpread/2
	span := math.Hypot(s.bar+s.back, towing+towed) // crossed
	if length <= span {
		return 0
	}
	return unit.Round9(math.Sqrt(3 * span * (length - span) / 8))
}

// lines judges cables, lanyard and umbilical against the geometry at full lock.
func (j *judge) lines() {
	s, missing := j.sweep()
	if len(missing) > 0 {
		j.add(finding.Finding{
			ID: "coupling.lines", Verdict: finding.FindOut,
			Says: finding.Say("coupling.lines_missing", nil), Fields: missing,
			Remedy: finding.Advise("coupling.lines_walk", nil),
			Basis:  []finding.Basis{practice("Both full locks at walking pace, a spotter at the side: nothing tight, nothing on the ground")},
		})
		return
	}
	l := Lines{CableNeedIn: s.farthest(true), StraightIn: s.straight()}
	l.FarthestIn = math.Max(l.CableNeedIn, s.farthest(false))
	if rig.Is(j.rig.Coupling.CablesCrossed, false) {
		l.CableNeedIn = s.farthest(false)
	}
	j.report.Lines = &l
	for _, id := range j.rig.Coupling.CableOrder() {
		j.cableLength(id, j.rig.Coupling.Cables[id], s, l)
	}
	if !rig.Is(j.rig.Breakaway.Fitted, false) {
		j.line("coupling.lanyard-length", "word.lanyard", "/breakaway/lanyard_length", j.rig.Breakaway.LanyardLength, l)
	}
	j.line("coupling.umbilical-length", "word.umbilical", "/harness/umbilical_length", j.rig.Harness.UmbilicalLength, l)
	j.lanyardAgainstCables()
}

// sweep gathers the geometry, and the fields that are missing for it.
func (j *judge) sweep() (sweep, []string) {
	g := j.rig.Coupling.Geometry
	var s sweep
	var missing []string
	for _, f := range []struct {
		name string
		from *unit.Length
		to   *float64
	}{
		{"arm_length", g.ArmLength, &s.bar}, {"pivot_behind_anchors", g.PivotBehindAnchors, &s.back},
		{"towing_spread", g.TowingSpread, &s.towingSpread}, {"towed_spread", g.TowedSpread, &s.towedSpread},
	} {
		if f.from == nil {
			missing = append(missing, "/coupling/geometry/"+f.name)
			continue
		}
		*f.to = f.from.In("in")
	}
	if g.FullLockDeg == nil {
		missing = append(missing, "/coupling/geometry/full_lock_deg")
	} else {
		s.lock = *g.FullLockDeg * math.Pi / 180
	}
	return s, missing
}

func swing() finding.Basis {
	return arithmetic("Greatest distance between the two points as the car swings to full lock about the point the bar turns on")
}

// cableLength judges one cable: long enough at full lock, clear of the ground
// straight ahead.
func (j *judge) cableLength(id string, k rig.Cable, s sweep, l Lines) {
	field := "/coupling/cables/" + id + "/length"
	f := finding.Finding{
		ID: "coupling.cable-length." + id, Fields: []string{field},
		Figures: []finding.Figure{{Label: "figure.needed", Value: finding.Num(l.CableNeedIn, "in")}},
		Basis:   []finding.Basis{swing(), practice("Slack for full lock and a driveway crest, clear of the ground")},
		Remedy:  finding.Advise("coupling.lines_walk", nil),
	}
	params := finding.Params{"line": finding.Word("word.safety_cable"), "need": finding.Num(l.CableNeedIn, "in")}
	if k.Length == nil {
		f.Verdict, f.Says = finding.FindOut, finding.Say("coupling.line_length_missing", params)
		j.add(f)
		return
	}
	length := k.Length.In("in")
	params["length"] = finding.LengthOf(*k.Length)
	f.Figures = append(f.Figures, finding.Figure{Label: "figure.length", Value: finding.LengthOf(*k.Length), Entered: true})
	height := j.rig.Coupling.Geometry.CableHeight
	sag := s.sag(length)
	switch {
	case length < l.CableNeedIn:
		f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("coupling.line_short", params)
	case height != nil && sag > height.In("in"):
		f.Verdict, f.Decides, f.Says = finding.Mind, true, finding.Say("coupling.cable_drags", params)
		f.Remedy = finding.Advise("coupling.cable_drags_remedy", nil)
		f.Figures = append(f.Figures, finding.Figure{Label: "figure.sag", Value: finding.Num(sag, "in")})
		f.Fields = append(f.Fields, "/coupling/geometry/cable_height")
	default:
		f.Verdict, f.Remedy, f.Says = finding.OK, nil, finding.Say("coupling.line_long_enough", params)
	}
	j.add(f)
}

// line judges a lanyard or an umbilical. Where it is fastened between the cable
// points is not known, so only a length below the shortest need is certain.
func (j *judge) line(id, word, field string, length *unit.Length, l Lines) {
	f := finding.Finding{
		ID: id, Fields: []string{field}, Basis: []finding.Basis{swing()},
		Remedy:  finding.Advise("coupling.lines_walk", nil),
		Figures: []finding.Figure{{Label: "figure.straight", Value: finding.Num(l.StraightIn, "in")}, {Label: "figure.farthest", Value: finding.Num(l.FarthestIn, "in")}},
	}
	params := finding.Params{"line": finding.Word(word), "need": finding.Num(l.StraightIn, "in"), "farthest": finding.Num(l.FarthestIn, "in")}
	if length == nil {
		f.Verdict, f.Says = finding.FindOut, finding.Say("coupling.line_length_missing", params)
		j.add(f)
		return
	}
	params["length"] = finding.LengthOf(*length)
	f.Figures = append(f.Figures, finding.Figure{Label: "figure.length", Value: finding.LengthOf(*length), Entered: true})
	switch inches := length.In("in"); {
	case inches < l.StraightIn:
		f.Verdict, f.Decides, f.Says = finding.NoGo, true, finding.Say("coupling.line_short", params)
	case inches < l.FarthestIn:
		f.Verdict, f.Says = finding.Mind, finding.Say("coupling.line_may_be_short", params)
	default:
		params["need"] = finding.Num(l.FarthestIn, "in")
		f.Verdict, f.Remedy, f.Says = finding.OK, nil, finding.Say("coupling.line_long_enough", params)
	}
	j.add(f)
}

// lanyardAgainstCables minds a lanyard that outlasts the cables. The trade
// disputes which should be longer, so it never decides.
func (j *judge) lanyardAgainstCables() {
	lanyard := j.rig.Breakaway.LanyardLength
	if lanyard == nil {
		return
	}
	for _, id := range j.rig.Coupling.CableOrder() {
		k := j.rig.Coupling.Cables[id]
		if k.Length == nil || k.Length.Over(lanyard.Add(unit.IN(2))) || k.Length.Compare(lanyard.Add(unit.IN(2))) == 0 {
			continue
		}
		j.add(finding.Finding{
			ID: "coupling.lanyard-cables", Verdict: finding.Mind,
			Says:    finding.Say("coupling.lanyard_longer", finding.Params{"lanyard": finding.LengthOf(*lanyard), "cable": finding.LengthOf(*k.Length)}),
			Figures: []finding.Figure{{Label: "figure.length", Value: finding.LengthOf(*lanyard), Entered: true}},
			Basis:   []finding.Basis{practice("A lanyard 2 to 4 in longer than full lock asks and at least 2 in shorter than the stretched cables; opinions differ")},
			Fields:  []string{"/breakaway/lanyard_length", "/coupling/cables/" + id + "/length"},
		})
		return
	}
}
