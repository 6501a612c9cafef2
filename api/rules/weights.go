package rules

import "pintail/api/unit"

// span is what is known of one weight: it lies between low and high, nil where
// nothing bounds it. The exact weight has both the same.
type span struct{ low, high *unit.Mass }

// span returns what the facts say of a weight. An empty weight bounds the
// loaded one from below and the loaded one the empty from above; a rating
// bounds nothing, since a vehicle may be overloaded.
func (f *Facts) span(w Weight, out *need) span {
	switch w {
	case Gross:
		return bounded(f.TowedGross, f.TowedUnladen, nil, needTowedGross, out)
	case GVWR:
		return bounded(f.TowedGVWR, nil, nil, needTowedGVWR, out)
	case Unladen:
		return bounded(f.TowedUnladen, nil, f.TowedGross, needTowedUnladen, out)
	case Carried:
		return f.carried(out)
	case Registered:
		return f.between(f.TowedGross, f.TowedGVWR, needTowedGross|needTowedGVWR, out)
	case TowingGross:
		return bounded(f.TowingGross, f.TowingEmpty, nil, needTowingGross, out)
	case TowingGVWR:
		return bounded(f.TowingGVWR, nil, nil, needTowingGVWR, out)
	case TowingEmpty:
		return bounded(f.TowingEmpty, nil, f.TowingGross, needTowingEmpty, out)
	case TowingAxleRatings:
		return bounded(f.TowingAxleRatings, nil, nil, needTowingAxles, out)
	case TowingUnstated:
		return f.between(f.TowingEmpty, f.TowingGVWR, needTowingEmpty|needTowingGVWR, out)
	case PairGross:
		return sum(f.span(Gross, out), f.span(TowingGross, out))
	case PairGVWR:
		return sum(f.span(GVWR, out), f.span(TowingGVWR, out))
	}
	*out |= needCircumstance
	return span{}
}

func bounded(exact, low, high *unit.Mass, missing need, out *need) span {
	if exact != nil {
		return span{exact, exact}
	}
	*out |= missing
	return span{low, high}
}

// between is for a weight that lies between two others, whichever is greater.
func (f *Facts) between(a, b *unit.Mass, missing need, out *need) span {
	if a == nil || b == nil {
		*out |= missing
		return span{}
	}
	if a.Over(*b) {
		a, b = b, a
	}
	return span{a, b}
}

func (f *Facts) carried(out *need) span {
	if f.TowedGross == nil || f.TowedUnladen == nil || f.TowedUnladen.Over(*f.TowedGross) {
		*out |= needTowedGross | needTowedUnladen
		return span{high: f.TowedGross}
	}
	load := f.TowedGross.Sub(*f.TowedUnladen)
	return span{&load, &load}
}

func sum(a, b span) span {
	return span{plus(a.low, b.low, true), plus(a.high, b.high, false)}
}

// plus adds two bounds. A missing lower bound counts as nothing; a missing
// upper one leaves the sum without any.
func plus(a, b *unit.Mass, lower bool) *unit.Mass {
	switch {
	case a != nil && b != nil:
		s := a.Add(*b)
		return &s
	case !lower:
		return nil
	case a != nil:
		return a
	}
	return b
}

// weighs answers a test of weight, exactly, in the law's own unit.
func (f *Facts) weighs(c *Condition, out *need) answer {
	var open need
	s := f.span(c.Weight, &open)
	var a answer
	switch {
	case c.Over != nil:
		a = s.over(*c.Over)
	case c.AtLeast != nil:
		a = s.under(*c.AtLeast).not()
	case c.Under != nil:
		a = s.under(*c.Under)
	case c.UpTo != nil:
		a = s.over(*c.UpTo).not()
	case c.OverPct != nil:
		a = s.overShare(*c.OverPct, f.span(c.Of, &open))
	case c.AtLeastPct != nil:
		a = s.underShare(*c.AtLeastPct, f.span(c.Of, &open)).not()
	case c.UnderPct != nil:
		a = s.underShare(*c.UnderPct, f.span(c.Of, &open))
	}
	if a == unknown {
		*out |= open
	}
	return a
}

func (s span) over(limit unit.Mass) answer {
	switch {
	case s.low != nil && s.low.Over(limit):
		return yes
	case s.high != nil && !s.high.Over(limit):
		return no
	}
	return unknown
}

func (s span) under(limit unit.Mass) answer {
	switch {
	case s.high != nil && limit.Over(*s.high):
		return yes
	case s.low != nil && !limit.Over(*s.low):
		return no
	}
	return unknown
}

func (s span) overShare(pct int64, of span) answer {
	switch {
	case s.low != nil && of.high != nil && s.low.ComparePercent(*of.high, pct*1000) > 0:
		return yes
	case s.high != nil && of.low != nil && s.high.ComparePercent(*of.low, pct*1000) <= 0:
		return no
	}
	return unknown
}

func (s span) underShare(pct int64, of span) answer {
	switch {
	case s.high != nil && of.low != nil && s.high.ComparePercent(*of.low, pct*1000) < 0:
		return yes
	case s.low != nil && of.high != nil && s.low.ComparePercent(*of.high, pct*1000) >= 0:
		return no
	}
	return unknown
}
