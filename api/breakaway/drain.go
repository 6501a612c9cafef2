package breakaway

import (
	"math"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/supply"
	"pintail/api/unit"
)

// drain is what empties a kit's battery: the pump first, then the hold.
type drain struct {
	ah, hours float64
	exponent  supply.Span
	// left is the share of the rating that age leaves, charge the share of that
	// which is in the battery, usable the share above the voltage that wire and
	// actuator ask.
	left, charge, usable supply.Span
	holdA, pumpA         float64
	pumpMin              float64
}

func newDrain(k rig.Breakaway) drain {
	d := drain{exponent: supply.ExponentFor(k.Battery), left: supply.AgeShare(k.Battery.AgeYears), charge: supply.ChargeNow(k.Battery), usable: usable(k), holdA: *k.HoldCurrentA}
	d.ah, d.hours, _ = supply.Rating(k.Battery)
	if k.PumpCurrentA != nil && k.PumpS != nil {
		d.pumpA, d.pumpMin = *k.PumpCurrentA, *k.PumpS/60
	}
	return d
}

// at is the band at a temperature of the battery.
func (d drain) at(t unit.Temperature) Minutes {
	cold, _ := supply.ColdFactor(t)
	worst, best := d.ah*d.left.Low/cold.High, d.ah*d.left.High/cold.Low
	few, most := max(0, d.charge.Low+d.usable.Low-1), max(0, d.charge.High+d.usable.High-1)
	// Below the rated current a larger exponent lasts longer, so both ends of its
	// range are tried at both ends of the band.
	return Minutes{
		LowMin:  unit.Round9(min(d.lasts(worst, few, d.exponent.Low), d.lasts(worst, few, d.exponent.High))),
		HighMin: unit.Round9(max(d.lasts(best, most, d.exponent.Low), d.lasts(best, most, d.exponent.High))),
	}
}

// lasts is the minutes that a share of a battery of ah lasts: each phase uses its
// own part of the battery's life at its current.
func (d drain) lasts(ah, share, k float64) float64 {
	hold := supply.PeukertMin(ah, d.hours, d.holdA, k)
	if d.pumpMin == 0 {
		return share * hold
	}
	pump := supply.PeukertMin(ah, d.hours, d.pumpA, k)
	if used := d.pumpMin / pump; used < share {
		return d.pumpMin + (share-used)*hold
	}
	return share * pump
}

// leastAh is the rating at an hour rate of the smallest full battery that lasts
// WantedMin: lasts solved for ah, over the band of what is usable of it.
func (d drain) leastAh(hours, k float64) supply.Span {
	minutes := WantedMin
	if d.pumpMin > 0 {
		minutes += d.pumpMin * (math.Pow(d.pumpA/d.holdA, k) - 1)
	}
	return supply.Span{Low: supply.PeukertAh(minutes/d.usable.High, hours, d.holdA, k), High: supply.PeukertAh(minutes/d.usable.Low, hours, d.holdA, k)}
}

// A battery under a heavy load starts at about loadedV and is rated down to
// ratedV, volts. The first is our judgment.
const loadedV, ratedV = 12.0, 10.5

// leastUsable is the share below which no battery is the answer: the wire is.
const leastUsable = 0.05

// usable is the share of a battery above the voltage that it must keep, 1 where
// that is not above the voltage of its rating. Volts fall straight down at worst,
// and at best stay up and drop at the end, as a root does: our judgment.
func usable(k rig.Breakaway) supply.Span {
	v := voltage(k)
	if v == nil {
		return supply.Span{Low: 1, High: 1}
	}
	lost := func(needs float64) float64 { return min(max((needs-ratedV)/(loadedV-ratedV), 0), 1) }
	low, high := lost(v.NeedsHighV), lost(v.NeedsLowV)
	return supply.Span{Low: 1 - low, High: 1 - high*high}
}

