package rules

import "pintail/api/unit"

// meets says whether the rig meets what the row asks, and adds to need the
// facts that would settle it.
func (f *Facts) meets(r *rule, need *need) fit {
	switch r.Subject {
	case Brakes, BrakesShare:
		return metBy(fromBool(f.HasBrakes, needBrakes, need))
	case Breakaway:
		return f.holdsLongEnough(r.Value, need)
	case SafetyChain:
		return f.chained(r, need)
	case PlateLamp:
		return metBy(fromBool(f.PlateLamp, needPlate, need))
	case CouplingLength:
		return metBy(over(f.CouplingLength, r.length, needGap, need).not())
	case CombinationLength:
		return metBy(over(f.CombinationLength, r.length, needLength, need).not())
	case StoppingDistance:
		return metBy(over(f.StopFrom20MPH, r.length, needStop, need).not())
	case Speed:
		return metBy(over(f.PlannedSpeed, r.speed, needSpeed, need).not())
	case TowedUnits:
		return metBy(f.unitsOver(int(*r.Value), need).not())
	case RestrictedRoads:
		return fitNotKnown // where the road runs is for the driver
	}
	n, missing := f.counted(r.Subject)
	return enough(n, r.Value, missing, need)
}

func metBy(a answer) fit {
	switch a {
	case yes:
		return fitMet
	case no:
		return fitNotMet
	}
	return fitNotKnown
}

// counted is the number of lamps or reflectors the subject is about.
func (f *Facts) counted(s Subject) (*int, need) {
	switch s {
	case TailLamps:
		return f.TailLamps, needTail
	case StopLamps:
		return f.StopLamps, needStopLamps
	case TurnSignals:
		return f.TurnSignals, needTurn
	case ClearanceLamps:
		return f.ClearanceLamps, needClearance
	}
	return f.Reflectors, needReflectors
}

// enough compares a count. Where the law read gives no number, none fails, one
// is not known to do, and a pair does: no law read asks for more of these.
func enough(n *int, asked *float64, missing need, out *need) fit {
	switch {
	case n == nil:
		*out |= missing
		return fitNotKnown
	case asked != nil:
		return metBy(answered(*n >= int(*asked)))
	case *n == 0:
		return fitNotMet
	case *n == 1:
		*out |= needCircumstance
		return fitNotKnown
	}
	return fitMet
}

func (f *Facts) chained(r *rule, need *need) fit {
	m := enough(f.Cables, r.Value, needCables, need)
	if m != fitMet || !r.Crossed {
		return m
	}
	return metBy(fromBool(f.CablesCrossed, needCrossed, need))
}

// holdsLongEnough judges the kit by the band of minutes it holds.
func (f *Facts) holdsLongEnough(minutes *float64, need *need) fit {
	fitted := fromBool(f.Breakaway, needBreakaway, need)
	if fitted != yes || minutes == nil {
		return metBy(fitted)
	}
	switch {
	case f.HoldMinLow != nil && unit.Round9(*f.HoldMinLow) >= *minutes:
		return fitMet
	case f.HoldMinHigh != nil && unit.Round9(*f.HoldMinHigh) < *minutes:
		return fitNotMet
	}
	*need |= needHold
	return fitNotKnown
}

// narrow is the width below which no rule read asks a motor vehicle for
// clearance lamps: the narrowest line among them (80 in; 2.032 m is the same).
var narrow = unit.IN(80)

// meetsStrictest says whether the rig meets the strictest rule on the subject
// known anywhere.
func (t *table) meetsStrictest(f *Facts, s int) fit {
	r := t.strictest[s]
	switch {
	case r == nil:
		return fitNotKnown
	case r.Subject == ClearanceLamps && f.TowedWidth != nil && narrow.Over(*f.TowedWidth):
		return fitMet
	}
	var need need
	return f.meets(r, &need)
}
