package trace

import (
	"math"

	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/unit"
)

// next answers what to do now.
func (t *tracer) next(r *Report, groups []group) {
	b := t.belief
	b.looked = t.looked()
	a, found := b.next(groups, t.in.Tools, t.done)
	if !found {
		r.NextSays = t.nothingMore(groups)
		return
	}
	n := &Next{Step: t.p.Steps[a.step], Bits: unit.Round9(math.Round(1000*a.gain/math.Ln2) / 1000), Expect: []Expected{}}
	params := finding.Params{"step": stepWord(n.Step)}
	id := "trace.next_look"
	if a.point >= 0 {
		n.Point, n.Amps = t.p.Points[a.point].ID, t.p.Points[a.point].Amps
		params["point"] = pointWord(n.Point)
		id = t.measuring(n)
	}
	for i := range r.Groups {
		for j := range groups[i].sites {
			if len(n.Expect) < mostExpected && groups[i].sites[j].posterior >= leastExpected {
				n.Expect = append(n.Expect, t.expected(a, i, j, groups[i].sites[j].causes[0]))
			}
		}
	}
	r.Next, r.NextSays = n, finding.Say(id, params)
}

// What is expected is told for the likelier causes only.
const (
	mostExpected  = 24
	leastExpected = 0.005
)

func (t *tracer) measuring(n *Next) string {
	switch {
	case t.in.Tools == TestLamp:
		return "trace.next_test_lamp"
	case n.Amps:
		return "trace.next_amps"
	}
	return "trace.next_volts"
}

// nothingMore says why nothing is left to do.
func (t *tracer) nothingMore(groups []group) finding.Text {
	switch {
	case len(groups[0].sites) == 1:
		return finding.Say("trace.next_none_needed", nil)
	case t.in.Tools == Meter:
		return finding.Say("trace.next_none", nil)
	}
	return finding.Say("trace.next_tools", nil)
}

// looked are the lamps that were looked at: those that nobody could tell as well,
// for a second look tells no more.
func (t *tracer) looked() []bool {
	lamps := len(t.p.Network.Lamps())
	seen := make([]bool, len(t.p.Steps)*lamps)
	for i := range t.in.Pictures {
		x := &t.in.Pictures[i]
		seen[t.p.Step(x.Step)*lamps+t.p.Lamp(x.Lamp)] = true
	}
	return seen
}

func (t *tracer) done(a action) bool {
	if a.point < 0 {
		return false // the lamps that were looked at tell nothing more
	}
	for i := range t.in.Readings {
		r := &t.in.Readings[i]
		if r.Step == t.p.Steps[a.step] && r.Point == t.p.Points[a.point].ID && r.half() == wiring.Lit {
			return true
		}
	}
	return false
}

// expected is what a cause gives in an action.
func (t *tracer) expected(a action, group, site, cause int) Expected {
	x := Expected{Group: group, Cause: site}
	if a.point < 0 {
		x.Looks = t.looks(a.step, cause)
		return x
	}
	v, spread := t.belief.expect(a, cause)
	if t.in.Tools == TestLamp {
		if p := phi((v - testLampV) / testLampSpread); p > 0.8 || p < 0.2 {
			lit := p > 0.5
			x.Lit = &lit
		}
		return x
	}
	x.Low, x.High = rounded(max(0, v-2*spread)), rounded(v+2*spread)
	return x
}

// looks are the lamps that the remaining causes may show differently: those that
// differ from the sound harness under this one, or that it does not show at all.
func (t *tracer) looks(step, cause int) []LampLook {
	var all []LampLook
	for i, l := range t.p.Network.Lamps() {
		if !l.Connected || t.p.Hidden(step, t.belief.world.won, i) || t.belief.asked(step, i) {
			continue
		}
		if k := t.look(cause, step, i); cause == 0 || k != t.look(0, step, i) {
			all = append(all, LampLook{Lamp: l.ID, Look: k})
		}
	}
	return all
}
