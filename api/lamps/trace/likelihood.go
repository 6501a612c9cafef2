package trace

import (
	"math"
	"sync"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
)

// How far a real car is from the model, and a person or a meter from the truth.
// Judgement, but for the spreads of lamps: catalogues allow a tenth either way
// in current and a quarter in light (from memory).
const (
	// spread is the deviation of the logarithm of what a person makes of a lamp's
	// light from that light, at the design light; what is dim is dim by
	// resistances nobody knows well, so that it grows by spreadPerFold for each
	// e-fold of loss. spreadWhole is with what bulbs differ by.
	spread        = 0.12
	spreadWhole   = 0.20
	spreadPerFold = 0.12
	// spreadOfHalves is that of the ratio of one lamp's two halves.
	spreadOfHalves = 0.16
	// spreadOfSides is that of a left lamp against its right one.
	spreadOfSides = 0.28
	alikeWithin   = 0.45

	// wrong is how often a sure answer about a lamp is not what was to be seen,
	// and how often a doubtful one.
	wrong         = 0.08
	wrongDoubtful = 0.35

	// A meter: volts and share of the reading; the model beside it: volts and
	// share of what is lost on the way, or of what is left where that is less; how
	// often a reading is plainly wrong.
	meterV, meterShare = 0.05, 0.01
	modelV, modelShare = 0.12, 0.10
	clampA, clampShare = 0.05, 0.10
	misread            = 0.02
	// mostV and mostA are what a plainly wrong reading may be anywhere up to.
	mostV, mostA = 16.0, 45.0

	// testLampV is where half of the people call a 12 V test lamp lit.
	testLampV, testLampSpread = 7.0, 1.5
)

// supplies are the supply voltages a motorhome may have, engine off or running,
// with how likely each is; the model knows one of them.
var supplies = [...]struct{ volts, share float64 }{{12.2, 0.1}, {12.7, 0.15}, {13.2, 0.2}, {13.6, 0.25}, {14.0, 0.2}, {14.4, 0.1}}

// A meter tells the supply better than these: with readings, finely many from
// the least to the greatest are tried.
const fineStepV = 0.2

// world is one possibility for what the model does not know and what all of the
// evidence shares: supply, and which of hazard and brake wins.
type world struct {
	volts  float64 // of the supply
	supply float64 // that over the model's
	dim    float64 // logarithm of the light a filament loses or gains by that
	won    int
	log    float64 // of its share
	// below is the coarse world at or next below it, part how far it is from there
	// to the one above.
	below int
	part  float64
}

// coarseWorlds lists them.
func coarseWorlds(p *pictures.Pictures) []world {
	var all []world
	for won := range p.Tried() {
		for i, s := range supplies {
			w := worldOf(p, s.volts, won)
			w.log = math.Log(s.share / float64(len(p.Tried())))
			w.below = won*len(supplies) + i
			all = append(all, w)
		}
	}
	return all
}

// fineWorlds lists them more closely, with shares between those of the coarse.
func fineWorlds(p *pictures.Pictures) []world {
	var all []world
	total := 0.0
	for won := range p.Tried() {
		for i := range len(supplies) - 1 {
			from, to := supplies[i], supplies[i+1]
			steps := int(math.Round((to.volts - from.volts) / fineStepV))
			if i == len(supplies)-2 {
				steps++ // the last one itself
			}
			for k := range steps {
				part := float64(k) * fineStepV / (to.volts - from.volts)
				w := worldOf(p, from.volts+part*(to.volts-from.volts), won)
				share := from.share + part*(to.share-from.share)
				total += share
				w.log = math.Log(share)
				w.below, w.part = won*len(supplies)+i, part
				all = append(all, w)
			}
		}
	}
	for i := range all {
		all[i].log -= math.Log(total)
	}
	return all
}

func worldOf(p *pictures.Pictures, volts float64, won int) world {
	ratio := volts / p.Network.Harness.SupplyV
	return world{volts: volts, supply: ratio, dim: 3.4 * math.Log(ratio), won: won}
}

// glows are the words for a light in order, and where each begins as a
// logarithm.
var (
	glows = [...]wiring.Glow{wiring.IsDark, wiring.IsFaint, wiring.IsGlow, wiring.IsDim, wiring.IsFull}
	edges = [...]float64{math.Log(0.0005), math.Log(0.02), math.Log(0.2), math.Log(0.5)}
)

// shares are how likely each word is.
type shares [len(glows)]float64

// The table of shares by light: glowSteps to an e-fold, from least on.
const (
	glowSteps = 40
	leastLog  = -11.0
	mostLog   = 3.0
)

var (
	keenTable  = sync.OnceValue(func() []shares { return table(spread) })
	wholeTable = sync.OnceValue(func() []shares { return table(spreadWhole) })
)

func table(spread float64) []shares {
	table := make([]shares, int((mostLog-leastLog)*glowSteps)+1)
	for i := range table {
		mu := leastLog + float64(i)/glowSteps
		sigma := spread + spreadPerFold*max(0, -mu)
		below := 0.0
		for k, e := range edges {
			p := phi((e - mu) / sigma)
			table[i][k] = p - below
			below = p
		}
		table[i][len(edges)] = 1 - below
	}
	return table
}

// eye is how a lamp's light is seen in one world: brighter by a logarithm, and
// as sharply as its table says.
type eye struct {
	brighter float64
	table    []shares
}

// bulbs are how much brighter one lamp may be than the catalogue's, as a
// logarithm: the same in every step.
var bulbs = [...]float64{-0.36, -0.24, -0.12, 0, 0.12, 0.24, 0.36}

