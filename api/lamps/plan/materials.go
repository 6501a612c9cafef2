package plan

import (
	"math"

	"pintail/api/finding"
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// What is bought beyond the run itself. From memory.
const (
	slackShare = 0.10 // of every run, for bends
	lampSlack  = 1.0  // ft at each lamp, so that it can be taken out
	lowering   = 2.0  // ft from the trunk down to each side's lamp
	groundTail = 3.0  // ft from an added lamp to its ground
	tieEvery   = 1.25 // ft between supports
	grommets   = 2    // into the body in front and out at the lamps; count them on the car
)

// materials is the list of what to buy.
func (a *assessment) materials(m *mapper) []Material {
	l := &list{h: &a.s.h}
	l.wires(m)
	l.umbilical(a.rating.bundled)
	l.partsOf(m)
	l.lampsOf(a)
	l.fusesOf(a.fuses)
	return l.all
}

type list struct {
	h   *wiring.Harness
	all []Material
}

func (l *list) add(k MaterialKind, count int, how wiring.How, says string, params finding.Params) {
	if count > 0 {
		l.all = append(l.all, Material{Kind: k, Count: count, How: how, Name: finding.Say(says, params)})
	}
}

// wires adds the wires to cut, by gauge and colour, with slack and the lowering
// to each side.
func (l *list) wires(m *mapper) {
	lamps := 0
	for i := range m.points {
		if m.points[i].Kind == LampPoint {
			lamps++
		}
	}
	for i := range m.links {
		w := &m.links[i]
		switch {
		case !w.New || w.Zone == Between:
		case w.AWG != nil && w.ID == "car_ground":
			l.wire(*w.AWG, w.Colour, *w.LengthFT+lampSlack, w.How)
		case w.AWG != nil && w.ID == "jumper":
			l.wire(*w.AWG, w.Colour, *w.LengthFT*(1+slackShare)+lampSlack+lowering, w.How)
		case w.AWG != nil:
			l.wire(*w.AWG, w.Colour, *w.LengthFT*(1+slackShare)+lampSlack+lowering, w.How)
		case w.Function == GroundWire:
			l.wire(l.h.Runs.Car.AWG, w.Colour, groundTail, wiring.Template)
		case w.ID == "plate":
			l.wire(l.h.Runs.Car.AWG, w.Colour, lampSlack+lowering, wiring.Template)
		}
	}
}

// wire adds a length to the line of its gauge and colour.
func (l *list) wire(awg int, colour string, ft float64, how wiring.How) {
	for i := range l.all {
		m := &l.all[i]
		if m.Kind == WireOf && *m.AWG == awg && m.Colour == colour {
			*m.LengthFT = unit.Round9(*m.LengthFT + ft)
			if how == wiring.Template {
				m.How = how
			}
			return
		}
	}
	ft = unit.Round9(ft)
	l.all = append(l.all, Material{Kind: WireOf, LengthFT: &ft, Colour: colour, AWG: &awg, How: how, Name: finding.Say("plan.material.wire", finding.Params{
		"awg": finding.Num(float64(awg), ""), "colour": finding.Word("plan.colour." + colour), "conductor": finding.Word("plan.conductor." + string(l.h.Runs.Car.Conductor)),
	})})
}

func (l *list) umbilical(conductors int) {
	ft := unit.Round9(l.h.Runs.Umbilical.FT)
	awg := l.h.Runs.Umbilical.AWG
	l.all = append(l.all, Material{Kind: UmbilicalOf, Count: 1, LengthFT: &ft, AWG: &awg, How: howOf(l.h, "/harness/umbilical_length"),
		Name: finding.Say("plan.material.umbilical", finding.Params{"count": finding.Num(float64(conductors), "")})})
	l.add(ConnectorOf, 1, wiring.Entered, "plan.material.connector", nil)
}

// partsOf adds what joins and holds the wires.
func (l *list) partsOf(m *mapper) {
	diodes, crimps, rings, relays := 0, 0, 0, 0
	for i := range m.points {
		switch m.points[i].Kind {
		case DiodePoint:
			diodes++
		case RelayPoint:
			if m.points[i].ID != "interrupter" {
				relays++
			}
		case ConverterPoint:
			l.add(ConverterOf, 1, wiring.Entered, "plan.material.converter", nil)
		}
	}
	for i := range m.links {
		w := &m.links[i]
		if !w.New || w.Zone == Between {
			continue
		}
		crimps++ // at its far end; the near end is another's far end or a connector
		if w.Function == GroundWire {
			rings++
		}
	}
	if d, ok := parts.FindDiode(string(l.h.DiodeKind)); ok {
		l.add(DiodeOf, diodes, wiring.Entered, "plan.material.diode", finding.Params{
			"kind": finding.Word("plan.diode." + string(l.h.DiodeKind)), "amps": finding.Num(d.Amps, "A"), "volts": finding.Num(d.ReverseVolts, "V"),
		})
	}
	how := howOf(l.h, "/harness/car_wire/length")
	l.add(RelayOf, relays, wiring.Entered, "plan.material.relay", nil)
	l.add(CrimpOf, crimps, wiring.Entered, "plan.material.crimp", nil)
	l.add(RingOf, rings, wiring.Entered, "plan.material.ring", nil)
	l.add(TieOf, int(math.Ceil(unit.Round9(l.h.Runs.Car.FT/tieEvery))), how, "plan.material.tie", nil)
	l.add(GrommetOf, grommets, wiring.Template, "plan.material.grommet", nil)
	ft := unit.Round9(l.h.Runs.Car.FT)
	l.all = append(l.all, Material{Kind: LoomOf, LengthFT: &ft, How: how, Name: finding.Say("plan.material.loom", nil)})
}

// lampsOf adds the lamps that the approach brings.
func (l *list) lampsOf(a *assessment) {
	switch l.h.Approach {
	case rig.RemovableLamps:
		l.add(LampBarOf, 1, wiring.Entered, "plan.material.lamp_bar", nil)
	case rig.SeparateBulbs:
		counts, ids := [4]int{}, [4]rig.BulbID{}
		for i := range a.s.lamps {
			lamp := &a.s.lamps[i]
			if !rear(lamp.Lens) || !lamp.Connected || lamp.Job == wiring.TailJob && l.h.TailBulb.ID == l.h.StopBulb.ID {
				continue // a dual bulb is both
			}
			id := a.s.bulbOf(lamp.ID)
			for k := range ids {
				if ids[k] == "" || ids[k] == id {
					ids[k] = id
					counts[k]++
					break
				}
			}
		}
		for k, id := range ids {
			l.add(BulbOf, counts[k], wiring.Entered, "plan.material.bulb", finding.Params{"bulb": finding.Plain(string(id))})
			l.add(SocketOf, counts[k], wiring.Entered, "plan.material.socket", finding.Params{"bulb": finding.Plain(string(id))})
		}
	}
}

// fusesOf adds the fuses to put in place of those that do not fit.
func (l *list) fusesOf(fuses []Fusing) {
	for i := range fuses {
		u := &fuses[i]
		misfit := u.RatingA < u.LeastA || u.MostA != nil && u.RatingA > *u.MostA
		if u.How != wiring.Template && misfit && u.FitA != nil {
			l.add(FuseOf, 1, wiring.Entered, "plan.material.fuse", finding.Params{"amps": finding.Num(*u.FitA, "A"), "feed": feedWord(u.Function)})
		}
	}
}

// bulbOf is the bulb of a light source, "" for one the harness does not light.
func (s *survey) bulbOf(id string) rig.BulbID {
	switch id {
	case "tail_left", "tail_right":
		return s.h.TailBulb.ID
	case "stop_left", "stop_right":
		return s.h.StopBulb.ID
	case "turn_left", "turn_right":
		return s.h.TurnBulb.ID
	case "plate":
		return s.h.PlateBulb.ID
	}
	return ""
}
