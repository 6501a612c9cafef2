package rig

import (
	"math"

	"pintail/api/unit"
)

// StopSource is how a stop is known.
type StopSource string

// The ways.
const (
	MeasuredStop StopSource = "measured"
	MakersFigure StopSource = "maker"
)

// Values lists the ways.
func (StopSource) Values() []string { return []string{"measured", "maker"} }

// Stop is one stop on hard, level, dry, smooth pavement, counted from the first
// movement of the pedal.
type Stop struct {
	From     *unit.Speed  `json:"from,omitzero"`
	Distance *unit.Length `json:"distance,omitzero"`
	// LagS is how long after the pedal moved the brakes took hold, seconds, where
	// it was measured apart. It is part of Distance.
	LagS *float64   `json:"lag_s,omitzero"`
	How  StopSource `json:"how,omitzero"`
	On   unit.Date  `json:"on,omitzero"`
}

// Known reports whether speed and distance are entered.
func (s Stop) Known() bool { return s.From != nil && s.Distance != nil }

// hardestStop is more than tyres give on any road, m/s²: friction 1.2 is the top
// of the published tables (new dry asphalt), times g.
const hardestStop = 1.2 * 9.80665

func (s Stop) check(c Checker) {
	c.SpeedWithin("from", s.From, 10, 80)
	c.Length("distance", s.Distance, 5, 2_000)
	c.Number("lag_s", s.LagS, 0, 2)
	Choice(c, "how", s.How)
	c.Date("on", s.On)
	if !s.Known() {
		return
	}
	v, room := s.From.In("km_h")/3.6, s.Distance.In("m")
	if s.LagS != nil {
		room -= v * *s.LagS
	}
	if least := v * v / (2 * hardestStop); !(room >= least) {
		c.In("distance").Bad("%s from %s is shorter than any road allows, want at least %g ft", s.Distance, s.From,
			math.Ceil(10*(s.Distance.In("ft")+(least-room)/0.3048))/10)
	}
}

// Stopping is how the motorhome and the pair were seen to stop. Only a measured
// stop or a maker's figure tells how a pair stops.
type Stopping struct {
	// PairFrom20MPH is the distance in which motorhome and car together stopped
	// from 20 mph, as they travel, from first pedal movement, on hard, level, dry
	// pavement.
	PairFrom20MPH *unit.Length `json:"pair_from_20_mph,omitzero"`
	On            unit.Date    `json:"on,omitzero"`
	// Alone is the motorhome without the car, loaded as it travels.
	Alone Stop `json:"alone,omitzero"`
	// Pair is both together, from another speed than 20 mph.
	Pair Stop `json:"pair,omitzero"`
}

func (s Stopping) check(c Checker) {
	c.Length("pair_from_20_mph", s.PairFrom20MPH, 12, 500)
	c.Date("on", s.On)
	s.Alone.check(c.In("alone"))
	s.Pair.check(c.In("pair"))
}
