package trace

import (
	"math"
	"slices"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
)

// item is one piece of evidence bound to the pictures: the chance of it under
// each cause in each world.
type item struct {
	kind  Kind
	index int // among the entries of its kind
	step  int
	// lamp is whose picture it is, -1 where it is none.
	lamp   int
	chance func(cause int, w *world, e eye) float64
	// best is the greatest chance any light or voltage could give it.
	best float64
}

// belief is what the evidence says of every cause.
type belief struct {
	p      *pictures.Pictures
	worlds []world
	items  []item
	// logs holds the logarithm of the chance of each item under each cause in the
	// likeliest world of the whole.
	logs [][]float64
	// evidence is the logarithm of the chance of all of it, by cause, over worlds.
	evidence []float64
	// posterior adds up to one.
	posterior []float64
	// world is the likeliest one of all. Under each cause by itself: the likeliest
	// supply over the model's, and its deviation as a share.
	world  *world
	supply []supply
	// shared is room for each: the chance of its item by cause, 0 while not known.
	shared []float64
	// looked are the lamps that somebody has looked at, by step and lamp.
	looked []bool
}

type supply struct {
	world        *world // the likeliest under the cause
	mean, spread float64
}

// believe weighs every cause by the evidence. weight multiplies the priors, nil
// for none.
func believe(p *pictures.Pictures, items []item, weight func(cause int) float64) *belief {
	b := &belief{p: p, worlds: coarseWorlds(p), items: items, shared: make([]float64, len(p.Causes))}
	kept := b.coarse()
	sums := b.ofPictures(kept) // by cause and world
	if slices.ContainsFunc(items, func(x item) bool { return x.kind == IsReading }) {
		b.worlds = fineWorlds(p)
		sums = refined(sums, b.worlds)
	}
	b.addOthers(sums, kept)
	logPosterior := make([]float64, len(p.Causes))
	b.evidence = make([]float64, len(p.Causes))
	top := math.Inf(-1)
	for i := range sums {
		for w := range b.worlds {
			sums[i][w] += b.worlds[w].log
		}
		b.evidence[i] = logSum(sums[i])
		prior := p.Causes[i].Prior
		if weight != nil {
			prior *= weight(i)
		}
		logPosterior[i] = b.evidence[i] + math.Log(prior)
		top = max(top, logPosterior[i])
	}
	b.posterior = make([]float64, len(p.Causes))
	total := 0.0
	for i := range logPosterior {
		b.posterior[i] = math.Exp(logPosterior[i] - top)
		total += b.posterior[i]
	}
	for i := range b.posterior {
		b.posterior[i] /= total
	}
	b.settle(sums)
	b.detail()
	return b
}

// within is how many nats a cause may lie behind the best at first sight and
// still be weighed closely.
const within = 30

// coarse reports which causes are worth a closer look, with every bulb taken
// for a likely one.
func (b *belief) coarse() []bool {
	best := make([]float64, len(b.p.Causes))
	for i := range best {
		best[i] = math.Inf(-1)
	}
	chances := make([]product, len(best))
	for w := range b.worlds {
		clear(chances)
		for k := range b.items {
			b.each(nil, w, &b.items[k], b.worlds[w].whole(), func(i int, chance float64) { chances[i].times(chance) })
		}
		for i := range best {
			best[i] = max(best[i], chances[i].log())
		}
	}
	top := slices.Max(best)
	kept := make([]bool, len(best))
	for i := range kept {
		kept[i] = best[i] > top-within
	}
	return kept
}

// product is a product of chances, however small.
type product struct{ logs, factor float64 }

func (p *product) times(chance float64) {
	if p.factor == 0 {
		p.factor = 1
	}
	p.factor *= chance
	if p.factor < 1e-200 {
		p.logs += math.Log(p.factor)
		p.factor = 1
	}
}

