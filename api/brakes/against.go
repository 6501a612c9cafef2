package brakes

import (
	"math"
	"slices"
	"sync"

	"pintail/api/rig"
	"pintail/api/unit"
)

// ClassResult is one class of the federal table beside what is known of the rig:
// a commercial yard-stick.
type ClassResult struct {
	Class       string  `json:"class"`
	ForcePct    float64 `json:"force_pct"`
	DecelFtS2   float64 `json:"decel_ft_s2"`
	ServiceFt   float64 `json:"service_ft"`
	EmergencyFt float64 `json:"emergency_ft"`
	// LagS is what the distance leaves for the brakes to take hold at that
	// deceleration, EqualDecelFtS2 the steady deceleration equal to the distance.
	LagS           float64 `json:"lag_s"`
	EqualDecelFtS2 float64 `json:"equal_decel_ft_s2"`
	// ForceNeededLbf is the class's force for the pair, ForceGapLbf what is
	// missing of it where only the motorhome brakes so hard.
	ForceNeededLbf *float64 `json:"force_needed_lbf,omitzero"`
	ForceGapLbf    *float64 `json:"force_gap_lbf,omitzero"`
	// UnbrakedMostPct is how heavy an unbraked car may be, per cent of the
	// motorhome, for the pair to keep the distance.
	UnbrakedMostPct *float64 `json:"unbraked_most_pct,omitzero"`
	// The stops from 20 mph that keep the service distance.
	AloneMet        *bool `json:"alone_met,omitzero"`
	PairUnbrakedMet *bool `json:"pair_unbraked_met,omitzero"`
	PairBrakedMet   *bool `json:"pair_braked_met,omitzero"`
	PairMeasuredMet *bool `json:"pair_measured_met,omitzero"`
}

// classResults are the columns of the table that every rig shares.
var classResults = sync.OnceValue(func() []ClassResult {
	all := make([]ClassResult, 0, len(classes))
	for _, c := range classes {
		all = append(all, ClassResult{
			Class: c.id, ForcePct: c.forcePct, DecelFtS2: c.decelFtS2, ServiceFt: c.serviceFt, EmergencyFt: c.emergency,
			LagS:           unit.Round9(lagIn(twenty, c.serviceFt*foot, c.decelFtS2*foot)),
			EqualDecelFtS2: unit.Round9(decelOf(twenty, c.serviceFt*foot, 0) / foot),
		})
	}
	return all
})

func (s *scene) classes() []ClassResult {
	all := slices.Clone(classResults())
	one := s.known[0]
	// Room for what the rows point to, made in one piece.
	figures, answers := make([]float64, 0, 3*len(all)), make([]bool, 0, 4*len(all))
	figure := func(v float64) *float64 {
		figures = append(figures, v)
		return &figures[len(figures)-1]
	}
	met := func(i int, l limitM) *bool {
		kept, known := s.keeps(i, l)
		if !known {
			return nil
		}
		answers = append(answers, kept)
		return &answers[len(answers)-1]
	}
	for i := range all {
		r := &all[i]
		if s.m1 > 0 && s.m2 > 0 {
			needed, gap := forces(r.ForcePct, s.m1/pound, s.m2/pound)
			r.ForceNeededLbf, r.ForceGapLbf = figure(needed), figure(gap)
		}
		if one.a != 0 {
			r.UnbrakedMostPct = figure(unit.Round9(100 * unbrakedShare(r.ServiceFt*foot-twenty*one.lag, one.flat(twenty)-twenty*one.lag)))
		}
		limit := limitM{at: twenty, within: unit.FT(r.ServiceFt)}
		r.AloneMet, r.PairUnbrakedMet, r.PairBrakedMet, r.PairMeasuredMet = met(0, limit), met(1, limit), met(2, limit), met(3, limit)
	}
	return all
}

// forces is the brake force a rule of so many per cent asks of the pair, and
// what is missing of it where the towing vehicle alone brakes to that rule;
// pounds.
func forces(pct, towing, towed float64) (needed, gap float64) {
	return unit.Round9(pct / 100 * (towing + towed)), unit.Round9(pct / 100 * towed)
}

// limitM is a distance to keep, and the speed it holds from, m/s.
type limitM struct {
	at     float64
	within unit.Length
}

