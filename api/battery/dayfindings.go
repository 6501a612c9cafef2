package battery

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/supply"
	"pintail/api/unit"
)

func dayFinding(id string, v finding.Verdict, says finding.Text) finding.Finding {
	return finding.Finding{ID: "battery." + id, Area: finding.Battery, Verdict: v, Says: says}
}

// reckoned is the basis of everything that follows a day.
var reckoned = finding.Basis{Kind: finding.Computed, Reference: "the battery followed through the day, Peukert and temperature as bands; duty, acceptance and inner resistance by our judgment"}

// findings are what the day brings.
func (in *plan) findings(low, high *course) []finding.Finding {
	fs := []finding.Finding{}
	for i, e := range (DayEvent("")).Values() {
		if f := in.event(i, DayEvent(e), low.when[i], high.when[i]); f != nil {
			fs = append(fs, *f)
		}
	}
	if len(fs) == 0 {
		f := dayFinding("day", finding.OK, finding.Say("battery.day_lasts", finding.Params{"low": pct(min(low.share, high.share)), "high": pct(max(low.share, high.share))}))
		f.Basis = []finding.Basis{reckoned}
		fs = append(fs, f)
	}
	b := in.Rig.Towed.CarBattery
	if b.AgeYears == nil || b.RestedV == nil {
		f := dayFinding("day-reckoned-new", finding.FindOut, finding.Say("battery.day_reckoned_new", nil))
		if b.AgeYears == nil {
			f.Fields = append(f.Fields, "/towed/car_battery/age_years")
		}
		if b.RestedV == nil {
			f.Fields = append(f.Fields, "/towed/car_battery/rested_v")
		}
		fs = append(fs, f)
	}
	return append(fs, in.contradictions()...)
}

// contradictions are figures that cannot both be so, or of which the other half
// is missing.
func (in *plan) contradictions() []finding.Finding {
	fs := []finding.Finding{}
	say := func(id, says string, fields ...string) {
		f := dayFinding(id, finding.FindOut, finding.Say(says, nil))
		f.Fields = fields
		fs = append(fs, f)
	}
	towed, b := in.Rig.Towed, in.Rig.BrakeUnit
	if supply.RatingsDiffer(towed.CarBattery) {
		say("day-ratings", "battery.ratings_differ", "/towed/car_battery/rated_ah", "/towed/car_battery/reserve_min")
	}
	if in.unit && *b.IdleA > *b.WorkA {
		say("day-idle", "battery.idle_above_work", "/brake_unit/work_a", "/brake_unit/idle_a")
	}
	switch d := towed.Draw; {
	case in.off:
	case d.AwakeMin != nil && d.AsleepA == nil:
		say("day-asleep", "battery.never_asleep", "/towed/draw/asleep_a")
	case d.AwakeMin == nil && d.AsleepA != nil:
		say("day-asleep", "battery.never_asleep", "/towed/draw/awake_min")
	}
	return fs
}

func pct(share float64) finding.Param { return finding.Num(float64(int(100*share+0.5)), "pct") }

// event judges one event: sure where it comes even at the better end of every
// band, open where only at the worse.
func (in *plan) event(i int, e DayEvent, low, high float64) *finding.Finding {
	if low, high = inOrder(low, high); low < 0 && high < 0 {
		return nil
	}
	id := map[DayEvent]string{UnitStops: "day-unit", SteeringMayLock: "day-steering", WillNotStart: "day-start"}[e]
	params := finding.Params{"low": hours(low)}
	f := dayFinding(id, finding.FindOut, finding.Text{})
	f.Decides, f.Basis, f.Remedy = e != WillNotStart, []finding.Basis{reckoned}, finding.Advise("battery.day.remedy", nil)
	f.Fields = []string{"/harness/charge_line", "/towed/draw/awake_a"}
	switch {
	case low >= 0 && high >= 0:
		f.Verdict = finding.NoGo
		params["high"] = hours(high)
		f.Says = finding.Say("battery."+string(e)+"_surely", params)
	default:
		f.Says = finding.Say("battery."+string(e)+"_perhaps", params)
	}
	if e == WillNotStart {
		f.Verdict = finding.Mind
	}
	return &f
}

func hours(h float64) finding.Param { return finding.Num(float64(int(10*h+0.5))/10, "h") }

// together joins the two runs, which have their points at the same hours. Where
// current flows back into the motorhome, less resistance is not the better end:
// low and high are what they say.
func together(low, high *course) []DayPoint {
	points := low.points
	for i, q := range high.points {
		p := &points[i]
		p.LowPct, p.HighPct = min(p.LowPct, q.LowPct), max(p.LowPct, q.LowPct)
		p.LowV, p.HighV = min(p.LowV, q.LowV), max(p.LowV, q.LowV)
		p.HighLineA = q.LowLineA
	}
	return points
}

