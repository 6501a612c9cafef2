package plan

import (
	"math"

	"pintail/api/lamps/wiring"
	"pintail/api/unit"
)

// lit lists the light sources with the least each gets.
func (s *survey) lit() []Lit {
	all := make([]Lit, len(s.lamps))
	figures := make([]float64, 3*len(s.lamps)) // one piece for all that point into it
	for i := range s.lamps {
		l := &s.lamps[i]
		all[i] = Lit{ID: l.ID, Lens: l.Lens, Job: l.Job, Bulb: s.bulbOf(l.ID), DesignV: unit.Round9(l.Volts), DesignA: unit.Round9(l.Amps)}
		if rear(l.Lens) && l.Connected {
			all[i].Point = "lens_" + string(l.Lens)
		}
		if least := s.lowest(i, s.steps); least != nil {
			f := figures[3*i : 3*i+3]
			f[0], f[1], f[2] = unit.Round9(least.volts), unit.Round9(100*math.Abs(least.volts)/l.Volts), unit.Round9(100*least.light)
			all[i].LowestV, all[i].LowestPct, all[i].LowestLightPct = &f[0], &f[1], &f[2]
		}
	}
	return all
}

// lighting is what every lamp gets in every step solved.
func (s *survey) lighting() []Lighting {
	all := make([]Lighting, len(s.steps))
	readings := make([]Reading, len(s.steps)*len(s.lamps))
	offs := make([]Gets, len(readings))
	for i, step := range s.steps {
		at := i * len(s.lamps)
		for lamp := range s.lamps {
			r := &readings[at+lamp]
			r.Lamp, r.Gets = s.lamps[lamp].ID, gets(s.at(i, lit, lamp))
			if step.Flashes() {
				offs[at+lamp] = gets(s.at(i, off, lamp))
				r.Off = &offs[at+lamp]
			}
		}
		all[i] = Lighting{Step: step, Readings: readings[at : at+len(s.lamps) : at+len(s.lamps)]}
	}
	return all
}

// smallestVolts is the least voltage worth a figure: what the solver's leak and
// an open switch leave.
const smallestVolts = 1e-3

func gets(g *get) Gets {
	v := g.volts
	if math.Abs(v) < smallestVolts {
		v = 0
	}
	glow := wiring.GlowOf(g.light)
	light := 100 * g.light
	if glow == wiring.IsDark {
		light = 0
	}
	return Gets{V: unit.Round9(v), LightPct: unit.Round9(light), Glow: glow}
}
