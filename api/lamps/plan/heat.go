package plan

import (
	"pintail/api/lamps/parts"
	"pintail/api/unit"
)

// heats lists the steering diodes with the heat of the step that heats each most.
func (s *survey) heats(air float64) []Heat {
	all := []Heat{}
	for i := range drops {
		d := &drops[i]
		if s.h.FeedDiodes[lanes[d.lane].feed] {
			all = s.heat(all, "feed_"+d.name, air)
		}
	}
	for _, c := range contacts {
		if c.own != "" && !s.h.Added() && s.h.CarDiodes[ownFeed(&s.h, c.own)] {
			all = s.heat(all, c.own, air)
		}
	}
	return all
}

// heat adds one diode, unless nothing hangs on it or it never carries a current
// worth a line.
func (s *survey) heat(all []Heat, part string, air float64) []Heat {
	p, ok := s.net.Part(part)
	if !ok || s.most[p].amps < smallestCurrent {
		return all
	}
	w := &s.most[p]
	kind, _ := parts.FindDiode(string(s.h.DiodeKind))
	return append(all, Heat{
		Point: "diode_" + part, Kind: s.h.DiodeKind, Step: w.step,
		A: unit.Round9(w.amps), DropV: unit.Round9(w.volts), AverageW: unit.Round9(w.watts),
		AirC: unit.Round9(air), JunctionC: unit.Round9(kind.JunctionAt(air, w.watts)), LimitC: kind.JunctionMax,
	})
}

// smallestCurrent is where a current begins to matter: an LED tail lamp glows and
// a lamp monitor counts 30 mA as a lamp, 10 mA as none.
const smallestCurrent = 0.01

// hottest is the diode nearest to its limit, nil if there is none.
func hottest(all []Heat) *Heat {
	var h *Heat
	for i := range all {
		if h == nil || all[i].JunctionC-all[i].LimitC > h.JunctionC-h.LimitC {
			h = &all[i]
		}
	}
	return h
}
