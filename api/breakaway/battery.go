package breakaway

import (
	"math"

	"pintail/api/rig"
	"pintail/api/unit"
)

// span is a band of one number: the truth lies between the two.
type span struct{ low, high float64 }

// exponent is the range of Peukert's exponent by kind of battery; for a kind
// nobody recorded, the whole range of all three.
//
// Source: ranges quoted in a battery text; the standards give none.
func exponent(c rig.Chemistry) span {
	switch c {
	case rig.Flooded:
		return span{1.2, 1.3}
	case rig.Gel:
		return span{1.1, 1.2}
	case rig.AGM:
		return span{1.05, 1.15}
	}
	return span{1.05, 1.3}
}

// peukertMin is the minutes to empty at current, amperes, of a battery rated ah
// ampere-hours at its hours-hour rate: t = H (C/(I H))^k. The exponent form that
// starts from a capacity at 1 A gives wrong times from a label's ampere-hours.
func peukertMin(ah, hours, current, k float64) float64 {
	return 60 * hours * math.Pow(ah/(current*hours), k)
}

// peukertAh is the rating that lasts the given minutes: peukertMin solved for
// ah.
func peukertAh(minutes, hours, current, k float64) float64 {
	return current * hours * math.Pow(minutes/(60*hours), 1/k)
}

// The published table behind the polynomial runs over these temperatures, °C.
const tableColdest, tableWarmest = -3.9, 51.7

// sizeFactor is how much larger a battery must be at a temperature than at
// 25 °C. Source: polynomial published for IEEE 485 Table 1, x = °C/100:
// -2.8117 x³ + 4.1916 x² - 2.4941 x + 1.405. It falls over its whole range.
func sizeFactor(c float64) float64 {
	x := c / 100
	return ((-2.8117*x+4.1916)*x-2.4941)*x + 1.405
}

// coldFactor is the band of sizeFactor, and whether it reaches beyond the
// table. Colder than the table, the good end stays at the table's edge: worse
// than there is sure, how much worse is not.
func coldFactor(t unit.Temperature) (f span, beyond bool) {
	c := min(t.In("c"), tableWarmest)
	return span{sizeFactor(max(c, tableColdest)), sizeFactor(c)}, c < tableColdest
}

// Ageing, as our judgment: a battery counts as spent at 80 % of its rating
// (convention, from memory) and small ones are replaced after about five years
// (practice), so the bad end loses 4 % of the rating a year.
const (
	lossPerYear  = 0.04
	serviceYears = 5.0
)

// ageShare is the share of the rating that is left, as a band.
func ageShare(years *float64) span {
	if years == nil {
		return span{1, 1}
	}
	return span{max(0, 1-lossPerYear**years), 1}
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

// takenOffCharge is a voltage above which a battery has not rested.
const takenOffCharge = 13.0

// chargeShare is the share of a full charge that a rested voltage means, as a
// band over all tables and, where the kind calls for it, the sealed battery's
// higher reading.
func chargeShare(volts float64, c rig.Chemistry) span {
	worst, best := volts, volts
	if c != rig.Flooded {
		worst -= sealedMost
	}
	if c == rig.Gel || c == rig.AGM {
		best -= sealedLeast
	}
	s := span{100, 0}
	for i := range voltageTables {
		s.low = min(s.low, chargePct(i, worst))
		s.high = max(s.high, chargePct(i, best))
	}
	return span{s.low / 100, s.high / 100}
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
