package battery

import (
	"math"

	"pintail/api/rig"
	"pintail/api/supply"
	"pintail/api/unit"
)

// end is the worse or the better end of every band.
type end int

const (
	worse end = iota
	better
)

// of is the end of a band of which less is worse; more of one of which more is.
func (e end) of(s supply.Span) float64 {
	if e == worse {
		return s.Low
	}
	return s.High
}

func (e end) more(s supply.Span) float64 { return (1 - e).of(s) }

// What the day rests on besides what was entered. Our judgment, after the figures
// in use: how often a brake unit works by terrain, so that one of 12 to 15 A takes
// 2 to 3 A on average in hills; the ohms of a battery of one ampere-hour; the
// ampere-hours' share that it takes as amperes; what comes out of what goes in;
// the voltage of the car's own alternator.
var (
	duty         = map[rig.Terrain]supply.Span{rig.Level: {Low: 0.02, High: 0.05}, rig.Hills: {Low: 0.10, High: 0.20}, rig.Mountains: {Low: 0.15, High: 0.30}, "": {Low: 0.02, High: 0.30}}
	ohmAh        = supply.Span{Low: 0.3, High: 0.8}
	acceptance   = supply.Span{Low: 0.10, High: 0.30}
	returned     = supply.Span{Low: 0.80, High: 0.95}
	diodeV       = supply.Span{Low: 0.4, High: 0.7} // the usual range of isolators
	alternator   = source{volts: 14.2, ohm: 0.01, limit: noLimit}
	startCharge  = supply.Span{Low: 0.30, High: 0.50} // charge left under which an engine may not start; half is the rule in use
	modulesGoV   = supply.Span{Low: 10.5, High: 11.0} // volts at which control units give up
	unitGivesUpV = modulesGoV
)

// noLimit is more than any line carries, amperes.
const noLimit = 1_000

// step is the time between two reckonings, hours; most is how many points a curve
// has at most.
const (
	step = 1.0 / 12
	most = 48
)

// course is one run through the day.
type course struct {
	cell
	end        end
	at         float64 // hours
	start, was float64 // share at the start; hours since the car fell awake
	sums       Energy
	points     []DayPoint
	states     []LineState // the worst of each segment
	loads      []float64   // the mean of each segment
	mostIn     float64     // amperes
	when       [3]float64  // hours to each event, below 0 where it did not come
	unitV      float64
}

// follow runs through the day at one end.
func (in *plan) follow(e end) *course {
	c := in.begin(e)
	total := 0.0
	for _, s := range in.Day {
		total += s.Hours
	}
	every := max(2*step, total/most)
	c.points = make([]DayPoint, 0, most+len(in.Day)+2)
	next := 0.0
	for _, s := range in.Day {
		feed, steady := in.feed(s, e), in.steady(s)
		mean, peak := in.work(s, e)
		worst, used := Charging, 0.0
		for left := s.Hours; left > 1e-9; {
			h := min(step, left)
			load := steady + in.awake(c.was) + mean
			f := c.settle(feed, load)
			if c.at >= next-1e-9 {
				c.points = append(c.points, c.point(f))
				next += every
			}
			h = min(in.sleeps(c.was, c.until(f, h)), next-c.at)
			c.look(in, feed, load+peak-mean, f)
			f = c.move(feed, f, load, h, s.State == EngineRun)
			used += (f.in - f.battery) * h
			if rank(f.state) > rank(worst) {
				worst = f.state
			}
			if s.State != EngineRun {
				c.mostIn = max(c.mostIn, f.in)
			}
			left -= h
			c.at += h
			c.was += h
		}
		if s.State == EngineRun {
			c.was = 0
		}
		c.states, c.loads = append(c.states, worst), append(c.loads, used/s.Hours)
	}
	last := in.Day[len(in.Day)-1]
	mean, _ := in.work(last, e)
	c.points = append(c.points, c.point(c.settle(in.feed(last, e), in.steady(last)+in.awake(c.was)+mean)))
	c.sums.StoredWh = c.ah * (supply.StoredV(c.share) - supply.StoredV(c.start))
	return c
}

// begin is the battery as the day begins.
func (in *plan) begin(e end) *course {
	b := in.Rig.Towed.CarBattery
	ah, hours, _ := supply.Rating(b)
	cold, _ := supply.ColdFactor(*in.Temperature)
	full := ah * e.of(supply.AgeShare(b.AgeYears)) / e.more(cold)
	c := &course{end: e, when: [3]float64{-1, -1, -1}, unitV: e.more(unitGivesUpV)}
	c.cell = cell{
		ah: full, rated: ah, rateA: ah / hours, k: e.more(supply.ExponentFor(b)), ohm: e.more(ohmAh) / ah,
		accept: e.of(acceptance) * ah, keep: e.of(returned), share: e.of(supply.ChargeNow(b)),
	}
	c.start = c.share
	if v := in.Rig.BrakeUnit.LeastV; v != nil {
		c.unitV = *v
	}
	return c
}

// feed is what feeds the battery during a segment.
func (in *plan) feed(s Segment, e end) source {
	line := in.Rig.Harness.ChargeLine
	switch {
	case s.State == EngineRun:
		return alternator
	case !in.fed:
		return source{}
	}
	volts := *line.SourceV
	if s.State == Halted {
		if line.HaltV == nil {
			return source{}
		}
		volts = *line.HaltV
	}
	ohm, _ := supply.LoopOhm(line.Wire, line.Contacts, in.Temperature.In("c"))
	feed := source{volts: volts, ohm: e.more(ohm), limit: noLimit, both: line.Isolator == rig.WithoutIsolator}
	if line.Isolator == rig.DiodeIsolator {
		feed.diode = e.more(diodeV)
	}
	if line.LimitA != nil {
		feed.limit = *line.LimitA
	}
	return feed
}

