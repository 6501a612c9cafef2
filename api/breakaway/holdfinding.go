package breakaway

import (
	"math"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/supply"
	"pintail/api/unit"
)

// holdFinding holds the band against 15 minutes.
func holdFinding(in HoldInput, band *Minutes, least *AmpereHours) finding.Finding {
	f := newFinding("hold", "")
	f.Decides, f.Basis = true, []finding.Basis{peukert, coldTable, fifteenMinutes}
	if why := noBattery(*in.Kit); why != "" {
		return withoutBattery(f, why)
	}
	if band == nil {
		f.Verdict, f.Basis, f.Fields = finding.FindOut, nil, missing(*in.Kit)
		f.Says, f.Remedy = finding.Say("breakaway.hold_missing", nil), finding.Advise("breakaway.hold_missing.remedy", nil)
		if f.Fields == nil {
			f.Says, f.Remedy, f.Fields = finding.Say("breakaway.hold_no_temperature", nil), nil, []string{"/coldest"}
		}
		return f
	}
	f.Figures = holdFigures(in, *band)
	_, beyond := supply.ColdFactor(*in.Coldest)
	params := finding.Params{
		"low": finding.Num(band.LowMin, "min"), "high": finding.Num(band.HighMin, "min"),
		"wanted": finding.Num(WantedMin, "min"), "coldest": finding.TemperatureOf(*in.Coldest),
	}
	switch {
	case band.LowMin >= WantedMin && beyond:
		f.Verdict, f.Says = finding.Mind, finding.Say("breakaway.hold_beyond_table", params)
		f.Remedy = finding.Advise("breakaway.hold_beyond_table.remedy", nil)
		return f
	case band.LowMin >= WantedMin:
		f.Verdict, f.Says = finding.OK, finding.Say("breakaway.hold_enough", params)
		return f
	case band.HighMin < WantedMin:
		f.Verdict, f.Says = finding.NoGo, finding.Say("breakaway.hold_short", params)
	default:
		f.Verdict, f.Says = finding.FindOut, finding.Say("breakaway.hold_unsure", params)
	}
	_, hours, _ := supply.Rating(in.Kit.Battery)
	f.Remedy = finding.Advise("breakaway.hold_wire.remedy", nil)
	if least != nil {
		f.Remedy = finding.Advise("breakaway.hold_short.remedy", finding.Params{"least": finding.Num(least.HighAh, "Ah"), "hours": finding.Num(hours, "h")})
	}
	f.Fields = []string{"/breakaway/battery/rated_ah", "/breakaway/hold_current_a"}
	return f
}

// withoutBattery: no battery that stays with the car, so nothing to compute.
func withoutBattery(f finding.Finding, why string) finding.Finding {
	f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say(why, nil), nil
	f.Fields = []string{"/breakaway/measured_hold_min"}
	switch why {
	case "breakaway.hold_no_kit":
		f.Fields = []string{"/breakaway/fitted"}
	case "breakaway.hold_parts":
		f.Verdict, f.Basis, f.Fields = finding.NoGo, []finding.Basis{practice}, []string{"/breakaway/powered_from"}
	}
	return f
}

func holdFigures(in HoldInput, band Minutes) []finding.Figure {
	ah, hours, _ := supply.Rating(in.Kit.Battery)
	return []finding.Figure{
		{Label: "breakaway.figure.rated", Value: finding.Num(ah, "Ah"), Entered: true},
		{Label: "breakaway.figure.rate", Value: finding.Num(hours, "h"), Entered: true},
		{Label: "breakaway.figure.current", Value: finding.Num(*in.Kit.HoldCurrentA, "A"), Entered: true},
		{Label: "breakaway.figure.coldest", Value: finding.TemperatureOf(*in.Coldest), Entered: true},
		{Label: "breakaway.figure.low", Value: finding.Num(band.LowMin, "min")},
		{Label: "breakaway.figure.high", Value: finding.Num(band.HighMin, "min")},
		{Label: "breakaway.figure.wanted", Value: finding.Num(WantedMin, "min")},
	}
}

