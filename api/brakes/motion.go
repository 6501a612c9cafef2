package brakes

import "math"

// Exact conversions, and the standard acceleration of free fall, m/s².
const (
	gravity = 9.80665
	foot    = 0.3048
	mph     = 0.44704
	pound   = 0.45359237
)

// brakingM is the way from speed v, m/s, to a stand at a steady deceleration a,
// m/s², metres: v²/2a.
func brakingM(v, a float64) float64 { return v * v / (2 * a) }

// decelOf is the steady deceleration, m/s², that stops from v, m/s, within d
// metres, of which the first lag seconds pass before the brakes take hold.
func decelOf(v, d, lag float64) float64 { return v * v / (2 * (d - v*lag)) }

// lagIn is how many seconds a stop from v within d leaves for the brakes to take
// hold, where they then give a.
func lagIn(v, d, a float64) float64 { return (d - brakingM(v, a)) / v }

// pairDecel is the deceleration of a pair whose towing vehicle gives itself a1
// and whose towed vehicle gives itself a2: forces add, and so do masses.
func pairDecel(a1, m1, a2, m2 float64) float64 { return (a1*m1 + a2*m2) / (m1 + m2) }

// shareReached is the deceleration of the towed vehicle by itself over that of
// the towing vehicle alone, found from what the two and the one alone reached.
func shareReached(pair, alone, m1, m2 float64) float64 { return (pair/alone*(m1+m2) - m1) / m2 }

// unbrakedShare is how heavy an unbraked towed vehicle may be, over the towing
// vehicle, for the pair to stop within limit where the towing vehicle alone
// stops within d; both distances without lag.
func unbrakedShare(limit, d float64) float64 { return max(0, limit/d-1) }

// slope is the sine and cosine of a grade in per cent, uphill positive.
func slope(pct float64) (sin, cos float64) {
	run := math.Hypot(1, pct/100)
	return pct / 100 / run, 1 / run
}

// roads are the bands of friction by surface, locked wheel to best grip.
//
// Source: dry and wet from textbooks and a road-test table (traveled dry asphalt
// 0.55 to 0.80; wet 0.30 in one ordinance, 0.50 in textbooks); gravel, snow and
// ice from memory.
func (s Surface) friction() (low, high float64) {
	switch s {
	case DrySurface:
		return 0.55, 0.80
	case WetSurface:
		return 0.30, 0.50
	case GravelSurface:
		return 0.40, 0.70
	case SnowSurface:
		return 0.20, 0.30
	}
	return 0.10, 0.10
}
