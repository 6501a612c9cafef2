package trace

import (
	"math"
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
)

// contradictions finds the entries that cannot both be true, and makes the
// pictures among them doubtful in e, whose lists it copies.
func contradictions(e *Evidence) []Contradiction {
	var all []Contradiction
	e.Pictures = slices.Clone(e.Pictures)
	for j := range e.Pictures {
		for i := range j {
			x, y := &e.Pictures[i], &e.Pictures[j]
			if x.Step != y.Step || x.Lamp != y.Lamp || !clash(x, y) {
				continue
			}
			all = append(all, Contradiction{Kind: IsPicture, First: i, Second: j, Says: finding.Say("trace.clash_picture", finding.Params{
				"step": stepWord(x.Step), "lamp": lampWord(x.Lamp), "one": finding.Word(x.look().Word()), "other": finding.Word(y.look().Word()),
			})})
			x.Trust, y.Trust = Doubtful, Doubtful
			break
		}
	}
	for j := range e.Readings {
		for i := range j {
			x, y := &e.Readings[i], &e.Readings[j]
			if x.Step == y.Step && x.Point == y.Point && x.half() == y.half() && differ(x, y) {
				all = append(all, Contradiction{Kind: IsReading, First: i, Second: j, Says: finding.Say("trace.clash_reading", finding.Params{
					"step": stepWord(x.Step), "point": pointWord(x.Point),
				})})
				break
			}
		}
	}
	return all
}

// clash reports whether two pictures of a lamp in a step are further apart than
// two looks at it: two words of light, or steady against flashing.
func clash(x, y *Picture) bool {
	if !x.says() || !y.says() {
		return false
	}
	if x.Glow != "" && y.Glow != "" {
		if d := at(glows[:], x.Glow) - at(glows[:], y.Glow); d < -1 || d > 1 {
			return true
		}
		if x.Glow == wiring.IsDark || y.Glow == wiring.IsDark {
			return false
		}
	}
	return x.Pattern != y.Pattern && x.Pattern != "" && y.Pattern != "" && (x.Pattern == pictures.Steady || y.Pattern == pictures.Steady)
}

// differ reports whether two readings at a point are further apart than a meter
// held to it twice.
func differ(x, y *Reading) bool {
	const leastV, leastA, share = 0.5, 0.3, 0.15
	apart := func(a, b *float64, least float64) bool {
		return a != nil && b != nil && math.Abs(math.Abs(*a)-math.Abs(*b)) > least+share*math.Abs(*a)
	}
	return apart(x.V, y.V, leastV) || apart(x.A, y.A, leastA) || x.Lit != nil && y.Lit != nil && *x.Lit != *y.Lit
}

func (x *Picture) look() pictures.Look {
	l := pictures.Look{Glow: x.Glow, Pattern: x.Pattern, Phase: x.Phase}
	if l.Glow == wiring.IsDark {
		return pictures.Look{Glow: l.Glow}
	}
	if l.Glow == "" {
		l.Glow = "lit"
	}
	return l
}

func (r *Reading) half() wiring.Half {
	if r.Half == "" {
		return wiring.Lit
	}
	return r.Half
}
