package breakaway

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// HoldInput is the input of breakaway/hold.
type HoldInput struct {
	Kit *rig.Breakaway `json:"kit"`
	// Coldest is the coldest air the kit's battery meets on the trip.
	Coldest *unit.Temperature `json:"coldest,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in HoldInput) Validate() *finding.Error {
	c := rig.NewChecker()
	if in.Kit == nil {
		c.In("kit").Bad("missing")
	} else {
		in.Kit.Check(c.In("kit"))
	}
	c.Temperature("coldest", in.Coldest)
	return c.Err()
}

// Minutes is a band of minutes: the truth lies between the two.
type Minutes struct {
	LowMin  float64 `json:"low_min"`
	HighMin float64 `json:"high_min"`
}

// AmpereHours is a band of rated ampere-hours.
type AmpereHours struct {
	LowAh  float64 `json:"low_ah"`
	HighAh float64 `json:"high_ah"`
}

// HoldReport is the answer of breakaway/hold.
type HoldReport struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Hold is how long the brakes stay on, absent where a figure is missing.
	Hold *Minutes `json:"hold,omitzero"`
	// Least is the rating, at the same hour rate, of the smallest new and full
	// battery that holds 15 minutes.
	Least *AmpereHours `json:"least,omitzero"`
}

// Hold computes how long the kit's battery keeps the brakes on, as a band, and
// holds it against 15 minutes: OK only if the whole band passes, NoGo if the
// whole band fails, FindOut otherwise.
//
// Age and rested voltage narrow nothing: they only take away. Without them the
// battery is reckoned new and full, and a finding says so.
func Hold(in HoldInput) HoldReport {
	r := HoldReport{Findings: []finding.Finding{}}
	r.Hold, r.Least = holdOf(*in.Kit, in.Coldest), leastOf(*in.Kit, in.Coldest)
	r.Findings = append(r.Findings, holdFinding(in, r.Hold, r.Least))
	if r.Hold != nil {
		r.Findings = append(r.Findings, doubts(in.Kit.Battery)...)
	}
	finding.Sort(r.Findings)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

// Band returns the least and the most minutes that the kit's battery holds the
// brakes at the coldest temperature; ok is false where a figure is missing.
func Band(kit rig.Breakaway, coldest *unit.Temperature) (low, high float64, ok bool) {
	m := holdOf(kit, coldest)
	if m == nil {
		return 0, 0, false
	}
	return m.LowMin, m.HighMin, true
}

// holdOf computes the band, nil where the kit has no battery that stays with
// the car or a figure is missing.
func holdOf(k rig.Breakaway, coldest *unit.Temperature) *Minutes {
	if noBattery(k) != "" || missing(k) != nil || coldest == nil {
		return nil
	}
	b := k.Battery
	cold, _ := coldFactor(*coldest)
	age, charge := ageShare(b.AgeYears), chargeNow(b)
	worst := *b.RatedAh * age.low / cold.high
	best := *b.RatedAh * age.high / cold.low
	e := exponent(b.Chemistry)
	at := func(ah, k0 float64) float64 { return peukertMin(ah, *b.RatedH, *k.HoldCurrentA, k0) }
	// Below the rated current a larger exponent lasts longer, so both ends of its
	// range are tried at both ends of the band.
	return &Minutes{
		LowMin:  unit.Round9(charge.low * min(at(worst, e.low), at(worst, e.high))),
		HighMin: unit.Round9(charge.high * max(at(best, e.low), at(best, e.high))),
	}
}

// leastOf computes the smallest battery that would do, nil where a figure is
// missing.
func leastOf(k rig.Breakaway, coldest *unit.Temperature) *AmpereHours {
	if noBattery(k) != "" || k.HoldCurrentA == nil || k.Battery.RatedH == nil || coldest == nil {
		return nil
	}
	cold, _ := coldFactor(*coldest)
	e := exponent(k.Battery.Chemistry)
	a := peukertAh(WantedMin, *k.Battery.RatedH, *k.HoldCurrentA, e.low)
	b := peukertAh(WantedMin, *k.Battery.RatedH, *k.HoldCurrentA, e.high)
	return &AmpereHours{LowAh: unit.Round9(min(a, b) * cold.low), HighAh: unit.Round9(max(a, b) * cold.high)}
}

// chargeNow is the share of a full charge in the battery; full where nobody
// took a usable reading.
func chargeNow(b rig.StoredPower) span {
	if b.RestedV == nil || *b.RestedV > takenOffCharge {
		return span{1, 1}
	}
	return chargeShare(*b.RestedV, b.Chemistry)
}

// missing lists the figures of the kit that the computation needs.
func missing(k rig.Breakaway) []string {
	var fields []string
	for _, f := range []struct {
		is    *float64
		field string
	}{
		{k.Battery.RatedAh, "/breakaway/battery/rated_ah"},
		{k.Battery.RatedH, "/breakaway/battery/rated_h"},
		{k.HoldCurrentA, "/breakaway/hold_current_a"},
	} {
		if f.is == nil {
			fields = append(fields, f.field)
		}
	}
	return fields
}

// noBattery names the sentence that says why the kit's battery gives no hold
// time, empty where it has one.
func noBattery(k rig.Breakaway) string {
	switch {
	case rig.Is(k.Fitted, false):
		return "breakaway.hold_no_kit"
	case k.PoweredFrom == rig.FromMotorhome:
		return "breakaway.hold_parts"
	case k.PoweredFrom == rig.NoPowerNeeded:
		return "breakaway.hold_mechanical"
	}
	return ""
}
