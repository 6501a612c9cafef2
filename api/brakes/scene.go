package brakes

import (
	"math"

	"pintail/api/rig"
	"pintail/api/unit"
)

// scene is what a stop is reckoned from, in metres, kilograms and seconds.
type scene struct {
	in     StoppingInput
	m1, m2 float64 // motorhome and car, 0 where not weighed
	// known are the cases in the order of CaseKind; a deceleration of 0 is a case
	// that is not known.
	known [4]deceleration
	// reached is the car's share found from two measured stops; differ is whether
	// no such car is possible.
	reached *float64
	differ  bool
	// sin, cos are the grade; low is the least friction, 0 where the road is that
	// of the measured stop.
	sin, cos, low, high float64
	share               *float64
}

// deceleration is what brakes give on the road of the measured stop, m/s², after
// the lag, seconds; car is what the car gives itself.
type deceleration struct {
	kind        CaseKind
	a, car, lag float64
}

func newScene(in StoppingInput) *scene {
	s := &scene{in: in, share: in.CarSharePct}
	if s.share == nil {
		s.share = in.Rig.BrakeUnit.CarSharePct
	}
	if w := in.Rig.Towing.Actual.Weight; w != nil {
		s.m1 = w.In("kg")
	}
	if w := in.Rig.Towed.Actual.Weight; w != nil {
		s.m2 = w.In("kg")
	}
	s.sin, s.cos = slope(value(in.GradePct))
	switch {
	case in.Friction != nil:
		s.low, s.high = *in.Friction, *in.Friction
	case in.Surface != "":
		s.low, s.high = in.Surface.friction()
	}
	s.measure()
	return s
}

// measure takes the measured stops and works out the others.
func (s *scene) measure() {
	for i, k := range (CaseKind("")).Values() {
		s.known[i].kind = CaseKind(k)
	}
	alone, pair := s.in.Rig.Stopping.Alone, pairStop(s.in.Rig.Stopping)
	s.known[3].take(pair)
	s.known[0].take(alone)
	one := s.known[0]
	if one.a == 0 || s.m1 == 0 || s.m2 == 0 {
		return
	}
	s.known[1].a, s.known[1].lag = pairDecel(one.a, s.m1, 0, s.m2), one.lag
	if s.share != nil {
		car := one.a * *s.share / 100
		s.known[2] = deceleration{PairBraked, pairDecel(one.a, s.m1, car, s.m2), car, one.lag}
	}
	if s.known[3].a != 0 {
		share := shareReached(s.known[3].a, one.a, s.m1, s.m2)
		if s.differ = share < -1e-9 || share*one.a > mostGrip*gravity; s.differ {
			return
		}
		share = max(0, share) // the last bits of nothing
		s.known[3].car = share * one.a
		pct := unit.Round9(100 * share)
		s.reached = &pct
	}
}

// mostGrip is the friction that no tire of a car exceeds on a road.
const mostGrip = 1.2

func (d *deceleration) take(s rig.Stop) {
	if !s.Known() {
		return
	}
	d.lag = value(s.LagS)
	d.a = decelOf(s.From.In("km_h")/3.6, s.Distance.In("m"), d.lag)
}

// pairStop is the measured stop of the pair: from 20 mph, else from another
// speed.
func pairStop(s rig.Stopping) rig.Stop {
	if s.PairFrom20MPH == nil {
		return s.Pair
	}
	from := unit.MPH(20)
	return rig.Stop{From: &from, Distance: s.PairFrom20MPH, On: s.On, How: rig.MeasuredStop}
}

// asAsked is the deceleration of a case on the grade and surface asked for,
// m/s²: tires give no more than friction, and the grade helps or takes away. It
// is not more than 0 where the vehicle never stands.
func (s *scene) asAsked(d deceleration) float64 {
	a := d.a
	if most := s.grip(); most > 0 {
		switch d.kind {
		case PairUnbraked:
			a = pairDecel(min(s.known[0].a, most), s.m1, 0, s.m2)
		case PairBraked:
			own := min(s.known[0].a, most)
			a = pairDecel(own, s.m1, min(own**s.share/100, most), s.m2)
		default:
			a = min(a, most)
		}
	}
	return a + gravity*s.sin
}

// grip is the most that tires give on the road asked for, m/s², 0 where it is
// the road of the measured stop.
func (s *scene) grip() float64 { return s.low * gravity * s.cos }

// way is the distance from v, m/s, metres, from the first movement of the pedal;
// 0 where it never stands. While the brakes take hold the speed is kept.
func (s *scene) way(d deceleration, v float64) float64 {
	if d.a == 0 {
		return 0
	}
	a := s.asAsked(d)
	if a < leastDecel {
		return 0
	}
	return v*d.lag + brakingM(v, a)
}

// leastDecel is the deceleration below which a stop is no stop, m/s²: it would
// take more than a mile from 60 mph.
const leastDecel = 0.1

// flat is the distance from v on the road of the measured stop, metres.
func (d deceleration) flat(v float64) float64 { return v*d.lag + brakingM(v, d.a) }

// twenty is the speed of most limits, m/s.
const twenty = 20 * mph

func (s *scene) report() []StopCase {
	cases := make([]StopCase, 0, len(s.known))
	for _, d := range s.known {
		if d.a == 0 {
			continue
		}
		c := StopCase{
			Case: d.kind, DecelFtS2: unit.Round9(d.a / foot), DecelMS2: unit.Round9(d.a),
			From20Ft: unit.Round9(d.flat(twenty) / foot), From20M: unit.Round9(d.flat(twenty)),
		}
		if d.kind != Alone && s.known[0].a != 0 && !(d.kind == PairMeasured && s.differ) {
			push := unit.Round9(s.m2 * (d.a - d.car) / gravity / pound)
			c.BarPushLbf = &push
		}
		c.At = s.at(d)
		cases = append(cases, c)
	}
	return cases
}

func (s *scene) at(d deceleration) *StopAt {
	if s.in.Speed == nil {
		return nil
	}
	v := s.in.Speed.In("km_h") / 3.6
	braking := s.way(d, v)
	if braking == 0 {
		return nil
	}
	reaction := v * value(s.in.ReactionS)
	return &StopAt{
		ReactionFt: unit.Round9(reaction / foot), BrakingFt: unit.Round9(braking / foot), TotalFt: unit.Round9((reaction + braking) / foot),
		TotalM: unit.Round9(reaction + braking), BrakingS: unit.Round9(d.lag + v/s.asAsked(d)),
	}
}

// curve runs from 5 mph in steps of 5 to 70, or to the speed asked for.
func (s *scene) curve() []CurvePoint {
	points := []CurvePoint{}
	any := false
	for _, d := range s.known {
		any = any || d.a != 0
	}
	if !any {
		return points
	}
	last := 70.0
	if s.in.Speed != nil {
		last = max(last, math.Ceil(s.in.Speed.In("mph")/5)*5)
	}
	points = make([]CurvePoint, 0, int(last/5))
	for v := 5.0; v <= last; v += 5 {
		at := func(i int) float64 {
			way := s.way(s.known[i], v*mph)
			if way == 0 {
				return 0
			}
			return unit.Round9(way / foot)
		}
		points = append(points, CurvePoint{SpeedMPH: v, AloneFt: at(0), PairUnbrakedFt: at(1), PairBrakedFt: at(2), PairMeasuredFt: at(3)})
	}
	return points
}
