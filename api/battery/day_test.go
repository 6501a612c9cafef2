package battery

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/supply"
	"pintail/api/unit"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, tolerance)
	}
}

// plain is a 60 Ah battery, new and full, that a car in accessory drains by 3 A,
// its own 20-hour rate, through five hours of driving.
func plain() DayInput {
	r := &rig.Rig{}
	r.Towed = rig.Towed{
		Battery: rig.BatteryConnected, Ignition: rig.IgnitionAccessory, Draw: rig.Draw{AwakeA: ptr(3.0)},
		CarBattery: rig.StoredPower{RatedAh: ptr(60.0), RatedH: ptr(20.0), Chemistry: rig.Flooded, AgeYears: ptr(0.0), RestedV: ptr(12.9)},
	}
	r.BrakeUnit.Fitted, r.Harness.ChargeLine.Fitted = ptr(false), ptr(false)
	return DayInput{Rig: r, Temperature: ptr(unit.C(25)), Day: []Segment{{State: Driving, Hours: 5}}}
}

// lined is plain with a charge line of 40 ft of solid wire through a relay.
func lined(awg int, volts float64) DayInput {
	in := plain()
	in.Rig.Harness.ChargeLine = rig.ChargeLine{
		Fitted: ptr(true), To: rig.ToCarBattery, SourceV: ptr(volts), Isolator: rig.RelayIsolator,
		Wire: rig.Wire{AWG: &awg, Length: ptr(unit.FT(40)), Conductor: rig.Solid}, Contacts: ptr(4), FuseTowingA: ptr(15.0), FuseTowedA: ptr(15.0), ConnectorA: ptr(30.0),
	}
	return in
}

func last(r DayReport) DayPoint { return r.Curve[len(r.Curve)-1] }

func has(fs []finding.Finding, id string, v finding.Verdict) bool {
	return slices.ContainsFunc(fs, func(f finding.Finding) bool { return f.ID == "battery."+id && f.Verdict == v })
}

// 3 A for 5 h out of 60 Ah at its own rate: 15 Ah, a quarter. Source: arithmetic;
// the size factor at 25 °C is 0.9995 by the polynomial.
func TestDayByHand(t *testing.T) {
	r := Day(plain())
	near(t, "left", last(r).LowPct, 75, 0.05)
	near(t, "left at best", last(r).HighPct, 75, 0.05)
	near(t, "volts at rest less the drop at best", last(r).HighV, 12.375-3*0.3/60, 0.01)
	near(t, "loads", r.LowEnergy.LoadsWh, 15*12.5, 3)
	if r.Verdict != finding.OK || !has(r.Findings, "day", finding.OK) {
		t.Errorf("%s: %v", r.Verdict, r.Findings)
	}
}

// Hours from full to half of 60 Ah, a common rule of the trade, for draws up to
// the battery's own rate: 0.03 A 1,000 h, 0.1 A 300 h, 1 A 30 h, 3 A 10 h. At 5
// and 10 A Peukert makes it less than 6 and 3 h: by (3/5)^(k-1) and (3/10)^(k-1),
// k 1.2 to 1.3. Source: arithmetic.
func TestDrainHours(t *testing.T) {
	for _, c := range []struct{ amps, low, high float64 }{
		{1, 30, 30}, {3, 10, 10}, {5, 6 * math.Pow(0.6, 0.3), 6 * math.Pow(0.6, 0.2)}, {10, 3 * math.Pow(0.3, 0.3), 3 * math.Pow(0.3, 0.2)},
	} {
		in := plain()
		in.Rig.Towed.Draw.AwakeA = &c.amps
		in.Day = []Segment{{State: Halted, Hours: 24}, {State: Halted, Hours: 24}}
		r := Day(in)
		half := func(of func(DayPoint) float64) float64 {
			for i := 1; i < len(r.Curve); i++ {
				if p, q := r.Curve[i-1], r.Curve[i]; of(q) <= 50 {
					return p.H + (q.H-p.H)*(of(p)-50)/(of(p)-of(q))
				}
			}
			return -1
		}
		near(t, "low", half(func(p DayPoint) float64 { return p.LowPct }), c.low, 0.02*c.low)
		near(t, "high", half(func(p DayPoint) float64 { return p.HighPct }), c.high, 0.02*c.high)
	}
}