func (in *plan) segments(low, high *course) []SegmentResult {
	all := make([]SegmentResult, 0, len(in.Day))
	at := 0.0
	if in.Day[0].StartsH != nil {
		at = *in.Day[0].StartsH
	}
	for i, s := range in.Day {
		all = append(all, SegmentResult{
			StartsH: unit.Round9(at), EndsH: unit.Round9(at + s.Hours), State: s.State,
			LowLoadA: unit.Round9(min(low.loads[i], high.loads[i])), HighLoadA: unit.Round9(max(low.loads[i], high.loads[i])), Worst: low.states[i], Best: high.states[i],
		})
		at += s.Hours
	}
	return all
}

// inOrder puts the earlier hour first; an event that never comes, below 0, comes
// last.
func inOrder(low, high float64) (float64, float64) {
	if high >= 0 && (low < 0 || high < low) {
		return high, low
	}
	return low, high
}

func untils(low, high *course) []Until {
	all := make([]Until, 0, len(low.when))
	for i, e := range (DayEvent("")).Values() {
		u := Until{Event: DayEvent(e)}
		early, late := inOrder(low.when[i], high.when[i])
		if h := unit.Round9(early); h >= 0 {
			u.LowH = &h
		}
		if h := unit.Round9(late); h >= 0 {
			u.HighH = &h
		}
		all = append(all, u)
	}
	return all
}

// LineAdvice is the charge line that would do for this day, by gauge and fuse.
type LineAdvice struct {
	// LoadA is the heaviest mean load while driving, FuseForA the most the line
	// may have to carry: that and what the battery takes.
	LoadA    float64 `json:"load_a"`
	FuseForA float64 `json:"fuse_for_a"`
	// HoldsAWG is the thinnest wire that carries that load without draining a full
	// battery, ChargesAWG the thinnest that also charges one nine tenths full;
	// absent where none to 4 AWG does.
	HoldsAWG   *int `json:"holds_awg,omitzero"`
	ChargesAWG *int `json:"charges_awg,omitzero"`
	// FuseA is the fuse for each end, with the wire it needs, absent where the
	// source needs no fuse larger than any wire or connector bears.
	FuseA   *float64 `json:"fuse_a,omitzero"`
	FuseAWG *int     `json:"fuse_awg,omitzero"`
}

// gauges are the wires tried, thinnest first, and what each may carry, amperes.
// Source: 33 CFR 183.425 table 5, insulation of 60 °C.
var gauges = [...]struct {
	awg  int
	amps float64
}{{18, 10}, {16, 15}, {14, 20}, {12, 25}, {10, 40}, {8, 55}, {6, 80}, {4, 105}}

// fuses are the sizes in use, amperes. A fuse carries three quarters of its size
// for long (rule of thumb, from memory).
var fuses = [...]float64{3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100}

const fuseShare = 0.75

// advice is nil where no driving is part of the day or nothing says how long the
// line is and what feeds it.
func (in *plan) advice(low, high *course) *LineAdvice {
	line := in.Rig.Harness.ChargeLine
	load := -1.0
	for i, s := range in.Day {
		if s.State == Driving {
			load = max(load, low.loads[i], high.loads[i])
		}
	}
	if load < 0 || in.off || line.SourceV == nil || line.Wire.Length == nil || line.Isolator == "" {
		return nil
	}
	carries := load + high.accept
	if line.LimitA != nil {
		carries = min(carries, *line.LimitA)
	}
	a := LineAdvice{LoadA: unit.Round9(load), FuseForA: unit.Round9(carries)}
	for _, g := range gauges {
		w := line.Wire
		w.AWG = &g.awg
		ohm, _ := supply.LoopOhm(w, line.Contacts, in.Temperature.In("c"))
		volts := *line.SourceV - load*ohm.High
		if line.Isolator == rig.DiodeIsolator {
			volts -= diodeV.High
		}
		enough := line.LimitA == nil || *line.LimitA >= load
		if awg := g.awg; a.HoldsAWG == nil && enough && volts >= supply.RestedV(1) {
			a.HoldsAWG = &awg
		}
		if awg := g.awg; a.ChargesAWG == nil && enough && volts >= supply.RestedV(0.9)+rise(0.9) {
			a.ChargesAWG = &awg
		}
	}
	a.fuse(carries, line.ConnectorA)
	return &a
}

