package parts

import (
	"math"
	"sync"
)

// The gauges a harness may be made of, thickest and thinnest, in AWG.
const (
	ThickestAWG = 4
	ThinnestAWG = 22
)

// Conductor is how a wire is made.
type Conductor string

// The ways of making a wire.
const (
	Solid    Conductor = "solid"
	Stranded Conductor = "stranded" // bare strands of the full AWG area
	Tinned   Conductor = "tinned"   // tinned strands of the full AWG area
	SAE      Conductor = "sae"      // strands of SAE size, with less copper than the AWG of the same number
)

// Factor is the resistance over that of a solid wire of the AWG area.
//
// Stranded: NEC chapter 9 table 8 prints 3.14 for 3.07. Tinned: FAA AC
// 43.13-1B table 11-9, whose ohms times its own areas lie 12 to 18 % above
// 10.371. SAE: 10 to 30 % above AWG, from memory; the middle.
func (c Conductor) Factor() float64 {
	switch c {
	case Stranded:
		return 1.02
	case Tinned:
		return 1.145
	case SAE:
		return 1.2
	}
	return 1
}

// DiameterIn is the diameter of a solid wire in inches, by ASTM B258.
func DiameterIn(awg int) float64 { return 0.005 * math.Pow(92, float64(36-awg)/39) }

// AreaCmil is the area in circular mils.
func AreaCmil(awg int) float64 {
	mils := 1000 * DiameterIn(awg)
	return mils * mils
}

// AreaMM2 is the area in square millimetres: pi/4 of 0.0254² for a circular mil.
func AreaMM2(awg int) float64 { return AreaCmil(awg) * math.Pi / 4 * 0.0254 * 0.0254 }

// Annealed copper of 100 % IACS at 20 °C, in ohms of a foot of one circular
// mil, and its change a degree.
const (
	copper            = 10.371
	copperTemperature = 0.00393
)

// OhmPerFoot is the resistance of a foot of wire at a copper temperature in °C.
func OhmPerFoot(awg int, c Conductor, celsius float64) float64 {
	return copper / AreaCmil(awg) * (1 + copperTemperature*(celsius-20)) * c.Factor()
}

// Ampacity is the most a single wire may carry in amperes, by the temperature
// its insulation stands in °C: that of the highest class of 33 CFR 183.425 that
// the insulation reaches, outside or inside engine spaces. Gauges and insulations
// beyond the table are not found.
func Ampacity(awg, insulation int, engineSpace bool) (float64, bool) {
	t := wireTable()
	class := -1
	for i, degrees := range t.Insulation {
		if insulation >= degrees {
			class = i
		}
	}
	for _, r := range t.Ampacity.Rows {
		if r.AWG == awg && class >= 0 {
			amps := r.Amps[class]
			if engineSpace {
				amps *= t.EngineSpace.Factors[class]
			}
			return amps, true
		}
	}
	return 0, false
}

// AmpacityOrigin is where Ampacity comes from.
func AmpacityOrigin() Origin {
	t := wireTable()
	return t.Ampacity.of(t.Sources)
}

// BundleFactor is what is left of the ampacity when that many current-carrying
// conductors share a sheath or loom.
func BundleFactor(conductors int) float64 {
	factor := 1.0
	for _, r := range wireTable().Bundle.Rows {
		if conductors >= r.From {
			factor = r.Factor
		}
	}
	return factor
}

// BundleOrigin is where BundleFactor comes from.
func BundleOrigin() Origin {
	t := wireTable()
	return t.Bundle.of(t.Sources)
}

type wireFile struct {
	Sources     []string    `json:"sources"`
	Insulation  []int       `json:"insulation"`
	Ampacity    ampacityRow `json:"ampacity"`
	EngineSpace engineRow   `json:"engine_space"`
	Bundle      bundleRow   `json:"bundle"`
	Fuses       fuseRow     `json:"fuses"`
}

type ampacityRow struct {
	origin `json:",inline"`
	Rows   []struct {
		AWG  int       `json:"awg"`
		Amps []float64 `json:"amps"`
	} `json:"rows"`
}

type engineRow struct {
	origin  `json:",inline"`
	Factors []float64 `json:"factors"`
}

type bundleRow struct {
	origin `json:",inline"`
	Rows   []struct {
		From   int     `json:"from"`
		Factor float64 `json:"factor"`
	} `json:"rows"`
}

var wireTable = sync.OnceValue(func() *wireFile {
	f := &wireFile{}
	read("wire", f)
	return f
})
