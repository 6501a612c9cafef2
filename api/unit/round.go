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
	var buf [32]byte
	r, err := strconv.ParseFloat(string(strconv.AppendFloat(buf[:0], v, 'g', 9, 64)), 64)
	if err != nil {
		return v
	}
	return r
}

// Micro rounds a figure to a millionth of its unit, and that as Round9 does: for
// what an iteration finds, where a figure near nothing is left with digits of
// the iteration's own.
func Micro(v float64) float64 { return Round9(math.Round(1e6*v) / 1e6) }
