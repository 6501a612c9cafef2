package plan

import (
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/unit"
)

// shortOhm is a wire that touches bare metal.
const shortOhm = 0.005

// fusings judges every fuse of the motorhome's lamp branches.
func (a *assessment) fusings() []Fusing {
	all := make([]Fusing, 0, len(lanes))
	for i := range lanes {
		if l := &lanes[i]; a.s.has(l) {
			all = append(all, a.fusing(l))
		}
	}
	return all
}

func (a *assessment) fusing(l *lane) Fusing {
	load := a.s.partAmps("source_" + l.feed.Name())
	f := Fusing{
		Point: "fuse_" + l.feed.Name(), Function: l.function, RatingA: a.s.h.FuseA[l.feed],
		How: howOf(&a.s.h, "/towing/circuits/"+l.feed.Name()+"/fuse_a"), LoadA: unit.Round9(load),
		LeastA: unit.Round9(parts.LeastFuse(load)), ShortA: unit.Round9(short(&a.s.h, l.feed)),
	}
	if most := a.weakest(l); most > 0 {
		f.MostA = &most
	}
	if fit, ok := parts.BladeFuse(f.LeastA); ok && (f.MostA == nil || fit <= *f.MostA) {
		f.FitA = &fit
	}
	if least, most, ok := parts.Opens(unit.Round9(f.ShortA / f.RatingA)); ok {
		f.OpensLeastS, f.OpensMostS = &least, &most
	}
	return f
}

// weakest is the least that umbilical, contact and car wire of a feed may carry,
// 0 where one of them is not known or the feed has none.
func (a *assessment) weakest(l *lane) float64 {
	h := &a.s.h
	if !h.Wires[l.feed] {
		return 0
	}
	return min(a.rating.umbilical(h.Runs.Umbilical.AWG, l.function), a.rating.car(h.Runs.Car.AWG))
}

// short is the current when the feed's wire touches the car's body at the lamp,
// before the fuse opens.
func short(h *wiring.Harness, f wiring.Feed) float64 {
	o := &h.Ohms
	return h.SupplyV / (o.Source[f] + o.Umbilical + o.Car + shortOhm + o.CarGround + o.UmbilicalGround + o.Chassis)
}
