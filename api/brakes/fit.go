package brakes

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// ruledOut are the pairs that cannot work, whatever else is done. Each is our
// engineering judgment from how the actuation type works; no published table is
// known. The sentence is brakes.ruled_out. and the reason.
var ruledOut = []struct {
	actuation rig.Actuation
	brakes    rig.BrakeKind
	booster   rig.Booster
	reason    string
}{
	{actuation: rig.AirOnPedal, brakes: rig.HydraulicBrakes, reason: "no_air"},
	{actuation: rig.AirBehindBooster, brakes: rig.HydraulicBrakes, reason: "no_air"},
	{actuation: rig.AirOnPedal, brakes: rig.BrakeByWire, reason: "no_tap"},
	{actuation: rig.AirBehindBooster, brakes: rig.BrakeByWire, reason: "no_tap"},
	{actuation: rig.HydraulicSensing, brakes: rig.BrakeByWire, reason: "no_tap"},
	{actuation: rig.HydraulicSensing, brakes: rig.AirBrakes, reason: "no_fluid"},
	{actuation: rig.HydraulicSensing, brakes: rig.AirOverHydraulic, reason: "no_fluid"},
	{actuation: rig.OwnVacuum, booster: rig.Hydroboost, reason: "no_vacuum"},
	{actuation: rig.OwnVacuum, booster: rig.ElectricBooster, reason: "no_vacuum"},
	{actuation: rig.OwnVacuum, booster: rig.NoBooster, reason: "no_vacuum"},
	{actuation: rig.SignalTriggered, booster: rig.ElectricBooster, reason: "fixed_force"},
	{actuation: rig.AirBehindBooster, booster: rig.ElectricBooster, reason: "no_rod"},
}

// fit holds the actuation type against the motorhome's brakes and the car's
// booster.
func fit(r rig.Rig) *finding.Finding {
	f := &finding.Finding{ID: "brakes.fit", Area: finding.Brakes, Basis: []finding.Basis{judgment}}
	for _, o := range ruledOut {
		if o.actuation != r.BrakeUnit.Actuation || o.brakes != "" && o.brakes != r.Towing.BrakeKind || o.booster != "" && o.booster != r.Towed.Booster {
			continue
		}
		f.Verdict, f.Decides = finding.NoGo, true
		f.Says = finding.Say("brakes.ruled_out."+o.reason, nil)
		f.Remedy = finding.Advise("brakes.ruled_out.remedy", nil)
		f.Fields = []string{"/brake_unit/actuation", "/towing/brake_kind"}
		if o.booster != "" {
			f.Fields[1] = "/towed/booster"
		}
		return f
	}
	if f.Fields = unknownForFit(r); f.Fields != nil {
		// It decides only where an answer could rule the unit out.
		f.Verdict, f.Decides = finding.FindOut, f.Fields[0] != "/brake_unit/actuation"
		f.Says = finding.Say("brakes.fit_unknown", nil)
		return f
	}
	f.Verdict, f.Says = finding.OK, finding.Say("brakes.fit_possible", nil)
	return f
}

// unknownForFit lists the facts that could still rule the unit out.
func unknownForFit(r rig.Rig) []string {
	a := r.BrakeUnit.Actuation
	if a == "" || a == rig.AnotherActuation {
		return []string{"/brake_unit/actuation"}
	}
	var fields []string
	add := func(field string) {
		if len(fields) == 0 || fields[len(fields)-1] != field {
			fields = append(fields, field)
		}
	}
	for _, o := range ruledOut {
		if o.actuation == a && o.brakes != "" && r.Towing.BrakeKind == "" {
			add("/towing/brake_kind")
		}
	}
	for _, o := range ruledOut {
		if o.actuation == a && o.booster != "" && r.Towed.Booster == "" {
			add("/towed/booster")
		}
	}
	return fields
}