// log is the logarithm of the product.
func (p *product) log() float64 {
	if p.factor == 0 {
		return 0
	}
	return p.logs + math.Log(p.factor)
}

// each hands out an item's chance under every cause that is kept. Causes that its
// step shows through the same rows share one; a reading counts sizes between those
// of a cause as well, so that only what shows nothing shares it.
func (b *belief) each(kept []bool, w int, x *item, e eye, do func(cause int, chance float64)) {
	clear(b.shared)
	for i := range b.p.Causes {
		if kept != nil && !kept[i] {
			continue
		}
		alike := b.p.Alike(x.step, i)
		if x.kind == IsReading && alike != 0 {
			alike = i
		}
		if b.shared[alike] == 0 {
			b.shared[alike] = x.chance(alike, &b.worlds[w], e)
		}
		do(i, b.shared[alike])
	}
}

// ofPictures adds up the pictures in every world. The bulb of a lamp is the same
// in all its pictures, so that they are taken together, over the bulbs it may
// have.
func (b *belief) ofPictures(kept []bool) [][]float64 {
	sums := make([][]float64, len(b.p.Causes))
	for i := range sums {
		sums[i] = make([]float64, len(b.worlds))
		for w := range sums[i] {
			if !kept[i] {
				sums[i][w] = -1e6
			}
		}
	}
	byBulb := make([][len(bulbs)]product, len(sums))
	for w := range b.worlds {
		for lamp := range b.p.Network.Lamps() {
			pictures := false
			clear(byBulb)
			for k := range b.items {
				if b.items[k].lamp != lamp {
					continue
				}
				pictures = true
				for bulb := range bulbs {
					b.each(kept, w, &b.items[k], b.worlds[w].keen(bulb), func(i int, chance float64) { byBulb[i][bulb].times(chance) })
				}
			}
			for i := range sums {
				if pictures && kept[i] {
					var logs [len(bulbs)]float64
					for bulb := range bulbs {
						logs[bulb] = byBulb[i][bulb].log()
					}
					sums[i][w] += logSum(logs[:]) - math.Log(float64(len(bulbs)))
				}
			}
		}
	}
	return sums
}

// refined takes sums of the coarse worlds to finer ones, by straight lines.
func refined(coarse [][]float64, worlds []world) [][]float64 {
	fine := make([][]float64, len(coarse))
	for i := range fine {
		fine[i] = make([]float64, len(worlds))
		for k := range worlds {
			w := &worlds[k]
			fine[i][k] = coarse[i][w.below]
			if w.part > 0 {
				fine[i][k] += w.part * (coarse[i][w.below+1] - coarse[i][w.below])
			}
		}
	}
	return fine
}

// addOthers adds what is no picture of a lamp.
func (b *belief) addOthers(sums [][]float64, kept []bool) {
	for w := range b.worlds {
		for k := range b.items {
			if b.items[k].lamp < 0 {
				b.each(kept, w, &b.items[k], eye{}, func(i int, chance float64) { sums[i][w] += math.Log(chance) })
			}
		}
	}
}

// settle keeps the likeliest world of all, and under each cause what its supply
// is. The sums are logarithms, with the worlds' own shares in them.
func (b *belief) settle(sums [][]float64) {
	mass := make([]float64, len(b.worlds))
	b.supply = make([]supply, len(sums))
	for i := range sums {
		best, mean, square := 0, 0.0, 0.0
		for w := range mass {
			share := math.Exp(sums[i][w] - b.evidence[i])
			mass[w] += b.posterior[i] * share
			mean += share * b.worlds[w].supply
			square += share * b.worlds[w].supply * b.worlds[w].supply
			if sums[i][w] > sums[i][best] {
				best = w
			}
		}
		b.supply[i] = supply{world: &b.worlds[best], mean: mean, spread: math.Sqrt(max(0, square-mean*mean))}
	}
	b.world = &b.worlds[at(mass, slices.Max(mass))]
}