// The line's current by hand. 14.0 V through 40 ft of 14 AWG, twice, solid at 25
// °C: 80 x 2.525 mΩ x 1.0197 = 0.2060 Ω, and four contacts of 10 mΩ: 0.2460 Ω. A
// battery full at 12.7 V charges from 13.5 V: at 3 A the line leaves 13.262 V, so it
// holds. At 14.6 V it leaves 13.86 V and keeps it charged.
func TestHoldingIsNotCharging(t *testing.T) {
	for _, c := range []struct {
		awg   int
		volts float64
		id    string
		state LineState
		is    finding.Verdict
	}{{14, 14.0, "day-line", Holding, finding.OK}, {14, 14.6, "day-line", Charging, finding.OK}, {14, 13.0, "day-line", Draining, finding.Mind}, {10, 14.0, "day-line", Charging, finding.OK}} {
		r := Day(lined(c.awg, c.volts))
		if got := r.Segments[0].Worst; got != c.state || !has(r.Findings, c.id, c.is) {
			t.Errorf("%d AWG, %v V: %s, want %s: %v", c.awg, c.volts, got, c.state, r.Findings)
		}
	}
	r := Day(lined(14, 14.0))
	near(t, "volts", last(r).LowV, 14-3*0.2460, 0.001)
	near(t, "amperes", last(r).LowLineA, 3, 1e-9)
	near(t, "lost in the wire", r.LowEnergy.WireWh, 9*0.2460*5, 0.02)
	near(t, "still full", last(r).LowPct, 100, 1e-9)
}

// A half-charged battery on a thick line takes what it accepts, a tenth to three
// tenths of its ampere-hours; on a limiter what is left of the limit.
func TestAcceptanceAndLimit(t *testing.T) {
	in := lined(4, 14.6)
	in.Rig.Towed.CarBattery.RestedV = ptr(12.06)
	r := Day(in)
	near(t, "at worst", r.Curve[0].LowLineA, 3+6, 1e-9)
	if in := r.Curve[0].HighLineA; in > 3+18+1e-9 || in < 3+6 {
		t.Errorf("at best %v A", in)
	}
	in.Rig.Harness.ChargeLine.Isolator, in.Rig.Harness.ChargeLine.LimitA = rig.CurrentLimiter, ptr(5.0)
	near(t, "limited", Day(in).Curve[0].LowLineA, 5, 1e-9)
	in.Rig.Harness.ChargeLine.LimitA = ptr(2.0)
	if r := Day(in); r.Segments[0].Worst != Draining || !has(r.Findings, "day-line", finding.Mind) {
		t.Errorf("a limit below the load: %v", r.Segments)
	}
	// A diode takes its drop before the battery sees anything.
	in = lined(4, 13.3)
	in.Rig.Harness.ChargeLine.Isolator = rig.DiodeIsolator
	r = Day(in)
	if r.Segments[0].Worst != Draining || r.Segments[0].Best == Draining && r.HighEnergy.IsolatorWh <= 0 {
		t.Errorf("a diode: %+v", r.Segments)
	}
}

