package trace

import (
	"math"
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/unit"
)

// pairsTried is how many pairs of faults are weighed beside all single ones.
const pairsTried = 150

// What is reported: groups of at least leastShare, but firstGroups of them in
// any case, and never more than mostGroups.
const (
	leastShare  = 0.01
	firstGroups = 3
	mostGroups  = 8
)

// Make weighs what was seen and measured, and says what is wrong.
func Make(in Input) Report {
	h := wiring.Describe(*in.Rig)
	p, err := pictures.Kept(h, pairsTried)
	if err != nil {
		return Report{Outcome: NoModel, Says: finding.Say("trace.not_solved", nil), Groups: []Group{}, NextSays: finding.Say("trace.next_none", nil), Values: h.Values}
	}
	r := With(p, in)
	r.Values = h.Values
	return r
}

// With is Make with the pictures of the rig's harness at hand; it leaves out the
// values that the harness rests on.
func With(p *pictures.Pictures, in Input) Report {
	e := in.Evidence
	clashes := contradictions(&e)
	t := tracer{p: p, in: &in, items: bind(p, &e)}
	t.belief = believe(p, t.items, t.loosened)
	groups := t.belief.groups()
	r := Report{Contradictions: clashes, Groups: []Group{}}
	if len(t.items) > 0 || len(in.Intermittents) > 0 {
		for i := range groups {
			if i < mostGroups && (i < firstGroups || groups[i].posterior >= leastShare) {
				r.Groups = append(r.Groups, t.group(groups, i))
			}
		}
	}
	best := groups[0].sites[0].causes[0]
	if i := t.belief.likeliestToTell(); len(t.items) > 0 {
		best = i
	}
	r.Misfits = t.whys(t.belief.misfits(best), best)
	r.Outcome, r.Says = t.outcome(groups, r.Misfits)
	t.next(&r, groups)
	return r
}

// tracer is one trace as it is answered.
type tracer struct {
	p      *pictures.Pictures
	in     *Input
	items  []item
	belief *belief
}

// How much likelier a cause becomes by lamps that come and go when something is
// moved in a place: one that can be loose there and changes those lamps, and one
// that cannot or does not.
const (
	looseThere = 8
	elsewhere  = 0.5
)

// loosened is the weight that intermittents give a cause.
func (t *tracer) loosened(cause int) float64 {
	weight := 1.0
	for i := range t.in.Intermittents {
		x := &t.in.Intermittents[i]
		there := func(f *wiring.Fault) bool { return f.Loose() && f.Place == x.Place }
		if slices.ContainsFunc(t.p.Causes[cause].Faults, there) && t.changes(cause, x) {
			weight *= looseThere
		} else {
			weight *= elsewhere
		}
	}
	return weight
}

// changes reports whether a cause makes the lamp, or any where none is named,
// look other than it should in the step, or in any where none is named.
func (t *tracer) changes(cause int, x *Intermittent) bool {
	if x.Lamp == "" && x.Step == "" {
		return true
	}
	for step, s := range t.p.Steps {
		if x.Step != "" && s != x.Step || t.p.Same(step, 0, cause) {
			continue
		}
		for i, l := range t.p.Network.Lamps() {
			if x.Lamp != "" && l.ID != x.Lamp {
				continue
			}
			for won := range t.p.Tried() {
				if t.p.Look(cause, step, won, i) != t.p.Look(0, step, won, i) {
					return true
				}
			}
		}
	}
	return false
}

// likeliestToTell is the cause under which the evidence is likeliest, whatever
// its prior.
func (b *belief) likeliestToTell() int {
	best := 0
	for i := range b.evidence {
		if b.evidence[i] > b.evidence[best] {
			best = i
		}
	}
	return best
}