func (b *belief) detail() {
	b.logs = make([][]float64, len(b.p.Causes))
	for i := range b.logs {
		b.logs[i] = make([]float64, len(b.items))
		w := b.supply[i].world
		for k := range b.items {
			b.logs[i][k] = math.Log(b.items[k].chance(i, w, w.whole()))
		}
	}
}

func logSum(logs []float64) float64 {
	top := slices.Max(logs)
	sum := 0.0
	for _, l := range logs {
		sum += math.Exp(l - top)
	}
	return top + math.Log(sum)
}

// misfits lists the items that hardly agree with a cause.
func (b *belief) misfits(cause int) []int {
	const hardly = 0.1
	var bad []int
	for k := range b.items {
		if b.logs[cause][k] < math.Log(hardly*b.items[k].best) {
			bad = append(bad, k)
		}
	}
	return bad
}

// bind makes items of evidence. The evidence has been checked against the
// harness.
func bind(p *pictures.Pictures, e *Evidence) []item {
	var items []item
	add := func(kind Kind, index int, x item) {
		x.kind, x.index = kind, index
		items = append(items, x)
	}
	for i := range e.Pictures {
		if x := &e.Pictures[i]; x.says() {
			add(IsPicture, i, ofPicture(p, x))
		}
	}
	for i := range e.Comparisons {
		add(IsComparison, i, ofComparison(p, &e.Comparisons[i]))
	}
	for i := range e.Readings {
		add(IsReading, i, ofReading(p, &e.Readings[i]))
	}
	return items
}

// says reports whether a picture says anything.
func (x *Picture) says() bool {
	return x.Trust != CantTell && (x.Glow != "" || x.Pattern != "" || x.Phase != "")
}

func ofPicture(p *pictures.Pictures, x *Picture) item {
	step, lamp := p.Step(x.Step), p.Lamp(x.Lamp)
	return item{step: step, lamp: lamp, best: bestOf(x), chance: func(cause int, w *world, e eye) float64 {
		return picture(x, p.LogLight(cause, step, w.won, wiring.Lit, lamp), p.LogLight(cause, step, w.won, wiring.Dark, lamp), e)
	}}
}

// bestOf is the chance of a picture where it is the plain truth.
func bestOf(x *Picture) float64 {
	best := 1.0
	if x.Glow != "" {
		best *= 1 - wrong
	}
	if x.Glow != wiring.IsDark && x.Pattern != "" {
		i := at(patternsInOrder[:], x.Pattern)
		best *= mistaken[i][i]
	}
	return best
}

func ofComparison(p *pictures.Pictures, x *Comparison) item {
	step, left, right := p.Step(x.Step), p.Lamp(x.Lamp+"_left"), p.Lamp(x.Lamp+"_right")
	return item{step: step, lamp: -1, best: 1 - wrong, chance: func(cause int, w *world, _ eye) float64 {
		return comparison(x.Brighter, p.Brightest(cause, step, w.won, left), p.Brightest(cause, step, w.won, right))
	}}
}

func ofReading(p *pictures.Pictures, r *Reading) item {
	step, point := p.Step(r.Step), p.Point(r.Point)
	half := r.Half
	if half == "" {
		half = wiring.Lit
	}
	sizes := neighbours(p)
	best := 1.0
	switch {
	case r.V != nil:
		best = normal(0, voltSpread(math.Abs(*r.V), p.Network.Harness.SupplyV))
	case r.A != nil:
		best = normal(0, math.Hypot(clampA, clampShare*math.Abs(*r.A)))
	}
	return item{step: step, lamp: -1, best: best, chance: func(cause int, w *world, _ eye) float64 {
		value := func(i int) float64 { return math.Abs(p.Value(i, step, w.won, half, point)) }
		if r.Lit != nil {
			return reading(r, value(cause), w)
		}
		return reading(r, between(r.figure()/w.supply, value, cause, sizes[cause]), w)
	}}
}
