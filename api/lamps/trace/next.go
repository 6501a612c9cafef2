package trace

import (
	"math"
	"slices"
	"strings"

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

// action is something that can be looked at or measured next: the lamps of a
// step, or one point while the turn signal is lit, for a meter does not follow
// the flash.
type action struct {
	step  int
	point int // -1 for the lamps
	// gain is by how many nats it lowers the entropy of what is asked, at least;
	// worth is that for the effort.
	gain, worth float64
}

// weighed is how many of the likeliest causes are considered for what to do
// next, and leastGain the gain in nats below which nothing is worth doing.
const (
	weighed   = 32
	leastGain = 0.03
)

// settledShare is the share from which the likeliest group is taken for the true
// one, so that its own causes are told apart next.
const settledShare = 0.9

// next returns the action that tells most for its effort, false if none tells
// anything: first which group, then which cause of the likeliest group.
func (b *belief) next(groups []group, tools Tools, done func(action) bool) (best action, found bool) {
	if tools == Meter && b.onlyByEye(&groups[0]) {
		if best, found = b.answers(b.confirming(&groups[0]), tools, func(a action) bool { return a.point < 0 || !b.seen(a.step) || done(a) }); found {
			return best, true
		}
	}
	if groups[0].posterior < settledShare {
		if best, found = b.answers(b.between(groups), tools, done); found {
			return best, true
		}
	}
	return b.answers(b.within(&groups[0]), tools, done)
}

// onlyByEye reports whether a group is resistances, and no reading has shown any
// yet: how dim a lamp is says little, the volts lost say it all.
func (b *belief) onlyByEye(g *group) bool {
	for k := range b.items {
		if b.items[k].kind == IsReading {
			return false
		}
	}
	resistances := 0.0
	for _, s := range g.sites {
		if f := b.p.Causes[s.causes[0]].Faults; len(f) == 1 && f[0].Ohm() > 0 {
			resistances += s.posterior
		}
	}
	return resistances > g.posterior/2
}

// confirming asks whether it is the likelier causes of a group at all, against a
// sound harness.
func (b *belief) confirming(g *group) question {
	var q question
	q.add(0, 0, 0.5)
	for _, s := range g.sites {
		if i := s.causes[0]; i != 0 && len(q.causes) < weighed && s.posterior >= g.sites[0].posterior/2 {
			q.add(i, 1, s.posterior/g.posterior/2)
		}
	}
	return q.normal()
}

// seen reports whether there is any evidence of a step.
func (b *belief) seen(step int) bool {
	return slices.ContainsFunc(b.items, func(x item) bool { return x.step == step })
}

// question is causes with their shares, and labels: causes of one label need not
// be told apart.
type question struct {
	causes  []int
	weights []float64
	labels  []int
}

// between asks for the group.
func (b *belief) between(groups []group) question {
	var q question
	label := make(map[int]int, len(b.posterior))
	for i := range groups {
		for _, s := range groups[i].sites {
			for _, c := range s.causes {
				label[c] = i
			}
		}
	}
	for _, i := range b.order() {
		l, grouped := label[i]
		if len(q.causes) == weighed || !grouped {
			break
		}
		q.add(i, l, b.posterior[i])
	}
	return q.normal()
}

// within asks for the site in a group. Each site counts by the root of its share:
// what little is known of one against another is not to keep them together.
func (b *belief) within(g *group) question {
	var q question
	for k, s := range g.sites {
		for _, i := range s.causes {
			if share := b.posterior[i] / s.posterior; share >= likelySize && len(q.causes) < weighed {
				q.add(i, k, share*math.Sqrt(s.posterior/g.posterior))
			}
		}
	}
	return q.normal()
}

func (q *question) add(cause, label int, weight float64) {
	q.causes, q.labels, q.weights = append(q.causes, cause), append(q.labels, label), append(q.weights, weight)
}

// normal makes the weights add up to one.
func (q *question) normal() question {
	sum := 0.0
	for _, w := range q.weights {
		sum += w
	}
	for i := range q.weights {
		q.weights[i] /= sum
	}
	return *q
}

func (b *belief) answers(q question, tools Tools, done func(action) bool) (best action, found bool) {
	try := func(a action, overlap func(i, j int) float64) {
		if done(a) {
			return
		}
		a.gain = q.gain(overlap)
		a.worth = a.gain / b.effort(a)
		if a.gain >= leastGain && a.worth > best.worth+1e-9 {
			best, found = a, true
		}
	}
	for step := range b.p.Steps {
		look := action{step: step, point: -1}
		try(look, func(i, j int) float64 { return b.overlapOfLamps(step, i, j) })
		if tools == NoTools || tools == "" || b.p.Steps[step] == wiring.StepUnplugged {
			continue // unplugged, the car hangs on nothing that a meter could be held against
		}
		for point := range b.p.Points {
			a := action{step: step, point: point}
			if tools == TestLamp && b.p.Points[point].Amps {
				continue
			}
			try(a, func(i, j int) float64 { return b.overlapOfReadings(a, tools, i, j) })
		}
	}
	return best, found
}

// effort is the work of an action against that of looking at one step.
// Judgement: the body is bare metal, a socket is open to probes, a plug must be
// probed from behind, a lamp opened, a single wire freed for the clamp.
func (b *belief) effort(a action) float64 {
	if a.point < 0 {
		return 1
	}
	id := b.p.Points[a.point].ID
	for _, x := range [...]struct {
		begins string
		effort float64
	}{{"body", 1}, {"supply", 1}, {"end", 1.6}, {"socket", 1.6}, {"plug", 2}, {"amps", 2}} {
		if strings.HasPrefix(id, x.begins) {
			return x.effort
		}
	}
	return 1.8
}

// gain is a lower bound of the information that an action gives about the label,
// from how much the outcomes of the labels' causes overlap:
// -sum W_a ln sum W_b BC(a,b) with Bhattacharyya's coefficient BC, which for
// mixtures is at most sum sqrt(w_i w_j) BC(i,j). Source: A. Kolchinsky and
// B. Tracey, Estimating mixture entropy with pairwise distances, Entropy 19
// (2017) 361.
func (q *question) gain(overlap func(i, j int) float64) float64 {
	index := map[int]int{}
	var total []float64
	of := make([]int, len(q.causes))
	for i, l := range q.labels {
		k, known := index[l]
		if !known {
			k = len(total)
			index[l] = k
			total = append(total, 0)
		}
		of[i] = k
		total[k] += q.weights[i]
	}
	n := len(total)
	shared := make([]float64, n*n)
	for i := range q.causes {
		for j := range i {
			if a, b := of[i], of[j]; a != b {
				s := math.Sqrt(q.weights[i]/total[a]*q.weights[j]/total[b]) * overlap(q.causes[i], q.causes[j])
				shared[a*n+b] += s
				shared[b*n+a] += s
			}
		}
	}
	gain := 0.0
	for a := range n {
		mix := total[a]
		for b := range n {
			mix += total[b] * min(1, shared[a*n+b])
		}
		gain -= total[a] * math.Log(min(1, mix))
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
		if b.p.Hidden(step, b.world.won, lamp) || b.asked(step, lamp) {
			continue
		}
		product *= b.overlapOfLamp(step, lamp, i, j)
	}
	return product
}

// asked reports whether somebody has looked at a lamp in a step.
func (b *belief) asked(step, lamp int) bool {
	return b.looked != nil && b.looked[step*len(b.p.Network.Lamps())+lamp]
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

// lights are those of the two halves, as logarithms.
func (b *belief) lights(step, lamp, cause int) [2]float64 {
	return [2]float64{b.p.LogLight(cause, step, b.world.won, wiring.Lit, lamp), b.p.LogLight(cause, step, b.world.won, wiring.Dark, lamp)}
}

// overlapOfReadings is how alike two causes read at a point.
func (b *belief) overlapOfReadings(a action, tools Tools, i, j int) float64 {
	x, s := b.expect(a, i)
	y, t := b.expect(a, j)
	if x == y && s == t {
		return 1
	}
	if tools == TestLamp {
		p, q := phi((x-testLampV)/testLampSpread), phi((y-testLampV)/testLampSpread)
		p, q = misread+(1-2*misread)*p, misread+(1-2*misread)*q
		return math.Sqrt(p*q) + math.Sqrt((1-p)*(1-q))
	}
	v := s*s + t*t
	return (1-misread)*math.Sqrt(2*s*t/v)*math.Exp(-(x-y)*(x-y)/(4*v)) + misread
}

// expect is what a point reads under a cause with the supply that is likely under
// that cause, and how far a meter may be from it.
func (b *belief) expect(a action, cause int) (figure, spread float64) {
	of := &b.supply[cause]
	modelled := math.Abs(b.p.Value(cause, a.step, b.world.won, wiring.Lit, a.point))
	if b.p.Points[a.point].Amps {
		figure = modelled * math.Pow(of.mean, 0.55)
		return figure, math.Hypot(clampA, clampShare*modelled)
	}
	figure = modelled * of.mean
	return figure, math.Hypot(voltSpread(figure, of.mean*b.p.Network.Harness.SupplyV), of.spread*modelled)
}