func TestDayEvents(t *testing.T) {
	hungry := func(in *DayInput) {
		in.Rig.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), PoweredFrom: rig.FromCarBattery, WorkA: ptr(14.0), IdleA: ptr(0.2), LeastV: ptr(10.8)}
		in.Day[0].Terrain = rig.Level
	}
	for name, c := range map[string]struct {
		change  func(*DayInput)
		verdict finding.Verdict
		id      string
		is      finding.Verdict
	}{
		"Lasts": {hungry, finding.OK, "day", finding.OK},
		"Not":   {func(in *DayInput) { hungry(in); in.Rig.Towed.Draw.AwakeA = ptr(10.0); in.Day[0].Hours = 10 }, finding.NoGo, "day-unit", finding.NoGo},
		"Steer": {func(in *DayInput) { in.Rig.Towed.Draw.AwakeA = ptr(10.0); in.Day[0].Hours = 10 }, finding.NoGo, "day-steering", finding.NoGo},
		"Free": {func(in *DayInput) {
			in.Rig.Towed.SteeringMayLock = ptr(false)
			in.Rig.Towed.Draw.AwakeA = ptr(10.0)
			in.Day[0].Hours = 10
		}, finding.OK, "day-start", finding.Mind},
		"Perhaps": {func(in *DayInput) { hungry(in); in.Day[0].Hours = 14 }, finding.FindOut, "day-unit", finding.FindOut},
		"RunHelps": {func(in *DayInput) {
			in.Rig.Towed.Draw.AwakeA = ptr(3.5)
			in.Day = []Segment{{State: Driving, Hours: 4}, {State: EngineRun, Hours: 1}, {State: Driving, Hours: 4}}
		}, finding.OK, "day", finding.OK},
		"CableOff": {func(in *DayInput) { in.Rig.Towed.Battery = rig.BatteryDisconnected; in.Rig.Towed.Draw = rig.Draw{} }, finding.OK, "day", finding.OK},
	} {
		t.Run(name, func(t *testing.T) {
			in := plain()
			c.change(&in)
			if err := in.Validate(); err != nil {
				t.Fatal(err)
			}
			r := Day(in)
			if r.Verdict != c.verdict || !has(r.Findings, c.id, c.is) {
				t.Errorf("%s, want %s and %s %s: %v\n%v", r.Verdict, c.verdict, c.id, c.is, r.Findings, last(r))
			}
		})
	}
}

// A car that falls asleep after half an hour: 3 A for 0.5 h, then 0.03 A.
func TestAsleep(t *testing.T) {
	in := plain()
	in.Rig.Towed.Draw.AwakeMin, in.Rig.Towed.Draw.AsleepA = ptr(30.0), ptr(0.03)
	near(t, "left", last(Day(in)).LowPct, 100-100*(1.5+4.5*0.03)/60, 0.01)
}

// Without an isolator the battery feeds the motorhome at a halt, and less
// resistance is then the worse: the band keeps its order. A day without driving
// says nothing of the line while driving.
func TestBackIntoTheMotorhome(t *testing.T) {
	in := lined(12, 14)
	in.Rig.Harness.ChargeLine.Isolator, in.Rig.Harness.ChargeLine.HaltV = rig.WithoutIsolator, ptr(12.2)
	in.Day = []Segment{{State: Halted, Hours: 8}}
	r := Day(in)
	for _, p := range r.Curve {
		if p.LowPct > p.HighPct || p.LowV > p.HighV {
			t.Fatalf("%+v", p)
		}
	}
	if slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return f.ID == "battery.day-line" }) {
		t.Errorf("%v", r.Findings)
	}
}

// Figures that cannot both be so are named, and so is the half that is missing.
func TestDayContradictions(t *testing.T) {
	for id, change := range map[string]func(*rig.Rig){
		"day-ratings": func(r *rig.Rig) { r.Towed.CarBattery.ReserveMin = ptr(20.0) }, // 8.3 Ah at 25 A of 60
		"day-asleep":  func(r *rig.Rig) { r.Towed.Draw.AwakeMin = ptr(30.0) },
		"day-idle": func(r *rig.Rig) {
			r.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), PoweredFrom: rig.FromCarBattery, WorkA: ptr(1.0), IdleA: ptr(5.0)}
		},
	} {
		in := plain()
		if has(Day(in).Findings, id, finding.FindOut) {
			t.Errorf("%s before", id)
		}
		change(in.Rig)
		if r := Day(in); !has(r.Findings, id, finding.FindOut) {
			t.Errorf("no %s: %v", id, r.Findings)
		}
	}
}