// keeps reports whether a case keeps a limit on the road of the measured stop,
// and whether the case is known. A stop measured from the very speed is compared
// as it was entered, exactly.
func (s *scene) keeps(i int, l limitM) (kept, known bool) {
	d := s.known[i]
	if d.a == 0 {
		return false, false
	}
	if s.seenFrom(i, l.at) {
		return !s.stop(i).Distance.Over(l.within), true
	}
	return unit.Round9(d.flat(l.at)) <= l.within.In("m"), true
}

// seenFrom reports whether a case is a stop measured from the very speed, m/s.
func (s *scene) seenFrom(i int, v float64) bool {
	stop := s.stop(i)
	return stop.Known() && math.Abs(stop.From.In("km_h")/3.6-v) < 1e-9
}

// stop is the measured stop behind a case, empty where it is reckoned.
func (s *scene) stop(i int) rig.Stop {
	switch s.known[i].kind {
	case Alone:
		return s.in.Rig.Stopping.Alone
	case PairMeasured:
		return pairStop(s.in.Rig.Stopping)
	}
	return rig.Stop{}
}

// LimitResult is one limit of the caller beside what is known of the rig.
type LimitResult struct {
	Name     string      `json:"name"`
	From     unit.Speed  `json:"from"`
	Distance unit.Length `json:"distance"`
	Braked   *bool       `json:"braked,omitzero"`
	// UnbrakedMostPct is how heavy an unbraked car may be, per cent of the
	// motorhome, for the pair to keep it.
	UnbrakedMostPct *float64 `json:"unbraked_most_pct,omitzero"`
	// Case is the stop it is held against: that of the car as it is towed, or as
	// the limit has it. Absent where none is known.
	Case CaseKind `json:"case,omitzero"`
	Met  *bool    `json:"met,omitzero"`
	// StopFt is that case from the limit's speed, feet.
	StopFt *float64 `json:"stop_ft,omitzero"`
}

func (s *scene) limits() []LimitResult {
	all := make([]LimitResult, 0, len(s.in.Limits))
	for _, l := range s.in.Limits {
		r := LimitResult{Name: l.Name, From: l.From, Distance: l.Distance, Braked: l.Braked}
		v := l.From.In("km_h") / 3.6
		if one := s.known[0]; one.a != 0 {
			most := unit.Round9(100 * unbrakedShare(l.Distance.In("m")-v*one.lag, one.flat(v)-v*one.lag))
			r.UnbrakedMostPct = &most
		}
		if i := s.caseFor(l.Braked); i >= 0 {
			stop := unit.Round9(s.known[i].flat(v) / foot)
			kept, _ := s.keeps(i, limitM{at: v, within: l.Distance})
			r.Case, r.StopFt, r.Met = s.known[i].kind, &stop, &kept
		}
		all = append(all, r)
	}
	return all
}

// caseFor is the case a limit is held against, -1 where it is not known: the
// pair as measured where that is the car the limit means, else as reckoned.
func (s *scene) caseFor(braked *bool) int {
	fitted := s.in.Rig.BrakeUnit.Fitted
	asTowed := braked == nil || fitted != nil && *fitted == *braked
	switch {
	case asTowed && s.known[3].a != 0:
		return 3
	case (rig.Is(braked, true) || braked == nil && rig.Is(fitted, true)) && s.known[2].a != 0:
		return 2
	case (rig.Is(braked, false) || braked == nil && rig.Is(fitted, false)) && s.known[1].a != 0:
		return 1
	}
	return -1
}

// Yardsticks are federal rules for carriers that come near: no rules for a
// private tow.
type Yardsticks struct {
	// CarOfMotorhomePct is the car's weight, per cent of the motorhome's;
	// TrailerAsksBrakes whether a trailer of that weight would need brakes (49 CFR
	// 393.42(b)(3): over 3,000 lb, or over 40 %).
	CarOfMotorhomePct float64 `json:"car_of_motorhome_pct"`
	TrailerAsksBrakes bool    `json:"trailer_asks_brakes"`
	// BarLongLbf and BarBeamLbf are what a driveaway tow bar must stand, pounds
	// (49 CFR 393.71(h)(1), from memory).
	BarLongLbf float64 `json:"bar_long_lbf"`
	BarBeamLbf float64 `json:"bar_beam_lbf"`
}