// HoldVoltage is what the kit's battery must keep while it holds.
type HoldVoltage struct {
	// DropLowV and DropHighV are lost in the wire at the holding current.
	DropLowV  float64 `json:"drop_low_v"`
	DropHighV float64 `json:"drop_high_v"`
	// NeedsLowV and NeedsHighV are the voltage the battery must keep.
	NeedsLowV  float64 `json:"needs_low_v"`
	NeedsHighV float64 `json:"needs_high_v"`
}

// wireCelsius is the temperature at which the wire is reckoned, °C.
const wireCelsius = 20

// voltage is nil where neither the actuator's least voltage nor the kit's cut-off
// is known.
func voltage(k rig.Breakaway) *HoldVoltage {
	if k.LeastV == nil && k.CutOffV == nil || k.HoldCurrentA == nil {
		return nil
	}
	ohm, _ := supply.LoopOhm(k.Wire, k.Contacts, wireCelsius)
	v := HoldVoltage{DropLowV: unit.Round9(ohm.Low * *k.HoldCurrentA), DropHighV: unit.Round9(ohm.High * *k.HoldCurrentA)}
	if k.LeastV != nil {
		v.NeedsLowV, v.NeedsHighV = *k.LeastV+v.DropLowV, *k.LeastV+v.DropHighV
	}
	if k.CutOffV != nil {
		v.NeedsLowV, v.NeedsHighV = max(v.NeedsLowV, *k.CutOffV), max(v.NeedsHighV, *k.CutOffV)
	}
	v.NeedsLowV, v.NeedsHighV = unit.Round9(v.NeedsLowV), unit.Round9(v.NeedsHighV)
	return &v
}

// curve runs from -30 to 40 °C in steps of 5.
func curve(k rig.Breakaway) []HoldPoint {
	points := []HoldPoint{}
	if noBattery(k) != "" || missing(k) != nil {
		return points
	}
	d := newDrain(k)
	points = make([]HoldPoint, 0, 15)
	for c := -30.0; c <= 40; c += 5 {
		t := unit.C(c)
		m := d.at(t)
		_, beyond := supply.ColdFactor(t)
		points = append(points, HoldPoint{Celsius: c, LowMin: m.LowMin, HighMin: m.HighMin, Stretched: beyond})
	}
	return points
}

// Recharge is what a test of the wanted hold takes out of the battery.
type Recharge struct {
	UsedAh float64 `json:"used_ah"`
	// LowH and HighH are the hours until it is back in, absent where the charging
	// current is not known.
	LowH  float64 `json:"low_h,omitzero"`
	HighH float64 `json:"high_h,omitzero"`
}

// More must go in than came out, by these factors. Source: usual for lead-acid,
// from memory.
const putBackLeast, putBackMost = 1.1, 1.3

func recharge(k rig.Breakaway) *Recharge {
	if noBattery(k) != "" || k.HoldCurrentA == nil {
		return nil
	}
	used := *k.HoldCurrentA * WantedMin / 60
	if k.PumpCurrentA != nil && k.PumpS != nil {
		used += (*k.PumpCurrentA - *k.HoldCurrentA) * min(*k.PumpS/60, WantedMin) / 60
	}
	r := Recharge{UsedAh: unit.Round9(used)}
	if a := k.Battery.ChargeA; a != nil {
		r.LowH, r.HighH = unit.Round9(used*putBackLeast / *a), unit.Round9(used*putBackMost / *a)
	}
	return &r
}

// kept says what keeps the kit's battery charged.
func kept(k rig.Breakaway) finding.Text {
	switch {
	case k.PoweredFrom == rig.FromCarBattery:
		return finding.Say("breakaway.supply_shared", nil)
	case k.PoweredFrom == rig.NoPowerNeeded:
		return finding.Say("breakaway.supply_none_needed", nil)
	case k.PoweredFrom == rig.FromMotorhome:
		return finding.Say("breakaway.supply_parts", nil)
	}
	return ownBattery(k, false).Says
}