// outcome says how far the evidence leads.
func (t *tracer) outcome(groups []group, misfits []Why) (Outcome, finding.Text) {
	top := &groups[0]
	share := finding.Num(math.Round(100*top.posterior), "pct")
	count := finding.Num(float64(len(top.sites)), "")
	switch {
	case len(t.items) == 0 && len(t.in.Intermittents) == 0:
		if len(t.in.Pictures) > 0 {
			return NoEvidence, finding.Say("trace.cant_tell", nil)
		}
		return NoEvidence, finding.Say("trace.no_evidence", nil)
	case t.unexplained(misfits):
		return NoModel, finding.Say("trace.no_model", finding.Params{"misfits": finding.Num(float64(len(misfits)), ""), "items": finding.Num(float64(len(t.items)), "")})
	case t.p.Causes[top.sites[0].causes[0]].Sound():
		return Sound, finding.Say("trace.sound", finding.Params{"count": finding.Num(float64(len(top.sites)-1), "")})
	case top.posterior < 0.5:
		return Several, finding.Say("trace.open", finding.Params{"share": share})
	case len(top.sites) > 1:
		return Several, finding.Say("trace.group", finding.Params{"share": share, "count": count})
	}
	return One, finding.Say("trace.one", finding.Params{"share": share})
}

// How often a look and a reading may go against the true cause, and how unlikely
// so many of them may be before no modelled cause is the true one.
const (
	strayLook    = 0.10
	strayReading = 0.03
	tooUnlikely  = 0.01
)

// unexplained reports whether more goes against the best cause than wrong looks
// and slips of the meter make likely. Source: Poisson's law for rare events.
func (t *tracer) unexplained(misfits []Why) bool {
	looks := 0
	for i := range t.items {
		if t.items[i].kind != IsReading {
			looks++
		}
	}
	mean := strayLook*float64(looks) + strayReading*float64(len(t.items)-looks)
	fewer, term := 0.0, math.Exp(-mean)
	for k := range misfits {
		fewer += term
		term *= mean / float64(k+1)
	}
	return len(misfits) > 1 && 1-fewer < tooUnlikely
}

// group answers one group.
func (t *tracer) group(groups []group, at int) Group {
	g := &groups[at]
	out := Group{Share: shareOf(g.posterior)}
	limit := MayGoOn
	for i := range g.sites {
		s := &g.sites[i]
		c := t.cause(s)
		out.Causes = append(out.Causes, c)
		for _, place := range c.Places {
			if !slices.Contains(out.Places, place) {
				out.Places = append(out.Places, place)
			}
		}
		if c.Limit.graver(limit) && s.posterior >= heeded*g.posterior {
			limit = c.Limit
		}
	}
	out.Limit, out.LimitSays = limit, finding.Say("trace.limit."+string(limit), nil)
	out.For, out.Against = t.forAndAgainst(groups, at)
	return out
}

// heeded is the share of its group from which a cause's limit counts for all.
const heeded = 0.05

func (t *tracer) cause(s *site) Cause {
	first := &t.p.Causes[s.causes[0]]
	c := Cause{Faults: first.IDs(), Share: shareOf(s.posterior), Limit: t.limit(s.causes[0]), Says: []finding.Text{}, Fix: []finding.Text{}}
	for _, f := range first.Faults {
		c.Says = append(c.Says, f.Name())
		c.Fix = append(c.Fix, fix(f))
		if !slices.Contains(c.Places, f.Place) {
			c.Places = append(c.Places, f.Place)
		}
	}
	if first.Sound() {
		c.Says = append(c.Says, finding.Say("trace.nothing_wrong", nil))
	}
	for _, i := range s.causes {
		if t.belief.posterior[i] >= likelySize*t.belief.posterior[s.causes[0]] && t.belief.posterior[i] > 0 {
			c.sizes(t.p.Causes[i].Faults)
		}
	}
	if len(first.Faults) == 1 && first.Faults[0].Ohm() > 0 {
		if ohm := t.ohm(s.causes[0]); ohm > 0 {
			c.Ohm = rounded(ohm)
		}
	}
	return c
}

// likelySize is how likely a size is, against the likeliest of its site, to be
// named.
const likelySize = 0.1

// shareOf is a share to a ten-thousandth: nobody's judgement is finer.
func shareOf(v float64) float64 { return unit.Round9(math.Round(1e4*v) / 1e4) }