// Two ways through the units give the same nine digits: 50 °F is 10 °C, 37.5 ft is
// 11.43 m.
func TestDaySIEqualsUS(t *testing.T) {
	answer := func(long unit.Length, air unit.Temperature) string {
		in := lined(12, 14)
		in.Rig.Harness.ChargeLine.Wire.Length, in.Temperature = &long, &air
		b, err := strictjson.Marshal(Day(in))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if us, si := answer(unit.FT(37.5), unit.F(50)), answer(unit.M(11.43), unit.C(10)); us != si {
		t.Errorf("US %s\nSI %s", us, si)
	}
}

// TestLastPoint: the day ends under the load that it was driven with, the unit's
// mean work included.
func TestLastPoint(t *testing.T) {
	in := plain()
	in.Rig.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), PoweredFrom: rig.FromCarBattery, WorkA: ptr(15.0), IdleA: ptr(0.2)}
	in.Day[0].UnitDutyPct = ptr(50.0)
	curve := Day(in).Curve
	for i := 1; i < len(curve); i++ {
		if p := curve[i]; p.LowV > curve[i-1].LowV || p.HighV > curve[i-1].HighV {
			t.Errorf("volts rise from %+v to %+v while the battery drains", curve[i-1], p)
		}
	}
}

func TestDayMissing(t *testing.T) {
	r := Day(DayInput{Rig: &rig.Rig{}})
	f := r.Findings[0]
	if r.Verdict != finding.FindOut || len(r.Curve) != 0 || !slices.Contains(f.Fields, "/towed/draw/awake_a") || !slices.Contains(f.Fields, "/towed/car_battery/rated_ah") {
		t.Errorf("%+v", r)
	}
	in := lined(14, 14)
	in.Rig.Harness.ChargeLine.Wire = rig.Wire{}
	if f := Day(in).Findings[0]; !slices.Contains(f.Fields, "/harness/charge_line/wire/length") {
		t.Errorf("%+v", f)
	}
}

// 3 A over 40 ft from 14.0 V: with the connector's four contacts, 14 AWG leaves
// 13.26 V and holds, 18 AWG leaves 12.3 V and does not, 10 AWG leaves 13.63 V and
// charges. It may carry 3 + 18 A, so a fuse of 30 A, which 10 AWG bears (40 A).
func TestAdvice(t *testing.T) {
	w := Day(lined(14, 14.0)).Would
	if w == nil || w.HoldsAWG == nil || w.ChargesAWG == nil || w.FuseA == nil {
		t.Fatalf("%+v", w)
	}
	if *w.HoldsAWG != 16 || *w.ChargesAWG != 12 && *w.ChargesAWG != 14 || *w.FuseA != 30 || *w.FuseAWG != 10 {
		t.Errorf("holds %d, charges %d, fuse %v on %d", *w.HoldsAWG, *w.ChargesAWG, *w.FuseA, *w.FuseAWG)
	}
	in := lined(14, 12.6)
	if w := Day(in).Would; w.HoldsAWG != nil || w.ChargesAWG != nil {
		t.Errorf("no wire makes up for 12.6 V: %+v", w)
	}
	if r := Day(lined(18, 14.0)); !has(r.Findings, "day-fuse", finding.Mind) || r.Verdict != finding.Mind {
		t.Errorf("15 A on 18 AWG: %v", r.Findings)
	}
}

