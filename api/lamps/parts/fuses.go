package parts

// fuseLoad is the share of its rating that a blade fuse carries all day without
// ageing. Common practice, from memory.
const fuseLoad = 0.75

// LeastFuse is the smallest rating in amperes for a steady load: load over 0.75.
func LeastFuse(load float64) float64 { return load / fuseLoad }

// BladeFuse is the smallest blade fuse of at least that rating, false beyond
// the largest.
func BladeFuse(atLeast float64) (float64, bool) {
	for _, rating := range wireTable().Fuses.Blades {
		if rating >= atLeast {
			return rating, true
		}
	}
	return 0, false
}

// Opens is how long a blade fuse takes to open at a current of that many times
// its rating, in seconds, least and most, by the gate at or below it. Below the
// first gate it may hold for hours, and ok is false.
func Opens(times float64) (least, most float64, ok bool) {
	for _, g := range wireTable().Fuses.Gates {
		if times >= g.Times {
			least, most, ok = g.Least, g.Most, true
		}
	}
	return least, most, ok
}

// FuseOrigin is where the ratings and gates come from.
func FuseOrigin() Origin {
	t := wireTable()
	return t.Fuses.of(t.Sources)
}

type fuseRow struct {
	origin `json:",inline"`
	Blades []float64 `json:"blades"`
	Gates  []struct {
		Times float64 `json:"times"`
		Least float64 `json:"least_s"`
		Most  float64 `json:"most_s"`
	} `json:"gates"`
}
