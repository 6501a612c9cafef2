package brakes

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// surgeMostLB is the heaviest towed vehicle, pounds, that may have a surge brake
// behind a towing vehicle of the weight given: up to 12,000 lb it may weigh 1.75
// times as much, up to 20,000 lb 1.25 times.
//
// Source: 49 CFR 393.48(d), which binds carriers: a yard-stick only.
func surgeMostLB(towing float64) float64 {
	return max(min(1.75*towing, 12_000), min(1.25*towing, 20_000))
}

// surgeYardstick holds the car against the federal ratio for surge brakes.
func surgeYardstick(r rig.Rig) []Reason {
	car, towing := r.Towed.Actual.Weight, r.Towing.Actual.Weight
	if car == nil || towing == nil {
		return nil
	}
	most := unit.Round9(surgeMostLB(towing.In("lb")))
	params := finding.Params{"car": finding.MassOf(*car), "most": massLB(most)}
	if car.In("lb") > most {
		return []Reason{{Fit: SuitsIf, Says: finding.Say("brakes.why.surge_ratio_over", params), Fields: []string{"/towed/actual/weight"}}}
	}
	return []Reason{{Fit: Suits, Says: finding.Say("brakes.why.surge_ratio", params)}}
}

// massLB shows a computed weight to a tenth of a pound.
func massLB(lb float64) finding.Param {
	m, err := unit.NewMass(rounded(lb, 10), "lb")
	if err != nil {
		return finding.Num(lb, "lb")
	}
	return finding.MassOf(m)
}
