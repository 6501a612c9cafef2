package trace

import (
	"math"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
)

// neighbours are, by cause, the causes that are the next smaller and the next
// greater resistance in the same site: the sound harness below the least, the
// cause itself where there is none.
func neighbours(p *pictures.Pictures) [][2]int {
	all := make([][2]int, len(p.Causes))
	for i := range all {
		all[i] = [2]int{i, i}
		if len(p.Causes[i].Faults) != 1 || p.Causes[i].Faults[0].Ohm() == 0 {
			continue
		}
		all[i][0] = 0
		// The sizes of a site follow each other in the catalogue.
		if i > 1 && sameSite(p, i, i-1) {
			all[i][0] = i - 1
		}
		if i+1 < p.Singles && sameSite(p, i, i+1) {
			all[i][1] = i + 1
		}
	}
	return all
}

func sameSite(p *pictures.Pictures, i, j int) bool {
	return p.Causes[i].Faults[0].Site() == p.Causes[j].Faults[0].Site()
}

// between is what a reading may be under a cause that is a resistance of about
// that size: what lies half way to its neighbours' readings, as near to the figure
// as that allows.
func between(figure float64, value func(cause int) float64, cause int, neighbour [2]int) float64 {
	own := value(cause)
	low, high := own, own
	for _, n := range neighbour {
		half := (own + value(n)) / 2
		low, high = min(low, half), max(high, half)
	}
	return max(low, min(high, figure))
}

// figure is what was read, without its sign.
func (r *Reading) figure() float64 {
	if r.A != nil {
		return math.Abs(*r.A)
	}
	return math.Abs(*r.V)
}

// The resistances among which a fault's own is sought, in ohms.
const leastOhm, mostOhm = 0.02, 100

// ohm is the resistance of a fault that gives the reading it changes most, 0 where
// no reading tells.
func (t *tracer) ohm(cause int) float64 {
	f := t.p.Causes[cause].Faults[0]
	best, most := -1, 0.5 // volts or amperes: less tells no resistance
	for k := range t.items {
		if t.items[k].kind != IsReading || t.in.Readings[t.items[k].index].Lit != nil {
			continue
		}
		r := &t.in.Readings[t.items[k].index]
		point := t.p.Point(r.Point)
		d := math.Abs(t.value(0, &t.items[k], r, point) - t.value(cause, &t.items[k], r, point))
		if d > most {
			best, most = k, d
		}
	}
	if best < 0 {
		return 0
	}
	return t.solveFor(f, &t.in.Readings[t.items[best].index], t.belief.supply[cause].world.supply)
}

func (t *tracer) value(cause int, x *item, r *Reading, point int) float64 {
	return math.Abs(t.p.Value(cause, x.step, t.belief.world.won, r.half(), point))
}

// solveFor halves the range of resistances, on a scale of ratios, until the
// circuit gives the reading. It returns 0 where none gives it.
func (t *tracer) solveFor(f *wiring.Fault, r *Reading, supply float64) float64 {
	n := wiring.Build(t.p.Network.Harness)
	x := &t.p.Points[t.p.Point(r.Point)]
	figure := r.figure() / supply
	read := func(logOhm float64) float64 {
		n.Set(wiring.State{Step: r.Step, Half: r.half(), HazardAndBrake: t.p.Tried()[t.belief.world.won]}, f.Sized(math.Exp(logOhm)))
		if n.Solve() != nil {
			return math.NaN()
		}
		return math.Abs(x.Read(n))
	}
	low, high := math.Log(leastOhm), math.Log(mostOhm)
	atLow, atHigh := read(low), read(high)
	if !((figure-atLow)*(figure-atHigh) <= 0) {
		return 0
	}
	for range 30 {
		middle := (low + high) / 2
		if at := read(middle); (figure-at)*(figure-atLow) <= 0 {
			high = middle
		} else {
			low = middle
		}
	}
	return math.Exp((low + high) / 2)
}
