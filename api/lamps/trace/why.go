package trace

import (
	"math"

	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/sorting"
	"pintail/api/unit"
)

// speaks is by how many nats a piece of evidence must favour a group, or the
// others, to be named; mostWhys how many are named.
const (
	speaks   = 0.7
	mostWhys = 6
)

// forAndAgainst names the evidence that is likelier under a group than under
// the others, the strongest first, and that which is less likely.
func (t *tracer) forAndAgainst(groups []group, at int) (speaksFor, against []Why) {
	cause := groups[at].sites[0].causes[0]
	type weight struct {
		item int
		nats float64
	}
	var weights []weight
	for k := range t.items {
		weights = append(weights, weight{k, t.belief.logs[cause][k] - t.others(groups, at, k)})
	}
	sorting.By(weights, func(x, y weight) int {
		switch {
		case math.Abs(x.nats) > math.Abs(y.nats):
			return -1
		case math.Abs(x.nats) < math.Abs(y.nats):
			return 1
		}
		return x.item - y.item
	})
	for _, w := range weights {
		switch {
		case w.nats >= speaks && len(speaksFor) < mostWhys:
			speaksFor = append(speaksFor, t.why(w.item, cause))
		case w.nats <= -speaks && len(against) < mostWhys:
			against = append(against, t.why(w.item, cause))
		}
	}
	return speaksFor, against
}

// others is the logarithm of the chance of an item under the other groups
// together; under the sound harness where there is no other group.
func (t *tracer) others(groups []group, at, item int) float64 {
	chance, sum := 0.0, 0.0
	for i := range groups {
		if i == at {
			continue
		}
		for _, s := range groups[i].sites {
			weight := t.prior(s.causes[0])
			chance += weight * math.Exp(t.belief.logs[s.causes[0]][item])
			sum += weight
		}
	}
	if sum == 0 {
		return t.belief.logs[0][item]
	}
	return math.Log(chance / sum)
}

// prior weighs the causes that evidence is held against: what it has ruled out
// already counts as well.
func (t *tracer) prior(cause int) float64 { return t.p.Causes[cause].Prior }

func (t *tracer) whys(items []int, cause int) []Why {
	var all []Why
	for _, k := range items {
		all = append(all, t.why(k, cause))
	}
	return all
}

// why says what an item shows and what a cause would give.
func (t *tracer) why(item, cause int) Why {
	x := &t.items[item]
	w := Why{Kind: x.kind, Index: x.index}
	switch x.kind {
	case IsPicture:
		w.Says = t.whyPicture(x, cause)
	case IsComparison:
		w.Says = t.whyComparison(x, cause)
	case IsReading:
		w.Says = t.whyReading(x, cause)
	}
	return w
}

func (t *tracer) whyPicture(x *item, cause int) finding.Text {
	seen := &t.in.Pictures[x.index]
	return finding.Say("trace.why_picture", finding.Params{
		"step": stepWord(seen.Step), "lamp": lampWord(seen.Lamp), "seen": finding.Word(seen.look().Word()),
		"this": finding.Word(t.look(cause, x.step, x.lamp).Word()), "sound": finding.Word(t.look(0, x.step, x.lamp).Word()),
	})
}

// look is how a lamp looks under a cause in the world likeliest under it.
func (t *tracer) look(cause, step, lamp int) pictures.Look {
	brighter := math.Exp(t.belief.supply[cause].world.dim)
	won := t.belief.world.won
	return pictures.LookOf(brighter*t.p.Light(cause, step, won, wiring.Lit, lamp), brighter*t.p.Light(cause, step, won, wiring.Dark, lamp))
}

func (t *tracer) whyComparison(x *item, cause int) finding.Text {
	seen := &t.in.Comparisons[x.index]
	left, right := t.p.Lamp(seen.Lamp+"_left"), t.p.Lamp(seen.Lamp+"_right")
	won := t.belief.world.won
	return finding.Say("trace.why_comparison", finding.Params{
		"step": stepWord(seen.Step), "pair": finding.Word("trace.pair." + seen.Lamp), "seen": finding.Word("trace.brighter." + string(seen.Brighter)),
		"left": share(t.p.Brightest(cause, x.step, won, left)), "right": share(t.p.Brightest(cause, x.step, won, right)),
	})
}

func share(light float64) finding.Param { return finding.Num(math.Round(100*light), "pct") }

func (t *tracer) whyReading(x *item, cause int) finding.Text {
	r := &t.in.Readings[x.index]
	point := t.p.Point(r.Point)
	expect := math.Abs(t.p.Value(cause, x.step, t.belief.world.won, r.half(), point)) * t.belief.supply[cause].world.supply
	params := finding.Params{"step": stepWord(r.Step), "point": pointWord(r.Point)}
	id := "trace.why_reading"
	switch {
	case r.Lit != nil:
		id, params["seen"], params["this"] = "trace.why_test_lamp", litWord(*r.Lit), tenth(expect, "V")
	case r.A != nil:
		params["seen"], params["this"] = finding.Num(math.Abs(*r.A), "A"), tenth(expect, "A")
	default:
		params["seen"], params["this"] = finding.Num(math.Abs(*r.V), "V"), tenth(expect, "V")
	}
	return finding.Say(id, params)
}

// tenth is a figure as a meter is read.
func tenth(v float64, unitName string) finding.Param {
	return finding.Num(math.Round(10*v)/10, unitName)
}

func litWord(lit bool) finding.Param {
	if lit {
		return finding.Word("trace.test_lamp.lit")
	}
	return finding.Word("trace.test_lamp.dark")
}

func stepWord(s wiring.Step) finding.Param { return finding.Word("light.step." + string(s)) }

func lampWord(id string) finding.Param { return finding.Word("wiring.lamp." + id) }

func pointWord(id string) finding.Param { return finding.Word("trace.point." + id) }

func rounded(v float64) *float64 {
	v = unit.Round9(math.Round(100*v) / 100)
	return &v
}
