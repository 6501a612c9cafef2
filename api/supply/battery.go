// Package supply is what a 12 V lead-acid battery gives, and what the copper
// before it loses. Everything uncertain is a band.
package supply

import (
	"math"

	"pintail/api/rig"
	"pintail/api/unit"
)

// Span is a band of one number: the truth lies between the two.
type Span struct{ Low, High float64 }

// Exponent is the range of Peukert's exponent by kind of battery; for a kind
// nobody recorded, the whole range of all three.
//
// Source: ranges quoted in a battery text; the standards give none.
func Exponent(c rig.Chemistry) Span {
	switch c {
	case rig.Flooded:
		return Span{1.2, 1.3}
	case rig.Gel:
		return Span{1.1, 1.2}
	case rig.AGM:
		return Span{1.05, 1.15}
	}
	return Span{1.05, 1.3}
}

// PeukertMin is the minutes to empty at current, amperes, of a battery rated ah
// ampere-hours at its hours-hour rate: t = H (C/(I H))^k. The exponent form that
// starts from a capacity at 1 A gives wrong times from a label's ampere-hours.
func PeukertMin(ah, hours, current, k float64) float64 {
	return 60 * hours * math.Pow(ah/(current*hours), k)
}

// PeukertAh is the rating that lasts the given minutes: PeukertMin solved for
// ah.
func PeukertAh(minutes, hours, current, k float64) float64 {
	return current * hours * math.Pow(minutes/(60*hours), 1/k)
}

// The published table behind the polynomial runs over these temperatures, °C.
const tableColdest, tableWarmest = -3.9, 51.7

// SizeFactor is how much larger a battery must be at a temperature than at
// 25 °C. Source: polynomial published for IEEE 485 Table 1, x = °C/100:
// -2.8117 x³ + 4.1916 x² - 2.4941 x + 1.405. It falls over its whole range.
func SizeFactor(c float64) float64 {
	x := c / 100
	return ((-2.8117*x+4.1916)*x-2.4941)*x + 1.405
}

// ColdFactor is the band of SizeFactor, and whether it reaches beyond the
// table. Colder than the table, the good end stays at the table's edge: worse
// than there is sure, how much worse is not.
func ColdFactor(t unit.Temperature) (f Span, beyond bool) {
	c := min(t.In("c"), tableWarmest)
	return Span{SizeFactor(max(c, tableColdest)), SizeFactor(c)}, c < tableColdest
}

// Ageing, as our judgment: a battery counts as spent at 80 % of its rating
// (convention, from memory) and small ones are replaced after about five years
// (practice), so the bad end loses 4 % of the rating a year.
const (
	lossPerYear = 0.04
	// ServiceYears is the age beyond which a small battery is due.
	ServiceYears = 5.0
)

// AgeShare is the share of the rating that is left, as a band.
func AgeShare(years *float64) Span {
	if years == nil {
		return Span{1, 1}
	}
	return Span{max(0, 1-lossPerYear**years), 1}
}

// voltage tables: volts of a rested 12 V battery and the charge they mean, in
// per cent. They disagree, which is why a reading gives a band. The last is from
// memory (BCI type); the others were read. The second continues its own slope to
// zero below its last printed row of 12.15 V, 25 %.
var voltageTables = [...][]struct{ volts, pct float64 }{
	{{12.7, 100}, {12.5, 90}, {12.42, 80}, {12.32, 70}, {12.20, 60}, {12.06, 50}, {11.9, 40}, {11.75, 30}, {11.58, 20}, {11.31, 10}, {10.5, 0}},
	{{12.66, 100}, {12.45, 75}, {12.30, 50}, {12.15, 25}, {12.00, 0}},
	{{12.6, 100}, {12.4, 75}, {12.2, 50}, {12.0, 25}, {11.6, 0}},
	{{12.65, 100}, {12.45, 75}, {12.24, 50}, {12.06, 25}, {11.89, 0}},
}

// Sealed batteries read this much higher than flooded ones, volts.
const sealedLeast, sealedMost = 0.1, 0.2

// TakenOffCharge is a voltage above which a battery has not rested.
const TakenOffCharge = 13.0