// keen is the eye for a bulb whose own light is known, whole for any bulb.
func (w *world) keen(bulb int) eye { return eye{brighter: w.dim + bulbs[bulb], table: keenTable()} }
func (w *world) whole() eye        { return eye{brighter: w.dim, table: wholeTable()} }

// of is what a lamp of that light, as a logarithm, is called by one who sees
// well.
func (e eye) of(light float64) *shares {
	i := int((light+e.brighter-leastLog)*glowSteps + 0.5)
	return &e.table[max(0, min(len(e.table)-1, i))]
}

// as is what a person says who is wrong that often: the neighbours of the truth
// more often than what is far from it.
func (s *shares) as(said int, wrong float64) float64 {
	sum := s[said] * (1 - wrong)
	for truth, p := range s {
		sum += p * wrong * slips[truth][said]
	}
	return sum
}

// slips is the share of each word among the wrong answers to a truth: near ones
// three times as often as others.
var slips = func() (t [len(glows)][len(glows)]float64) {
	for truth := range t {
		total := 0.0
		for said := range t {
			switch {
			case said == truth:
			case said == truth-1 || said == truth+1:
				t[truth][said] = 3
			default:
				t[truth][said] = 1
			}
			total += t[truth][said]
		}
		for said := range t {
			t[truth][said] /= total
		}
	}
	return t
}()

// patterns are the shares of steady, flashing and pulsing for a lamp of two
// lights, as logarithms.
func (e eye) patterns(bright, dark float64) [3]float64 {
	steady := 1.0
	if bright != dark {
		steady = phi((dark - bright - logSteady) / spreadOfHalves)
	}
	out := e.of(dark)[0]
	return [3]float64{steady, (1 - steady) * out, (1 - steady) * (1 - out)}
}

// logSteady is the ratio of halves from which a lamp looks steady.
var logSteady = math.Log(0.75)

// mistaken is the chance that a person says the row's pattern for the column's:
// flashing and pulsing are mixed up, a flash is seldom missed.
var mistaken = [3][3]float64{
	{0.94, 0.02, 0.12}, // steady said of steady, flashing, pulsing
	{0.02, 0.86, 0.28},
	{0.04, 0.12, 0.60},
}

var patternsInOrder = [...]pictures.Pattern{pictures.Steady, pictures.Flashing, pictures.Pulsing}

func at[T comparable](list []T, v T) int {
	for i := range list {
		if list[i] == v {
			return i
		}
	}
	return -1
}

// picture is the chance of a picture if a lamp has these lights, as logarithms,
// in the two halves.
func picture(x *Picture, lit, dark float64, e eye) float64 {
	mistake := wrong
	switch x.Trust {
	case CantTell:
		return 1
	case Doubtful:
		mistake = wrongDoubtful
	}
	chance := 1.0
	bright, low := max(lit, dark), min(lit, dark)
	if x.Glow != "" {
		chance *= e.of(bright).as(at(glows[:], x.Glow), mistake)
	}
	if x.Glow == wiring.IsDark {
		return chance // what is dark has no pattern
	}
	if x.Pattern != "" {
		said := at(patternsInOrder[:], x.Pattern)
		p := 0.0
		for truth, share := range e.patterns(bright, low) {
			p += share * mistaken[said][truth]
		}
		chance *= p
	}
	if x.Phase != "" && x.Pattern != pictures.Steady {
		p := 0.05
		if (lit >= dark) == (x.Phase == pictures.InStep) {
			p = 0.95
		}
		chance *= p
	}
	return chance
}

// comparison is the chance of an outcome for two lights.
func comparison(b Brighter, left, right float64) float64 {
	const least = 1e-4
	d := math.Log(max(left, least) / max(right, least))
	more := 1 - phi((alikeWithin-d)/spreadOfSides)
	less := phi((-alikeWithin - d) / spreadOfSides)
	p := 1 - more - less
	switch b {
	case LeftBrighter:
		p = more
	case RightBrighter:
		p = less
	}
	return (1-wrong)*p + wrong/3
}

// reading is the chance (a density for a figure) of what a meter shows where
// the model has that many volts or amperes.
func reading(r *Reading, modelled float64, w *world) float64 {
	supply := w.supply
	switch {
	case r.Lit != nil:
		p := phi((math.Abs(modelled)*supply - testLampV) / testLampSpread)
		if !*r.Lit {
			p = 1 - p
		}
		return (1-2*misread)*p + misread
	case r.A != nil:
		sigma := math.Hypot(clampA, clampShare*math.Abs(modelled))
		return (1-misread)*normal(math.Abs(*r.A)-math.Abs(modelled)*math.Pow(supply, 0.55), sigma) + misread/mostA
	case r.V != nil:
		expect := math.Abs(modelled) * supply
		return (1-misread)*normal(math.Abs(*r.V)-expect, voltSpread(expect, w.volts)) + misread/mostV
	}
	return 1
}

// voltSpread is how far a voltmeter may be from what the model expects at a
// supply.
func voltSpread(expect, supply float64) float64 {
	lost := modelShare * min(expect, math.Abs(supply-expect))
	return math.Sqrt(meterV*meterV + modelV*modelV + meterShare*meterShare*expect*expect + lost*lost)
}

func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

func normal(d, sigma float64) float64 {
	z := d / sigma
	return math.Exp(-0.5*z*z) / (sigma * math.Sqrt(2*math.Pi))
}