// fuse is the smallest that carries the current, and the thinnest wire that it
// protects and that charges.
func (a *LineAdvice) fuse(carries float64, connector *float64) {
	for _, f := range fuses {
		if f*fuseShare < carries || connector != nil && f > *connector {
			continue
		}
		for _, g := range gauges {
			if g.amps >= f && (a.ChargesAWG == nil || g.awg <= *a.ChargesAWG) {
				size, awg := f, g.awg
				a.FuseA, a.FuseAWG = &size, &awg
				return
			}
		}
	}
}

// line judges the charge line: whether it charges or only holds, and its fuses.
func (in *plan) line(low, high *course, would *LineAdvice) []finding.Finding {
	if !in.fed {
		return nil
	}
	fs := []finding.Finding{}
	if slices.ContainsFunc(in.Day, func(s Segment) bool { return s.State == Driving }) {
		fs = append(fs, in.keepsUp(low, high, would))
	}
	line := in.Rig.Harness.ChargeLine
	carried := max(low.mostIn, high.mostIn)
	for _, end := range []struct {
		fuse  *float64
		field string
	}{{line.FuseTowingA, "/harness/charge_line/fuse_towing_a"}, {line.FuseTowedA, "/harness/charge_line/fuse_towed_a"}} {
		if end.fuse == nil {
			f := dayFinding("day-fuse-unknown", finding.FindOut, finding.Say("battery.fuse_unknown", nil))
			f.Fields = []string{end.field}
			fs = append(fs, f)
			continue
		}
		params := finding.Params{"fuse": finding.Num(*end.fuse, "A"), "wire": finding.Num(float64(*line.Wire.AWG), ""), "bears": finding.Num(bears(*line.Wire.AWG), "A"), "carried": finding.Num(float64(int(10*carried+0.5))/10, "A")}
		says := ""
		switch {
		case *end.fuse > bears(*line.Wire.AWG):
			says = "battery.fuse_large"
		case *end.fuse*fuseShare < carried:
			says = "battery.fuse_small"
		default:
			continue
		}
		f := dayFinding("day-fuse", finding.Mind, finding.Say(says, params))
		f.Decides, f.Fields = says == "battery.fuse_large", []string{end.field}
		f.Basis = []finding.Basis{{Kind: finding.Standard, Reference: "33 CFR 183.425 table 5 at 60 °C; a fuse carries three quarters of its size for long (from memory)"}}
		fs = append(fs, f)
	}
	if c := line.ConnectorA; c != nil && carried > *c {
		f := dayFinding("day-connector", finding.Mind, finding.Say("battery.connector_over", finding.Params{"carried": finding.Num(float64(int(10*carried+0.5))/10, "A"), "bears": finding.Num(*c, "A")}))
		f.Fields, f.Basis = []string{"/harness/charge_line/connector_a"}, []finding.Basis{{Kind: finding.Rating, Reference: "/harness/charge_line/connector_a"}}
		fs = append(fs, f)
	}
	return fs
}

// bears is what a wire may carry, amperes.
func bears(awg int) float64 {
	amps := 0.0
	for _, g := range gauges {
		if g.awg >= awg {
			amps = g.amps
		}
	}
	return amps
}

// keepsUp says whether the line charges, only holds, or does not keep up, at the
// worse and the better end.
func (in *plan) keepsUp(low, high *course, would *LineAdvice) finding.Finding {
	worst, best := Charging, Charging
	for i, s := range in.Day {
		if s.State != Driving {
			continue
		}
		if rank(low.states[i]) > rank(worst) {
			worst = low.states[i]
		}
		if rank(high.states[i]) > rank(best) {
			best = high.states[i]
		}
	}
	f := dayFinding("day-line", finding.OK, finding.Say("battery.line_charging", nil))
	f.Basis = []finding.Basis{reckoned}
	switch {
	case worst == Holding:
		f.Says = finding.Say("battery.line_holding", nil)
	case rank(worst) > rank(Holding) && rank(best) <= rank(Holding):
		f.Verdict, f.Says = finding.FindOut, finding.Say("battery.line_perhaps", nil)
	case rank(worst) > rank(Holding):
		f.Verdict, f.Says = finding.Mind, finding.Say("battery.line_draining", nil)
	default:
		return f
	}
	if would != nil && would.FuseAWG != nil && would.ChargesAWG != nil && f.Verdict != finding.OK {
		f.Remedy = finding.Advise("battery.line.remedy", finding.Params{"awg": finding.Num(float64(*would.FuseAWG), ""), "fuse": finding.Num(*would.FuseA, "A")})
	} else if f.Verdict != finding.OK {
		f.Remedy = finding.Advise("battery.line_source.remedy", nil)
	}
	f.Fields = []string{"/harness/charge_line/wire/awg", "/harness/charge_line/isolator", "/harness/charge_line/source_v"}
	return f
}