func anyDay(t *rapid.T) DayInput {
	in := lined(rapid.IntRange(4, 22).Draw(t, "awg"), rapid.Float64Range(10, 16).Draw(t, "source"))
	line := &in.Rig.Harness.ChargeLine
	line.Fitted = ptr(rapid.Bool().Draw(t, "line"))
	line.Isolator = rig.Isolator(rapid.SampledFrom(rig.Isolator("").Values()).Draw(t, "isolator"))
	if line.Isolator == rig.CurrentLimiter {
		line.LimitA = ptr(rapid.Float64Range(0.1, 30).Draw(t, "limit"))
	}
	if rapid.Bool().Draw(t, "at halts") {
		line.HaltV = ptr(rapid.Float64Range(10, 14).Draw(t, "halt"))
	}
	b := &in.Rig.Towed.CarBattery
	b.RatedAh, b.RestedV = ptr(rapid.Float64Range(5, 200).Draw(t, "ah")), ptr(rapid.Float64Range(10.5, 13).Draw(t, "rested"))
	b.Chemistry = rig.Chemistry(rapid.SampledFrom([]string{"", "flooded", "gel", "agm"}).Draw(t, "kind"))
	b.AgeYears = ptr(rapid.Float64Range(0, 10).Draw(t, "age"))
	in.Rig.Towed.Draw.AwakeA = ptr(rapid.Float64Range(0, 20).Draw(t, "draw"))
	if rapid.Bool().Draw(t, "unit") {
		in.Rig.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), PoweredFrom: rig.FromCarBattery, WorkA: ptr(rapid.Float64Range(0.01, 20).Draw(t, "work")), IdleA: ptr(rapid.Float64Range(0, 1).Draw(t, "idle"))}
	}
	in.Temperature = ptr(unit.C(float64(rapid.IntRange(-50, 60).Draw(t, "celsius"))))
	in.Day = nil
	for range rapid.IntRange(1, 6).Draw(t, "parts") {
		in.Day = append(in.Day, Segment{
			State: DayState(rapid.SampledFrom(DayState("").Values()).Draw(t, "state")), Hours: float64(rapid.IntRange(1, 80).Draw(t, "tenths")) / 10,
			Terrain: rig.Terrain(rapid.SampledFrom(append(rig.Terrain("").Values(), "")).Draw(t, "terrain")),
		})
	}
	return in
}

// The account closes to 0.1 %; nothing comes out that was not there or came in; a
// heavier draw never leaves more.
func TestDayProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyDay(t)
		if err := in.Validate(); err != nil {
			t.Fatal(err)
		}
		r := Day(in)
		if _, err := strictjson.Marshal(r); err != nil {
			t.Fatal(err)
		}
		for _, e := range []*Energy{r.LowEnergy, r.HighEnergy} {
			if math.Abs(e.OpenPct) > 0.1 && e.SourceWh+e.EngineWh+math.Abs(e.StoredWh) > 0.1 {
				t.Fatalf("open by %v %%: %+v", e.OpenPct, *e)
			}
			if e.LoadsWh > e.SourceWh+e.EngineWh-e.StoredWh+1e-3*(1+e.LoadsWh) {
				t.Fatalf("energy from nowhere: %+v", *e)
			}
			if e.WireWh < 0 || e.IsolatorWh < -1e-6 || e.BatteryWh < -1e-3*(1+e.LoadsWh) {
				t.Fatalf("a loss below nothing: %+v", *e)
			}
		}
		for _, p := range r.Curve {
			if p.LowPct < 0 || p.HighPct > 100 {
				t.Fatalf("%+v", p)
			}
		}
		// The account again, from the cell: what is stored is charge times voltage.
		low := newPlan(in).follow(worse)
		if got := low.ah * (supply.StoredV(low.share) - supply.StoredV(low.start)); math.Abs(got-r.LowEnergy.StoredWh) > 1e-6*(1+math.Abs(got)) {
			t.Fatalf("stored %v, %v", got, r.LowEnergy.StoredWh)
		}
		more := in
		rg := *in.Rig
		rg.Towed.Draw.AwakeA = ptr(min(60, *in.Rig.Towed.Draw.AwakeA+rapid.Float64Range(0, 10).Draw(t, "more")))
		more.Rig = &rg
		if h := Day(more); last(h).LowPct > last(r).LowPct+0.2 || last(h).HighPct > last(r).HighPct+0.2 {
			t.Fatalf("more draw leaves more: %v, %v", last(h), last(r))
		}
	})
}

