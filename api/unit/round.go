package unit

import (
	"math"
	"strconv"
)

// Round9 rounds a computed figure to 9 significant decimal digits.
//
// Processors and wasm differ in the last bits of a float64 (fused
// multiply-add, library functions), so every float that is emitted or compared
// with a limit passes through here first. It is the one place that rounds.
// NaN and infinities come back unchanged; callers must not emit them.
func Round9(v float64) float64 {
	if v == 0 {
		return 0 // also turns -0 into 0, which would otherwise print differently
	}
	if r, ok := roundShort(v); ok {
		return r
	}
	return roundText(v)
}

// roundText rounds through the figure as text, which is right for all figures.
func roundText(v float64) float64 {
	var buf [32]byte
	r, err := strconv.ParseFloat(string(strconv.AppendFloat(buf[:0], v, 'g', 9, 64)), 64)
	if err != nil {
		return v
	}
	return r
}

// tens are the powers of ten that a float64 holds exactly.
var tens = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// roundShort rounds figures of 1e-13 to 1e9 as roundText does, at a fraction of its
// cost. It scales them to 9 digits before the point, where the product is off by
// 1e-7 at most, and leaves what lies so near half way to roundText. A whole number
// over a power of ten, both exact, is the float64 nearest to that decimal number
// (W. Clinger, "How to Read Floating Point Numbers Accurately", 1990).
func roundShort(v float64) (r float64, ok bool) {
	size := math.Abs(v)
	if !(size >= 1e-13 && size < 1e9) {
		return 0, false
	}
	_, binary := math.Frexp(size)
	power := min(max(9-(binary*1233)>>12, 0), len(tens)-1) // 1233/4096 is log10(2), near enough
	for power > 0 && size*tens[power] >= 1e9 {
		power--
	}
	for power < len(tens)-1 && size*tens[power] < 1e8 {
		power++
	}
	scaled := size * tens[power]
	whole := math.Floor(scaled)
	part := scaled - whole
	if math.Abs(part-0.5) < 1e-6 {
		return 0, false
	}
	if part > 0.5 {
		whole++
	}
	return math.Copysign(whole/tens[power], v), true
}

// Micro rounds a figure to a millionth of its unit, and that as Round9 does: for
// what an iteration finds, where a figure near nothing is left with digits of
// the iteration's own.
func Micro(v float64) float64 { return Round9(math.Round(1e6*v) / 1e6) }