// steady is what a segment draws besides the car itself and the unit's work.
func (in *plan) steady(s Segment) float64 {
	a := 0.0
	if in.unit {
		a = *in.Rig.BrakeUnit.IdleA
	}
	if rig.Is(s.Dark, true) && !in.off {
		a += *in.Rig.Towed.Draw.LampsA
	}
	return a
}

// work is what the brake unit draws above its idling in a segment: on the mean,
// and while it works.
func (in *plan) work(s Segment, e end) (mean, peak float64) {
	if !in.unit || s.State != Driving {
		return 0, 0
	}
	peak = max(0, *in.Rig.BrakeUnit.WorkA-*in.Rig.BrakeUnit.IdleA)
	return s.duty(e) * peak, peak
}

// awake is what the car draws so many hours after it was last woken.
func (in *plan) awake(hours float64) float64 {
	if in.off {
		return 0
	}
	d := in.Rig.Towed.Draw
	if d.AwakeMin != nil && d.AsleepA != nil && hours*60 >= *d.AwakeMin-1e-6 {
		return *d.AsleepA
	}
	return *d.AwakeA
}

// sleeps shortens a step to the moment at which the car falls asleep.
func (in *plan) sleeps(hours, h float64) float64 {
	if m := in.Rig.Towed.Draw.AwakeMin; m != nil && *m/60-hours > 1e-6 {
		return min(h, *m/60-hours)
	}
	return h
}

func (s Segment) duty(e end) float64 {
	if s.UnitDutyPct != nil {
		return *s.UnitDutyPct / 100
	}
	return e.more(duty[s.Terrain])
}

// finest is the most of a full charge that one step moves.
const finest = 0.005

// until shortens a step to finest, and to the moment at which the battery is empty
// or full.
func (c *course) until(f flow, h float64) float64 {
	switch {
	case f.battery < 0 && c.share > 0:
		return min(h, max(min(finest, c.share)/c.fall(-f.battery), 1e-6))
	case f.battery > 0:
		return min(h, max(min(finest, 1-c.share)*c.ah/(f.battery*c.keep), 1e-6))
	}
	return h
}

// move lets a flow run for so many hours and books where the energy went. An
// empty battery gives nothing: then the loads get what the source can carry.
func (c *course) move(s source, f flow, load, h float64, engine bool) flow {
	if c.share <= 0 && f.battery < 0 {
		f.volts = supply.RestedV(0)
		f.in, f.battery, f.state = 0, 0, Flat
		if s.volts > 0 {
			f.in = min(max((s.volts-s.diode-f.volts)/max(s.ohm, 1e-3), 0), s.limit, load)
		}
		load = f.in
	}
	before := c.share
	switch {
	case f.battery < 0:
		c.share = max(0, c.share-c.fall(-f.battery)*h)
	case f.battery > 0:
		c.share = min(1, c.share+f.battery*c.keep/c.ah*h)
	}
	rest := supply.RestedV((before + c.share) / 2)
	from := &c.sums.SourceWh
	if engine {
		from = &c.sums.EngineWh
	}
	*from += s.volts * f.in * h
	c.sums.WireWh += f.in * f.in * s.ohm * h
	c.sums.IsolatorWh += (s.volts - f.volts - f.in*s.ohm) * f.in * h
	c.sums.LoadsWh += f.volts * load * h
	switch {
	case f.battery < 0:
		c.sums.BatteryWh += (rest*c.fall(-f.battery)*c.ah + f.volts*f.battery) * h
	case f.battery > 0:
		c.sums.BatteryWh += (f.volts - rest*c.keep) * f.battery * h
	}
	return f
}

// look notes the first moment of each event. The unit and the control units meet
// the voltage of its heaviest moment.
func (c *course) look(in *plan, s source, peak float64, f flow) {
	note := func(e int, comes bool) {
		if comes && c.when[e] < 0 {
			c.when[e] = c.at
		}
	}
	volts := f.volts
	if peak > f.in-f.battery {
		volts = c.settle(s, peak).volts
	}
	empty := c.share <= 0 && f.battery < 0
	if in.unit {
		note(0, empty || volts < c.unitV)
	}
	if !rig.Is(in.Rig.Towed.SteeringMayLock, false) {
		note(1, empty || volts < c.end.more(modulesGoV))
	}
	note(2, c.share*c.ah < c.end.more(startCharge)*c.rated)
}

func (c *course) point(f flow) DayPoint {
	return DayPoint{H: unit.Round9(c.at), LowPct: unit.Round9(100 * c.share), LowV: unit.Round9(f.volts), LowLineA: unit.Round9(f.in)}
}

// energy closes the account: what came in is what went into loads, losses and the
// battery.
func (c *course) energy() *Energy {
	e := c.sums
	moved := max(e.SourceWh+e.EngineWh+max(0, -e.StoredWh), 1e-9)
	open := e.SourceWh + e.EngineWh - e.LoadsWh - e.WireWh - e.IsolatorWh - e.BatteryWh - e.StoredWh
	e.OpenPct = 100 * open / moved
	for _, v := range []*float64{&e.SourceWh, &e.EngineWh, &e.LoadsWh, &e.WireWh, &e.IsolatorWh, &e.BatteryWh, &e.StoredWh} {
		*v = unit.Micro(*v) // sums leave digits of their own beside what is nothing
	}
	e.OpenPct = unit.Round9(math.Round(e.OpenPct*1e6) / 1e6)
	return &e
}

// rank orders states, worst last.
func rank(s LineState) int {
	for i, v := range s.Values() {
		if v == string(s) {
			return i
		}
	}
	return 0
}