func TestDayInputRefused(t *testing.T) {
	for body, pointer := range map[string]string{
		`{}`:                                 "/rig",
		`{"rig":{},"temperature":{"c":-80}}`: "/temperature",
		`{"rig":{},"day":[{"state":"drive","hours":0}]}`:                                                         "/day/0/hours",
		`{"rig":{},"day":[{"state":"drive","hours":-3}]}`:                                                        "/day/0/hours",
		`{"rig":{},"day":[{"hours":3}]}`:                                                                         "/day/0/state",
		`{"rig":{},"day":[{"state":"drive","hours":3,"starts_h":8},{"state":"halt","hours":1,"starts_h":12}]}`:   "/day/1/starts_h",
		`{"rig":{},"day":[{"state":"drive","hours":3,"starts_h":8},{"state":"halt","hours":1,"starts_h":10.5}]}`: "/day/1/starts_h",
		`{"rig":{"towed":{"draw":{"awake_a":-1}}}}`:                                                              "/rig/towed/draw/awake_a",
		`{"rig":{"towed":{"car_battery":{"rated_ah":0}}}}`:                                                       "/rig/towed/car_battery/rated_ah",
		`{"rig":{"harness":{"charge_line":{"limit_a":0}}}}`:                                                      "/rig/harness/charge_line/limit_a",
	} {
		var in DayInput
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
	var ok DayInput
	if err := strictjson.Unmarshal([]byte(`{"rig":{},"day":[{"state":"drive","hours":0.1,"starts_h":8},{"state":"halt","hours":0.2},{"state":"drive","hours":1,"starts_h":8.3}]}`), &ok); err != nil {
		t.Fatal(err)
	}
	if err := ok.Validate(); err != nil {
		t.Errorf("tenths of hours that meet are refused: %v", err)
	}
}

// A battery at 0 %: nothing to give, and no number without end.
func TestFlatFromTheStart(t *testing.T) {
	in := plain()
	in.Rig.Towed.CarBattery.RestedV = ptr(9.0)
	r := Day(in)
	if last(r).HighPct != 0 || r.LowEnergy.LoadsWh != 0 || r.Segments[0].Worst != Flat || r.Verdict != finding.NoGo {
		t.Errorf("%+v", r)
	}
}

func FuzzDay(f *testing.F) {
	for _, seed := range []string{
		`{"rig":{}}`,
		`{"rig":{"towed":{"battery":"connected","draw":{"awake_a":60},"car_battery":{"rated_ah":0.5,"rated_h":0.1,"rested_v":0}},"brake_unit":{"fitted":false},"harness":{"charge_line":{"fitted":false}}},"temperature":{"f":-60},"day":[{"state":"drive","hours":24},{"state":"engine_run","hours":1}]}`,
		`{"rig":{"towed":{"battery":"connected","draw":{"awake_a":0},"car_battery":{"reserve_min":5}},"brake_unit":{"fitted":true,"powered_from":"car_battery","work_a":100,"idle_a":0},"harness":{"charge_line":{"fitted":true,"to":"car_battery","source_v":16,"halt_v":10,"isolator":"none","wire":{"awg":4,"length":{"ft":0.5}}}}},"temperature":{"c":60},"day":[{"state":"halt","hours":0.01},{"state":"drive","hours":3,"terrain":"mountains"}]}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in DayInput
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		if _, err := strictjson.Marshal(Day(in)); err != nil {
			t.Fatal(err)
		}
	})
}

// BenchmarkDay is a long day with halts, an engine run and a charge line. Goal:
// 200 µs natively.
func BenchmarkDay(b *testing.B) {
	in := lined(12, 14.0)
	in.Rig.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), PoweredFrom: rig.FromCarBattery, WorkA: ptr(14.0), IdleA: ptr(0.2), LeastV: ptr(10.8)}
	in.Day = []Segment{
		{State: Driving, Hours: 4, Terrain: rig.Hills}, {State: Halted, Hours: 1}, {State: Driving, Hours: 3, Terrain: rig.Mountains},
		{State: EngineRun, Hours: 0.1}, {State: Driving, Hours: 4, Terrain: rig.Level}, {State: Halted, Hours: 11.9},
	}
	b.ReportAllocs()
	for b.Loop() {
		Day(in)
	}
}
