package supply

import (
	"math"

	"pintail/api/rig"
)

// Annealed copper of 100 % IACS at 20 °C, ohms of a foot of one circular mil, and
// its change a degree. Source: handbook value, from memory; it gives the published
// tables of AWG wire to four digits.
const copper, copperPerDegree = 10.371, 0.00393

// contactOhm is one mated contact in good order. Source: contact specifications
// limit sizes like these to 20 to 30 milliohm; half of that is usual.
const contactOhm = 0.010

// FootOhm is the resistance of a foot of solid copper wire. Source: ASTM B258, a
// diameter of 0.005 in × 92^((36 - AWG)/39).
func FootOhm(awg int, celsius float64) float64 {
	mils := 5 * math.Pow(92, float64(36-awg)/39)
	return copper / (mils * mils) * (1 + copperPerDegree*(celsius-20))
}

// LoopOhm is the resistance of a wire out and back with its contacts. ok is false
// where gauge or length is not entered. Contacts nobody counted are left out, and
// a wire of which nobody knows how it is made is taken as solid to SAE.
func LoopOhm(w rig.Wire, contacts *int, celsius float64) (ohm Span, ok bool) {
	if !w.Known() {
		return Span{}, false
	}
	made := strands(w.Conductor)
	loop := 2 * w.Length.In("ft") * FootOhm(*w.AWG, celsius)
	n := 0.0
	if contacts != nil {
		n = float64(*contacts)
	}
	return Span{loop*made.Low + n*contactOhm, loop*made.High + n*contactOhm}, true
}

// strands is the resistance over that of a solid wire. Source: NEC chapter 9
// table 8 (3.14 stranded, 3.07 solid); FAA AC 43.13-1B table 11-9, tinned, 12 to
// 18 % by its own areas; SAE sizes 10 to 30 %, from memory.
func strands(c rig.Conductor) Span {
	switch c {
	case rig.Solid:
		return Span{1, 1}
	case rig.Stranded:
		return Span{1.02, 1.02}
	case rig.Tinned:
		return Span{1.12, 1.18}
	case rig.SAEWire:
		return Span{1.1, 1.3}
	}
	return Span{1, 1.3}
}
