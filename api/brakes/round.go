package brakes

import "math"

// rounded cuts a computed figure to one part in so many, for quantities that
// take three decimals at most.
func rounded(v, parts float64) float64 { return math.Round(v*parts) / parts }
