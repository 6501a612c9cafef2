package trace

import (
	"cmp"
	"math"
	"slices"

	"pintail/api/lamps/wiring"
)

// Tools are what a person has to hand.
type Tools string

// The tools.
const (
	NoTools  Tools = "none"
	TestLamp Tools = "test_lamp"
	Meter    Tools = "meter"
)

// Values lists the tools.
func (Tools) Values() []string { return []string{"none", "test_lamp", "meter"} }

// action is something that can be looked at or measured next: all lamps of a
// step, or one point while the turn signal is lit, for a meter does not follow
// the flash.
type action struct {
	step  int
	point int // -1 for the lamps
	// gain is by how many nats it lowers the entropy of the causes, at least.
	gain float64
}

// weighed is how many of the likeliest causes are considered for what to do
// next, and leastGain the gain in nats below which nothing is worth doing.
const (
	weighed   = 32
	leastGain = 0.03
)

// next returns the action that tells most, false if none tells anything. done
// reports what is known already.
func (b *belief) next(tools Tools, done func(action) bool) (best action, found bool) {
	causes, weights := b.likeliest()
	for step := range b.p.Steps {
		seen := action{step: step, point: -1}
		if !done(seen) {
			seen.gain = b.gain(causes, weights, func(i, j int) float64 { return b.overlapOfLamps(step, i, j) })
			best = better(best, seen)
		}
		if tools == NoTools || tools == "" || b.p.Steps[step] == wiring.StepUnplugged {
			continue // unplugged, the car hangs on nothing that a meter could be held against
		}
		for point := range b.p.Points {
			a := action{step: step, point: point}
			if tools == TestLamp && b.p.Points[point].Amps || done(a) {
				continue
			}
			a.gain = b.gain(causes, weights, func(i, j int) float64 { return b.overlapOfReadings(a, tools, i, j) })
			best = better(best, a)
		}
	}
	return best, best.gain >= leastGain
}

// better prefers what tells more, and of what tells as much what came first.
func better(best, a action) action {
	if a.gain > best.gain+1e-9 {
		return a
	}
	return best
}

// likeliest are the causes that matter and their shares.
func (b *belief) likeliest() (causes []int, weights []float64) {
	for i := range b.posterior {
		causes = append(causes, i)
	}
	slices.SortStableFunc(causes, func(i, j int) int { return cmp.Compare(b.posterior[j], b.posterior[i]) })
	causes = causes[:min(weighed, len(causes))]
	sum := 0.0
	for _, i := range causes {
		sum += b.posterior[i]
	}
	for _, i := range causes {
		weights = append(weights, b.posterior[i]/sum)
	}
	return causes, weights
}

// gain is a lower bound of the information in an action, from how much the
// causes' outcomes overlap: -sum w_i ln sum w_j BC(i,j) with Bhattacharyya's
// coefficient BC. Source: A. Kolchinsky and B. Tracey, Estimating mixture
// entropy with pairwise distances, Entropy 19 (2017) 361.
func (b *belief) gain(causes []int, weights []float64, overlap func(i, j int) float64) float64 {
	n := len(causes)
	mix := make([]float64, n)
	for i := range n {
		mix[i] += weights[i]
		for j := i + 1; j < n; j++ {
			o := overlap(causes[i], causes[j])
			mix[i] += weights[j] * o
			mix[j] += weights[i] * o
		}
	}
	gain := 0.0
	for i := range n {
		gain -= weights[i] * math.Log(mix[i])
	}
	return gain
}

// overlapOfLamps is how alike two causes look in a step: the product of what
// the words for each lamp and its pattern share.
func (b *belief) overlapOfLamps(step, i, j int) float64 {
	if b.p.Same(step, i, j) {
		return 1
	}
	product := 1.0
	for lamp := range b.p.Network.Lamps() {
		if b.p.Hidden(step, b.world.won, lamp) {
			continue
		}
		product *= b.overlapOfLamp(step, lamp, i, j)
	}
	return product
}

func (b *belief) overlapOfLamp(step, lamp, i, j int) float64 {
	one, other := b.lights(step, lamp, i), b.lights(step, lamp, j)
	if one == other {
		return 1
	}
	e := b.world.whole()
	s, t := e.of(max(one[0], one[1])), e.of(max(other[0], other[1]))
	alike := 0.0
	for k := range s {
		alike += math.Sqrt(s.as(k, wrong) * t.as(k, wrong))
	}
	if !b.p.Steps[step].Flashes() {
		return alike
	}
	// A pattern is told only of what is not dark.
	lit := math.Sqrt((1 - s[0]) * (1 - t[0]))
	p, q := e.patterns(max(one[0], one[1]), min(one[0], one[1])), e.patterns(max(other[0], other[1]), min(other[0], other[1]))
	pattern := 0.0
	for said := range p {
		x, y := 0.0, 0.0
		for truth := range p {
			x += mistaken[said][truth] * p[truth]
			y += mistaken[said][truth] * q[truth]
		}
		pattern += math.Sqrt(x * y)
	}
	if (one[0] > one[1]) != (other[0] > other[1]) {
		pattern *= 0.5
	}
	return alike * (1 - lit + lit*pattern)
}

func (b *belief) lights(step, lamp, cause int) [2]float64 {
	return [2]float64{b.p.Light(cause, step, b.world.won, wiring.Lit, lamp), b.p.Light(cause, step, b.world.won, wiring.Dark, lamp)}
}

// overlapOfReadings is how alike two causes read at a point.
func (b *belief) overlapOfReadings(a action, tools Tools, i, j int) float64 {
	x := math.Abs(b.p.Value(i, a.step, b.world.won, wiring.Lit, a.point)) * b.world.supply
	y := math.Abs(b.p.Value(j, a.step, b.world.won, wiring.Lit, a.point)) * b.world.supply
	if x == y {
		return 1
	}
	if tools == TestLamp {
		p, q := phi((x-testLampV)/testLampSpread), phi((y-testLampV)/testLampSpread)
		p, q = misread+(1-2*misread)*p, misread+(1-2*misread)*q
		return math.Sqrt(p*q) + math.Sqrt((1-p)*(1-q))
	}
	s, t := voltSpread(x), voltSpread(y)
	if b.p.Points[a.point].Amps {
		s, t = math.Hypot(clampA, clampShare*x), math.Hypot(clampA, clampShare*y)
	}
	s, t = math.Hypot(s, b.supplySpread*x), math.Hypot(t, b.supplySpread*y)
	v := s*s + t*t
	return (1-misread)*math.Sqrt(2*s*t/v)*math.Exp(-(x-y)*(x-y)/(4*v)) + misread
}
