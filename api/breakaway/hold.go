package breakaway

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/supply"
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
	// Curve is the hold over the temperature of the battery, empty where a figure
	// is missing.
	Curve []HoldPoint `json:"curve"`
	// Voltage is what the wire and the actuator ask, absent where they are not
	// known.
	Voltage *HoldVoltage `json:"voltage,omitzero"`
	// Recharge is what a test of the whole hold takes out, absent without the
	// current.
	Recharge *Recharge `json:"recharge,omitzero"`
	// Kept says what keeps the battery charged.
	Kept finding.Text `json:"kept"`
}

// HoldPoint is the hold at one temperature.
type HoldPoint struct {
	Celsius float64 `json:"celsius"`
	LowMin  float64 `json:"low_min"`
	HighMin float64 `json:"high_min"`
	// Stretched is true beyond the published table of temperatures.
	Stretched bool `json:"stretched"`
}

// Hold computes how long the kit's battery keeps the brakes on, as a band, and
// holds it against 15 minutes: OK only if the whole band passes, NoGo if the
// whole band fails, FindOut otherwise.
//
// Age, rested voltage, wire and cut-off narrow nothing: they only take away.
// Without them the battery is reckoned new and full and down to the voltage of its
// rating, and a finding says so.
func Hold(in HoldInput) HoldReport {
	r := HoldReport{Curve: curve(*in.Kit), Voltage: voltage(*in.Kit), Recharge: recharge(*in.Kit), Kept: kept(*in.Kit)}
	r.Hold, r.Least = holdOf(*in.Kit, in.Coldest), leastOf(*in.Kit, in.Coldest)
	r.Findings = holdFindings(in, r.Hold, r.Least)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

// HoldFindings are the findings of Hold, without the curve and the figures that
// stand beside them.
func HoldFindings(in HoldInput) []finding.Finding {
	return holdFindings(in, holdOf(*in.Kit, in.Coldest), leastOf(*in.Kit, in.Coldest))
}

func holdFindings(in HoldInput, band *Minutes, least *AmpereHours) []finding.Finding {
	fs := []finding.Finding{holdFinding(in, band, least)}
	if band != nil {
		fs = append(fs, doubts(*in.Kit)...)
	}
	finding.Sort(fs)
	return fs
}

// Band returns the least and the most minutes that the kit's battery holds the
// brakes at the coldest temperature; ok is false where a figure is missing or the
// pump may not get the voltage that it wants.
func Band(kit rig.Breakaway, coldest *unit.Temperature) (low, high float64, ok bool) {
	m := holdOf(kit, coldest)
	if m == nil || pumping(kit) != nil {
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
	m := newDrain(k).at(*coldest)
	return &m
}

// leastOf computes the smallest battery that would do, nil where a figure is
// missing or no battery would: then the wire loses too much.
func leastOf(k rig.Breakaway, coldest *unit.Temperature) *AmpereHours {
	_, hours, ok := supply.Rating(k.Battery)
	if !ok {
		if k.Battery.RatedH == nil {
			return nil
		}
		hours = *k.Battery.RatedH
	}
	if noBattery(k) != "" || k.HoldCurrentA == nil || (k.PumpCurrentA == nil) != (k.PumpS == nil) || coldest == nil {
		return nil
	}
	d := newDrain(k)
	if d.usable.Low < leastUsable {
		return nil
	}
	cold, _ := supply.ColdFactor(*coldest)
	a, b := d.leastAh(hours, d.exponent.Low), d.leastAh(hours, d.exponent.High)
	return &AmpereHours{LowAh: unit.Round9(min(a.Low, b.Low) * cold.Low), HighAh: unit.Round9(max(a.High, b.High) * cold.High)}
}

// missing lists the figures of the kit that the computation needs.
func missing(k rig.Breakaway) []string {
	var fields []string
	if _, _, ok := supply.Rating(k.Battery); !ok {
		if k.Battery.RatedAh == nil {
			fields = append(fields, "/breakaway/battery/rated_ah")
		}
		if k.Battery.RatedH == nil {
			fields = append(fields, "/breakaway/battery/rated_h")
		}
	}
	if k.HoldCurrentA == nil {
		fields = append(fields, "/breakaway/hold_current_a")
	}
	// A pump of which one figure is told is there: it is not left out.
	if k.PumpCurrentA == nil && k.PumpS != nil && *k.PumpS > 0 {
		fields = append(fields, "/breakaway/pump_current_a")
	}
	if k.PumpCurrentA != nil && k.PumpS == nil {
		fields = append(fields, "/breakaway/pump_s")
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