// ChargeShare is the share of a full charge that a rested voltage means, as a
// band over all tables and, where the kind calls for it, the sealed battery's
// higher reading.
func ChargeShare(volts float64, c rig.Chemistry) Span {
	worst, best := volts, volts
	if c != rig.Flooded {
		worst -= sealedMost
	}
	if c == rig.Gel || c == rig.AGM {
		best -= sealedLeast
	}
	s := Span{100, 0}
	for i := range voltageTables {
		s.Low = min(s.Low, chargePct(i, worst))
		s.High = max(s.High, chargePct(i, best))
	}
	return Span{s.Low / 100, s.High / 100}
}

// chargePct reads one table, straight between its rows.
func chargePct(table int, volts float64) float64 {
	rows := voltageTables[table]
	if volts >= rows[0].volts {
		return rows[0].pct
	}
	for i := 1; i < len(rows); i++ {
		if above, below := rows[i-1], rows[i]; volts >= below.volts {
			return below.pct + (above.pct-below.pct)*(volts-below.volts)/(above.volts-below.volts)
		}
	}
	return 0
}

// ExponentOf is Peukert's exponent from two ratings of one battery, each
// ampere-hours over hours: k = ln(H1/H2)/ln(I2/I1).
func ExponentOf(ah1, h1, ah2, h2 float64) float64 {
	return math.Log(h1/h2) / math.Log((ah2/h2)/(ah1/h1))
}

// ReserveA is the current of a reserve capacity, amperes. Source: SAE J537, to
// 10.5 V at 27 °C.
const ReserveA = 25.0

// Rating is a battery's rated ampere-hours and the hours of that rating: those of
// its label, else its reserve capacity. ok is false where neither is entered.
func Rating(b rig.StoredPower) (ah, hours float64, ok bool) {
	switch {
	case b.RatedAh != nil && b.RatedH != nil:
		return *b.RatedAh, *b.RatedH, true
	case b.ReserveMin != nil:
		return ReserveA * *b.ReserveMin / 60, *b.ReserveMin / 60, true
	}
	return 0, 0, false
}

// ExponentFor is the band of Peukert's exponent for a battery: one figure where
// its two ratings give a possible one, else the range of its kind.
func ExponentFor(b rig.StoredPower) Span {
	if k, ok := exponentRated(b); ok && possible(k) {
		return Span{k, k}
	}
	return Exponent(b.Chemistry)
}

// RatingsDiffer reports whether a battery's two ratings are such as no battery
// has.
func RatingsDiffer(b rig.StoredPower) bool {
	k, ok := exponentRated(b)
	return ok && !possible(k)
}

// exponentRated is the exponent from a battery's two ratings; ok is false where
// there are not two.
func exponentRated(b rig.StoredPower) (k float64, ok bool) {
	if b.RatedAh == nil || b.RatedH == nil || b.ReserveMin == nil {
		return 0, false
	}
	return ExponentOf(*b.RatedAh, *b.RatedH, ReserveA**b.ReserveMin/60, *b.ReserveMin/60), true
}

// possible: one text gives exponents up to 2; beyond 1.6 a label was misread.
// Ratings at one rate give no number at all.
func possible(k float64) bool { return k >= 1 && k <= 1.6 }

// ChargeNow is the share of a full charge in a battery: full where nobody took a
// usable reading.
func ChargeNow(b rig.StoredPower) Span {
	if b.RestedV == nil || *b.RestedV > TakenOffCharge {
		return Span{1, 1}
	}
	return ChargeShare(*b.RestedV, b.Chemistry)
}

// RestedV is the voltage of a rested flooded battery with a share of its charge,
// by the table that runs to empty.
func RestedV(share float64) float64 {
	rows := voltageTables[0]
	at := min(max(share, 0), 1) * 100
	for i := 1; i < len(rows); i++ {
		if above, below := rows[i-1], rows[i]; at >= below.pct {
			return below.volts + (above.volts-below.volts)*(at-below.pct)/(above.pct-below.pct)
		}
	}
	return rows[len(rows)-1].volts
}

// StoredV is the voltage of RestedV summed from empty up to a share: times
// ampere-hours it is the energy stored, watt-hours.
func StoredV(share float64) float64 {
	rows := voltageTables[0]
	at := min(max(share, 0), 1) * 100
	sum := 0.0
	for i := len(rows) - 1; i > 0; i-- {
		below, above := rows[i], rows[i-1]
		top := min(at, above.pct)
		if top <= below.pct {
			break
		}
		sum += (top - below.pct) / 100 * (below.volts + RestedV(top/100)) / 2
	}
	return sum
}
