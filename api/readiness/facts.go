package readiness

import (
	"pintail/api/breakaway"
	"pintail/api/lamps"
	"pintail/api/rig"
	"pintail/api/rules"
	"pintail/api/unit"
)

// facts gathers what the law asks about from the rig. What is not recorded
// stays unknown.
func facts(r rig.Rig, t Trip) rules.Facts {
	lit := lamps.Lit(r.Harness, r.Towed)
	one := 1
	f := rules.Facts{
		TowedGross:        r.Towed.Actual.Weight,
		TowedGVWR:         r.Towed.GVWR,
		TowedUnladen:      r.Towed.Curb,
		TowedYear:         r.Towed.Variant.Year,
		TowedWidth:        r.Towed.Width,
		TowedUnits:        &one,
		TowingGross:       r.Towing.Actual.Weight,
		TowingGVWR:        r.Towing.GVWR,
		TowingEmpty:       r.Towing.Empty,
		TowingAxleRatings: axleRatings(r.Towing),
		HasBrakes:         r.BrakeUnit.Fitted,
		Breakaway:         r.Breakaway.Fitted,
		StopFrom20MPH:     r.Stopping.PairFrom20MPH,
		CablesCrossed:     r.Coupling.CablesCrossed,
		TailLamps:         lit.Tail,
		StopLamps:         lit.Stop,
		TurnSignals:       lit.Turn,
		ClearanceLamps:    lit.Clearance,
		Reflectors:        lit.Reflectors,
		PlateLamp:         lit.Plate,
		CouplingLength:    r.Coupling.Geometry.Gap,
		CombinationLength: combinationLength(r),
		PlannedSpeed:      t.PlannedSpeed,
	}
	// An empty list is a list nobody filled in, not a rig without cables.
	if n := len(r.Coupling.Cables); n > 0 {
		f.Cables = &n
	}
	f.HoldMinLow, f.HoldMinHigh = hold(r.Breakaway, t.Coldest)
	return f
}

// hold is the band of minutes the breakaway brakes stay on: as measured on this
// rig, else as computed from its battery.
func hold(kit rig.Breakaway, coldest *unit.Temperature) (low, high *float64) {
	if m := kit.MeasuredHoldMin; m != nil {
		return m, m
	}
	l, h, ok := breakaway.Band(kit, coldest)
	if !ok {
		return nil, nil
	}
	return &l, &h
}

// axleRatings is the sum of the motorhome's axle ratings, nil when one of the
// two that every motorhome has is not known.
func axleRatings(t rig.Towing) *unit.Mass {
	if t.FrontAxle.Rating == nil || t.RearAxle.Rating == nil {
		return nil
	}
	sum := t.FrontAxle.Rating.Add(*t.RearAxle.Rating)
	if t.TagAxle.Rating != nil {
		sum = sum.Add(*t.TagAxle.Rating)
	}
	return &sum
}

// combinationLength is motorhome, gap and car together.
func combinationLength(r rig.Rig) *unit.Length {
	gap := r.Coupling.Geometry.Gap
	if r.Towing.Length == nil || gap == nil || r.Towed.Length == nil {
		return nil
	}
	sum := r.Towing.Length.Add(*gap).Add(*r.Towed.Length)
	return &sum
}
