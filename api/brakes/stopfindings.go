package brakes

import (
	"strconv"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// findings are what the stop comes to.
func (s *scene) findings(r StoppingReport) []finding.Finding {
	fs := []finding.Finding{s.how()}
	fs = append(fs, s.held(r.Limits)...)
	fs = append(fs, tightened(s.in.Limits)...)
	for _, f := range []*finding.Finding{s.contradicted(), s.unspread(), s.stands(), s.stretched(), s.lock(r.Axles)} {
		if f != nil {
			fs = append(fs, *f)
		}
	}
	return fs
}

func stopFinding(id string, v finding.Verdict, says finding.Text) *finding.Finding {
	return &finding.Finding{ID: "brakes." + id, Area: finding.Brakes, Verdict: v, Says: says}
}

// how says how the pair stops as it is towed, or what must be measured first.
func (s *scene) how() finding.Finding {
	alone, pair := s.known[0], s.known[3]
	switch {
	case alone.a == 0 && pair.a == 0:
		f := stopFinding("stopping", finding.FindOut, finding.Say("brakes.stopping_unmeasured", nil))
		f.Decides, f.Remedy = true, finding.Advise("brakes.stopping_unmeasured.remedy", nil)
		f.Fields = []string{"/stopping/alone", "/stopping/pair_from_20_mph"}
		return *f
	case pair.a == 0 && (s.m1 == 0 || s.m2 == 0):
		f := stopFinding("stopping", finding.FindOut, finding.Say("brakes.stopping_no_weight", nil))
		f.Decides, f.Fields = true, s.unweighed()
		return *f
	}
	i := s.caseFor(nil)
	if i < 0 {
		return *s.open()
	}
	says := "brakes.stopping_" + string(s.known[i].kind)
	params := finding.Params{"stop": feet(s.known[i].flat(twenty))}
	if i == 3 && !s.seenFrom(i, twenty) {
		says = "brakes.stopping_pair_scaled"
		params["from"], params["seen"] = finding.SpeedOf(*s.stop(i).From), finding.LengthOf(*s.stop(i).Distance)
	}
	f := stopFinding("stopping", finding.OK, finding.Say(says, params))
	f.Basis = s.basis(i)
	if i == 1 {
		f.Verdict = finding.Mind
	}
	return *f
}

// open says what keeps the stop of the pair from being known: the unit's share,
// or whether there is a unit.
func (s *scene) open() *finding.Finding {
	says := "brakes.stopping_share"
	fields := []string{"/stopping/pair_from_20_mph"}
	if s.in.Rig.BrakeUnit.Fitted == nil {
		says = "brakes.stopping_unit_unknown"
		fields = append(fields, "/brake_unit/fitted")
	}
	if s.share == nil {
		fields = append(fields, "/brake_unit/car_share_pct")
	}
	f := stopFinding("stopping", finding.FindOut, finding.Say(says, finding.Params{
		"alone": feet(s.known[0].flat(twenty)), "unbraked": feet(s.known[1].flat(twenty)),
	}))
	f.Remedy, f.Fields = finding.Advise("brakes.stopping_share.remedy", nil), fields
	return f
}

// contradicted: what the two measured stops say of the car no car can do.
func (s *scene) contradicted() *finding.Finding {
	if !s.differ {
		return nil
	}
	pair, unbraked := s.known[3].flat(twenty), s.known[1].flat(twenty)
	says := "brakes.stops_differ_short"
	if pair > unbraked {
		says = "brakes.stops_differ_long"
	}
	f := stopFinding("stops-differ", finding.FindOut, finding.Say(says, finding.Params{"pair": feet(pair), "unbraked": feet(unbraked), "alone": feet(s.known[0].flat(twenty))}))
	f.Remedy, f.Fields = finding.Advise("brakes.stops_differ.remedy", nil), []string{"/stopping/alone", s.basis(3)[0].Reference}
	return f
}

// unspread: how brake force is spread over axles says nothing without their
// weights.
func (s *scene) unspread() *finding.Finding {
	var fields []string
	need := func(asked bool, front, rear *unit.Mass, at string) {
		if asked && front == nil {
			fields = append(fields, at+"/front_axle/actual")
		}
		if asked && rear == nil {
			fields = append(fields, at+"/rear_axle/actual")
		}
	}
	towing, towed := s.in.Rig.Towing, s.in.Rig.Towed
	need(s.in.TowingFrontPct != nil, towing.FrontAxle.Actual, towing.RearAxle.Actual, "/towing")
	need(s.in.TowedFrontPct != nil, towed.FrontAxle.Actual, towed.RearAxle.Actual, "/towed")
	if fields == nil {
		return nil
	}
	f := stopFinding("axles", finding.FindOut, finding.Say("brakes.axles_unweighed", nil))
	f.Fields = fields
	return f
}

func (s *scene) unweighed() []string {
	var fields []string
	if s.m1 == 0 {
		fields = append(fields, "/towing/actual/weight")
	}
	if s.m2 == 0 {
		fields = append(fields, "/towed/actual/weight")
	}
	return fields
}

// basis is what a case rests on.
func (s *scene) basis(i int) []finding.Basis {
	stop, at := s.in.Rig.Stopping.Alone, "/stopping/alone"
	if i == 3 {
		stop, at = pairStop(s.in.Rig.Stopping), "/stopping/pair"
		if s.in.Rig.Stopping.PairFrom20MPH != nil {
			at = "/stopping/pair_from_20_mph"
		}
	}
	b := finding.Basis{Kind: finding.Measured, Reference: at}
	if stop.How == rig.MakersFigure {
		b.Kind = finding.Rating
	}
	if i == 0 || i == 3 {
		return []finding.Basis{b}
	}
	return []finding.Basis{b, {Kind: finding.Computed, Reference: "forces add and masses add: a' = (a1 W1 + a2 W2)/(W1 + W2), the motorhome's brakes giving what they gave alone"}}
}

// feet shows a reckoned distance, metres, in feet.
func feet(m float64) finding.Param {
	l, err := unit.NewLength(rounded(m/foot, 100), "ft")
	if err != nil {
		return finding.Num(m/foot, "ft")
	}
	return finding.LengthOf(l)
}

// held judges each limit that is about the car as it is towed.
func (s *scene) held(limits []LimitResult) []finding.Finding {
	var fs []finding.Finding
	kept, by, seen := 0, -1, true
	for n, l := range limits {
		fitted := s.in.Rig.BrakeUnit.Fitted
		if l.Braked != nil && fitted != nil && *l.Braked != *fitted {
			continue
		}
		f := stopFinding("limit."+strconv.Itoa(n), finding.FindOut, finding.Text{})
		f.Decides = true
		params := finding.Params{"name": finding.Plain(l.Name), "limit": finding.LengthOf(l.Distance), "from": finding.SpeedOf(l.From)}
		if l.Met == nil {
			f.Says, f.Fields = finding.Say("brakes.limit_unknown", params), []string{"/stopping/pair_from_20_mph", "/brake_unit/fitted"}
			fs = append(fs, *f)
			continue
		}
		i := s.caseFor(l.Braked)
		if *l.Met {
			kept, by, seen = kept+1, i, seen && i == 3 && s.seenFrom(i, l.From.In("km_h")/3.6)
			continue
		}
		v := l.From.In("km_h") / 3.6
		params["stop"] = feet(s.known[i].flat(v))
		f.Fields, f.Basis = []string{"/stopping/pair_from_20_mph"}, s.basis(i)
		aloneKeeps, known := s.keeps(0, limitM{at: v, within: l.Distance})
		switch {
		case i == 3 && s.seenFrom(i, v):
			f.Verdict, f.Says = finding.NoGo, finding.Say("brakes.limit_over", params)
		case known && !aloneKeeps && i == 1:
			f.Verdict, f.Says = finding.NoGo, finding.Say("brakes.limit_over_alone", params)
		default:
			f.Says = finding.Say("brakes.limit_reckoned_over", params)
		}
		fs = append(fs, *f)
	}
	if kept > 0 {
		f := stopFinding("limits", finding.OK, finding.Say("brakes.limits_kept", finding.Params{"count": whole(kept)}))
		f.Decides, f.Basis = true, s.basis(by)
		if !seen {
			f.Verdict, f.Decides = finding.Mind, false
			f.Says = finding.Say("brakes.limits_reckoned", finding.Params{"count": whole(kept)})
		}
		fs = append(fs, *f)
	}
	return fs
}

// tightened names each limit that is shorter for a car with brakes than for one
// without.
func tightened(limits []StopLimit) []finding.Finding {
	var fs []finding.Finding
	for n, b := range limits {
		if !rig.Is(b.Braked, true) {
			continue
		}
		for _, u := range limits {
			if !rig.Is(u.Braked, false) || u.Name != b.Name || u.From.Compare(b.From) != 0 || !u.Distance.Over(b.Distance) {
				continue
			}
			f := stopFinding("tightened."+strconv.Itoa(n), finding.Mind, finding.Say("brakes.tightened", finding.Params{
				"name": finding.Plain(b.Name), "without": finding.LengthOf(u.Distance), "with": finding.LengthOf(b.Distance), "from": finding.SpeedOf(b.From),
			}))
			f.Basis, f.Fields = []finding.Basis{{Kind: finding.Computed, Reference: "the limits given"}}, []string{"/brake_unit/fitted"}
			f.Remedy = finding.Advise("brakes.tightened.remedy", nil)
			fs = append(fs, *f)
			break
		}
	}
	return fs
}

// stands: on this grade and surface a case may never come to a stand.
func (s *scene) stands() *finding.Finding {
	i := s.caseFor(nil)
	if i < 0 {
		i = 1 // the car not braking is the worst
	}
	d := s.known[i]
	if d.a == 0 || s.asAsked(d) >= leastDecel {
		return nil
	}
	f := stopFinding("no-stop", finding.NoGo, finding.Say("brakes.never_stands", finding.Params{"grade": finding.Num(value(s.in.GradePct), "pct")}))
	f.Decides, f.Basis, f.Remedy = true, s.basis(i), finding.Advise("brakes.never_stands.remedy", nil)
	return f
}

// stretched: a speed well beyond the measured one is a stretch, since brakes
// fade and grip falls with speed.
func (s *scene) stretched() *finding.Finding {
	if s.in.Speed == nil {
		return nil
	}
	for _, stop := range []rig.Stop{pairStop(s.in.Rig.Stopping), s.in.Rig.Stopping.Alone} {
		if !stop.Known() || s.in.Speed.ComparePercent(*stop.From, 125_000) <= 0 {
			continue
		}
		f := stopFinding("stretched", finding.Mind, finding.Say("brakes.stretched", finding.Params{"measured": finding.SpeedOf(*stop.From), "speed": finding.SpeedOf(*s.in.Speed)}))
		f.Basis = []finding.Basis{{Kind: finding.Computed, Reference: "v²/2a at the measured deceleration: a stretch beyond the measured speed"}}
		return f
	}
	return nil
}

// lock warns of axles whose tires are asked for more than the road gives.
func (s *scene) lock(axles []AxleDemand) *finding.Finding {
	worst := -1
	for i, a := range axles {
		if rig.Is(a.Locks, true) && (worst < 0 || a.Friction > axles[worst].Friction) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	a, says := axles[worst], "brakes.may_lock"
	if a.Friction > s.high*s.cos {
		says = "brakes.locks"
	}
	f := stopFinding("lock", finding.Mind, finding.Say(says, finding.Params{
		"axle": finding.Word("brakes.axle." + string(a.Axle)), "asked": finding.Num(a.Friction, ""), "low": finding.Num(s.low, ""), "high": finding.Num(s.high, ""),
	}))
	f.Remedy = finding.Advise("brakes.lock.remedy", nil)
	f.Basis = []finding.Basis{{Kind: finding.Computed, Reference: "brake force over axle load at rest, against friction from textbooks and road tests; gravel, snow and ice from memory"}}
	return f
}