// doubts are what the computed hold rests on without anybody having looked.
func doubts(k rig.Breakaway) []finding.Finding {
	var fs []finding.Finding
	b := k.Battery
	if f := bare(k); f.Fields != nil {
		fs = append(fs, f)
	}
	if f := pumping(k); f != nil {
		fs = append(fs, *f)
	}
	if supply.RatingsDiffer(b) {
		f := newFinding("ratings-differ", "battery/rated_ah")
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.ratings_differ", nil), nil
		f.Fields = append(f.Fields, "/breakaway/battery/reserve_min")
		fs = append(fs, f)
	}
	if b.AgeYears == nil || b.RestedV == nil {
		f := newFinding("reckoned-new", "")
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.reckoned_new", nil), nil
		if b.AgeYears == nil {
			f.Fields = append(f.Fields, "/breakaway/battery/age_years")
		}
		if b.RestedV == nil {
			f.Fields = append(f.Fields, "/breakaway/battery/rested_v")
		}
		fs = append(fs, f)
	}
	if b.RestedV != nil && *b.RestedV > supply.TakenOffCharge {
		f := newFinding("not-rested", "battery/rested_v")
		f.Verdict, f.Says, f.Basis = finding.FindOut, finding.Say("breakaway.not_rested", finding.Params{"volts": finding.Num(*b.RestedV, "V")}), nil
		fs = append(fs, f)
	}
	if b.AgeYears != nil && *b.AgeYears > supply.ServiceYears {
		f := newFinding("old", "battery/age_years")
		f.Verdict, f.Says = finding.Mind, finding.Say("breakaway.old", finding.Params{"age": finding.Num(*b.AgeYears, "")})
		fs = append(fs, f)
	}
	return fs
}

// pumping: the pump draws the most, so the wire loses the most before there is
// any hold.
func pumping(k rig.Breakaway) *finding.Finding {
	if k.LeastV == nil || k.PumpCurrentA == nil || k.PumpS == nil || *k.PumpS == 0 {
		return nil
	}
	ohm, _ := supply.LoopOhm(k.Wire, k.Contacts, wireCelsius)
	left := loadedV - ohm.High**k.PumpCurrentA
	if left >= *k.LeastV {
		return nil
	}
	f := newFinding("hold-pump", "wire")
	f.Verdict, f.Decides = finding.FindOut, true
	f.Says = finding.Say("breakaway.pump_starved", finding.Params{"left": finding.Num(unit.Round9(math.Round(100*left)/100), "V"), "least": finding.Num(*k.LeastV, "V")})
	f.Remedy, f.Fields = finding.Advise("breakaway.pump_starved.remedy", nil), []string{"/breakaway/wire/awg", "/breakaway/wire/length", "/breakaway/pump_current_a"}
	return &f
}

// bare: a wire and a voltage that nobody entered are reckoned harmless.
func bare(k rig.Breakaway) finding.Finding {
	f := newFinding("reckoned-bare", "")
	f.Verdict, f.Says, f.Basis, f.Fields = finding.FindOut, finding.Say("breakaway.reckoned_bare", nil), nil, nil
	if k.LeastV == nil {
		f.Fields = append(f.Fields, "/breakaway/least_v")
	}
	if k.Wire.AWG == nil {
		f.Fields = append(f.Fields, "/breakaway/wire/awg")
	}
	if k.Wire.Length == nil {
		f.Fields = append(f.Fields, "/breakaway/wire/length")
	}
	return f
}

var (
	peukert   = finding.Basis{Kind: finding.Computed, Reference: "Peukert from the label's hour rate, a stretch at these currents: hence a band"}
	coldTable = finding.Basis{Kind: finding.Standard, Reference: "IEEE 485 cell-size factors, by a published polynomial, for stationary cells"}
)
