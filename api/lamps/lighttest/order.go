package lighttest

import (
	"math"
	"math/bits"
	"slices"
	"strings"

	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/sorting"
)

// What a person notices: light changed by more than a third either way, or any
// change of pattern, or light where there should be none. Judgement: by itself a
// lamp that lost less passes; beside its twin somewhat less is seen.
const noticed = 1.5

// seen are the lamps that people look at from behind, the motorhome's among them;
// park and dash lamps show to the front.
func seen(l *wiring.Lamp) bool { return l.Connected && l.Lens != wiring.CarPark }

// shows reports whether a person sees in a step that a cause is not the sound
// harness. Where hazard and brake are not settled, either outcome passes for
// sound.
func shows(p *pictures.Pictures, cause, step int) bool {
	if p.Same(step, 0, cause) {
		return false
	}
	for won := range p.Tried() {
		for sound := range p.Tried() {
			if !unlike(p, cause, 0, step, won, sound) {
				return false
			}
		}
	}
	return true
}

// unlike reports whether any lamp tells two causes apart in a step.
func unlike(p *pictures.Pictures, one, other, step, won, wonOther int) bool {
	lamps := p.Network.Lamps()
	for i := range lamps {
		if !seen(&lamps[i]) || p.Hidden(step, wonOther, i) {
			continue
		}
		a, b := p.Look(one, step, won, i), p.Look(other, step, wonOther, i)
		if a.Pattern != b.Pattern || a.Phase != b.Phase {
			return true
		}
		if a.Glow != wiring.IsDark && math.Abs(math.Log(p.Brightest(one, step, won, i)/p.Brightest(other, step, wonOther, i))) > math.Log(noticed) {
			return true
		}
	}
	return false
}

// masks are the steps that show each single fault, as bits, by cause.
func masks(p *pictures.Pictures) []uint32 {
	all := make([]uint32, p.Singles)
	for i := 1; i < p.Singles; i++ {
		for step := range p.Steps {
			if shows(p, i, step) {
				all[i] |= 1 << step
			}
		}
	}
	return all
}

// fewest is the least set of steps that shows every fault that any step shows:
// exact, by branch and bound on the fault that fewest steps show.
func fewest(masks []uint32) uint32 {
	need := slices.DeleteFunc(slices.Clone(masks), func(m uint32) bool { return m == 0 })
	sorting.By(need, func(a, b uint32) int {
		if d := bits.OnesCount32(a) - bits.OnesCount32(b); d != 0 {
			return d
		}
		return int(int64(a) - int64(b))
	})
	s := search{need: slices.Compact(need), best: ^uint32(0)}
	s.branch(0)
	return s.best
}

type search struct {
	need []uint32
	best uint32
}

func (s *search) branch(taken uint32) {
	open := slices.IndexFunc(s.need, func(m uint32) bool { return m&taken == 0 })
	if open < 0 {
		if bits.OnesCount32(taken) < bits.OnesCount32(s.best) {
			s.best = taken
		}
		return
	}
	if bits.OnesCount32(taken)+1 >= bits.OnesCount32(s.best) {
		return
	}
	for m := s.need[open]; m != 0; m &= m - 1 {
		s.branch(taken | m&-m)
	}
}

// order puts the least set of steps first, each as the one that shows most of
// what is not shown yet, by how often the trade meets it; the other steps follow
// in their usual order.
func order(p *pictures.Pictures, masks []uint32) (steps []int, needed int) {
	left, shown := fewest(masks), uint32(0)
	needed = bits.OnesCount32(left)
	for left != 0 {
		best, most := -1, -1.0
		for m := left; m != 0; m &= m - 1 {
			step, weight := bits.TrailingZeros32(m), 0.0
			for i := range masks {
				if masks[i]&shown == 0 && masks[i]&(1<<step) != 0 {
					weight += p.Causes[i].Faults[0].Weight
				}
			}
			if weight > most {
				best, most = step, weight
			}
		}
		steps = append(steps, best)
		left &^= 1 << best
		shown |= 1 << best
	}
	for step := range p.Steps {
		if !slices.Contains(steps, step) {
			steps = append(steps, step)
		}
	}
	return steps, needed
}

// signature is how a cause looks in all steps, in words.
func signature(p *pictures.Pictures, cause int) string {
	var b strings.Builder
	lamps := p.Network.Lamps()
	for step := range p.Steps {
		for won := range p.Tried() {
			for i := range lamps {
				if seen(&lamps[i]) && !p.Hidden(step, won, i) {
					b.WriteString(p.Look(cause, step, won, i).Word())
				}
			}
		}
	}
	return b.String()
}