func (s *scene) yardsticks() *Yardsticks {
	car, towing := s.in.Rig.Towed.Actual.Weight, s.in.Rig.Towing.Actual.Weight
	if car == nil || towing == nil {
		return nil
	}
	long, beam := barStrengthLB(car.In("lb"))
	return &Yardsticks{
		CarOfMotorhomePct: unit.Round9(100 * s.m2 / s.m1), TrailerAsksBrakes: trailerAsksBrakes(*car, *towing),
		BarLongLbf: unit.Round9(long), BarBeamLbf: unit.Round9(beam),
	}
}

// AxlePlace is an axle, or all axles of a vehicle whose axles were not weighed.
type AxlePlace string

// The axles.
const (
	TowingAll   AxlePlace = "towing"
	TowingFront AxlePlace = "towing_front"
	TowingRear  AxlePlace = "towing_rear"
	TowingTag   AxlePlace = "towing_tag"
	TowedAll    AxlePlace = "towed"
	TowedFront  AxlePlace = "towed_front"
	TowedRear   AxlePlace = "towed_rear"
)

// Values lists the axles.
func (AxlePlace) Values() []string {
	return []string{"towing", "towing_front", "towing_rear", "towing_tag", "towed", "towed_front", "towed_rear"}
}

// AxleDemand is the friction that the tires of an axle must give in the measured
// stop. Loads are those at rest: braking shifts load forward, so a rear axle
// locks earlier than this says.
type AxleDemand struct {
	Axle     AxlePlace `json:"axle"`
	ForcePct float64   `json:"force_pct"` // of the vehicle's brake force
	Friction float64   `json:"friction"`
	// Locks is whether that is more than the least friction of the road asked
	// for, absent where none was.
	Locks *bool `json:"locks,omitzero"`
}

// load is an axle and what it carries, kilograms.
type load struct {
	axle AxlePlace
	kg   float64
}

func (s *scene) axles() []AxleDemand {
	all := make([]AxleDemand, 0, 5)
	if one := s.known[0]; one.a != 0 {
		t := s.in.Rig.Towing
		all = s.demand(all, one.a, TowingAll, s.in.TowingFrontPct, []load{{TowingFront, kg(t.FrontAxle.Actual)}, {TowingRear, kg(t.RearAxle.Actual)}, {TowingTag, kg(t.TagAxle.Actual)}})
	}
	car := s.known[2].car
	if car == 0 {
		car = s.known[3].car
	}
	if car > 0 {
		t := s.in.Rig.Towed
		all = s.demand(all, car, TowedAll, s.in.TowedFrontPct, []load{{TowedFront, kg(t.FrontAxle.Actual)}, {TowedRear, kg(t.RearAxle.Actual)}})
	}
	return all
}

// demand adds the axles of one vehicle that gives itself a; loads begin with the
// front axle, and the others share the rest of the force as they are loaded.
func (s *scene) demand(all []AxleDemand, a float64, whole AxlePlace, frontPct *float64, loads []load) []AxleDemand {
	sum := 0.0
	for _, l := range loads {
		sum += l.kg
	}
	if loads[0].kg == 0 || loads[1].kg == 0 {
		return append(all, s.axle(whole, 100, a/gravity))
	}
	for i, l := range loads {
		if l.kg == 0 {
			continue
		}
		part := l.kg / sum
		if frontPct != nil && i == 0 {
			part = *frontPct / 100
		} else if frontPct != nil {
			part = (1 - *frontPct/100) * l.kg / (sum - loads[0].kg)
		}
		all = append(all, s.axle(l.axle, 100*part, part*sum/l.kg*a/gravity))
	}
	return all
}

func (s *scene) axle(place AxlePlace, pct, friction float64) AxleDemand {
	d := AxleDemand{Axle: place, ForcePct: unit.Round9(pct), Friction: unit.Round9(friction)}
	if s.low > 0 {
		locks := d.Friction > unit.Round9(s.low*s.cos)
		d.Locks = &locks
	}
	return d
}

func kg(m *unit.Mass) float64 {
	if m == nil {
		return 0
	}
	return m.In("kg")
}
