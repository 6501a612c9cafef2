package breakaway

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

func ptr[T any](v T) *T { return &v }

// kit is 7 Ah at the 20-hour rate with 12 A while holding.
func kit() rig.Breakaway {
	return rig.Breakaway{
		Fitted: ptr(true), PoweredFrom: rig.FromOwnBattery, HoldCurrentA: ptr(12.0),
		Battery: rig.StoredPower{RatedAh: ptr(7.0), RatedH: ptr(20.0), Chemistry: rig.Gel},
	}
}

func has(fs []finding.Finding, id string, v finding.Verdict) bool {
	return slices.ContainsFunc(fs, func(f finding.Finding) bool { return f.ID == "breakaway."+id && f.Verdict == v })
}

// Worked by hand with exponents 1.1 to 1.2 and the polynomial's 1.000 and 1.405:
// 24.6 to 17.3 min at 25 °C passes, 16.9 to 11.5 min at 0 °C does not, and there
// the least battery is 6.3 to 8.7 Ah.
func TestHoldWorkedExample(t *testing.T) {
	warm := Hold(HoldInput{Kit: ptr(kit()), Coldest: ptr(unit.C(25))})
	near(t, "low at 25 °C", warm.Hold.LowMin, 17.3, 0.05)
	near(t, "high at 25 °C", warm.Hold.HighMin, 24.6, 0.05)
	if !has(warm.Findings, "hold", finding.OK) || warm.Verdict != finding.OK {
		t.Errorf("at 25 °C the verdict is %s: %v", warm.Verdict, warm.Findings)
	}
	cold := Hold(HoldInput{Kit: ptr(kit()), Coldest: ptr(unit.F(32))})
	near(t, "low at 0 °C", cold.Hold.LowMin, 11.5, 0.05)
	near(t, "high at 0 °C", cold.Hold.HighMin, 16.9, 0.05)
	near(t, "least Ah", cold.Least.LowAh, 6.3, 0.05)
	near(t, "least Ah", cold.Least.HighAh, 8.75, 0.05)
	if !has(cold.Findings, "hold", finding.FindOut) || cold.Verdict != finding.FindOut {
		t.Errorf("at 0 °C the verdict is %s", cold.Verdict)
	}
}

func TestHoldVerdicts(t *testing.T) {
	with := func(change func(*rig.Breakaway)) *rig.Breakaway {
		k := kit()
		change(&k)
		return &k
	}
	for name, c := range map[string]struct {
		kit     *rig.Breakaway
		coldest *unit.Temperature
		verdict finding.Verdict
		fields  []string
	}{
		"OK":                    {with(func(k *rig.Breakaway) { k.Battery.RatedAh = ptr(12.0) }), ptr(unit.C(0)), finding.OK, nil},
		"ErrShort":              {with(func(k *rig.Breakaway) { k.Battery.RatedAh = ptr(4.0) }), ptr(unit.C(0)), finding.NoGo, []string{"/breakaway/battery/rated_ah", "/breakaway/hold_current_a"}},
		"MindBeyondTable":       {with(func(k *rig.Breakaway) { k.Battery.RatedAh = ptr(40.0) }), ptr(unit.C(-15)), finding.Mind, nil},
		"ErrNoRatedH":           {with(func(k *rig.Breakaway) { k.Battery.RatedH = nil }), ptr(unit.C(0)), finding.FindOut, []string{"/breakaway/battery/rated_h"}},
		"ErrNoAh":               {with(func(k *rig.Breakaway) { k.Battery.RatedAh = nil }), ptr(unit.C(0)), finding.FindOut, []string{"/breakaway/battery/rated_ah"}},
		"ErrNoCurrent":          {with(func(k *rig.Breakaway) { k.HoldCurrentA = nil }), ptr(unit.C(0)), finding.FindOut, []string{"/breakaway/hold_current_a"}},
		"ErrNoFigures":          {&rig.Breakaway{}, nil, finding.FindOut, []string{"/breakaway/battery/rated_ah", "/breakaway/battery/rated_h", "/breakaway/hold_current_a"}},
		"ErrNoColdest":          {with(func(*rig.Breakaway) {}), nil, finding.FindOut, []string{"/coldest"}},
		"ErrPumpWithoutSeconds": {with(func(k *rig.Breakaway) { k.PumpCurrentA = ptr(25.0) }), ptr(unit.C(25)), finding.FindOut, []string{"/breakaway/pump_s"}},
		"ErrPumpWithoutCurrent": {with(func(k *rig.Breakaway) { k.PumpS = ptr(10.0) }), ptr(unit.C(25)), finding.FindOut, []string{"/breakaway/pump_current_a"}},
		"ErrFlat":               {with(func(k *rig.Breakaway) { k.Battery.RestedV = ptr(10.0) }), ptr(unit.C(25)), finding.NoGo, []string{"/breakaway/battery/rated_ah", "/breakaway/hold_current_a"}},
		"ErrNoKit":              {with(func(k *rig.Breakaway) { k.Fitted = ptr(false) }), ptr(unit.C(25)), finding.FindOut, []string{"/breakaway/fitted"}},
		"ErrFromCab":            {with(func(k *rig.Breakaway) { k.PoweredFrom = rig.FromMotorhome }), ptr(unit.C(25)), finding.NoGo, []string{"/breakaway/powered_from"}},
		"ErrMechanical":         {with(func(k *rig.Breakaway) { k.PoweredFrom = rig.NoPowerNeeded }), ptr(unit.C(25)), finding.FindOut, []string{"/breakaway/measured_hold_min"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := Hold(HoldInput{Kit: c.kit, Coldest: c.coldest})
			if r.Verdict != c.verdict {
				t.Errorf("verdict %s, want %s: %v", r.Verdict, c.verdict, r.Findings)
			}
			i := slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.ID == "breakaway.hold" })
			if got := r.Findings[i]; !slices.Equal(got.Fields, c.fields) {
				t.Errorf("fields %v, want %v", got.Fields, c.fields)
			}
			_, _, ok := Band(*c.kit, c.coldest)
			if ok != (r.Hold != nil) {
				t.Errorf("Band is ok %v, the report has %v", ok, r.Hold)
			}
		})
	}
}

// A wire of 20 ft of 14 AWG, solid, loses 12 A times 2 x 20 ft x 2.525 mΩ = 1.21
// V; an actuator that lets go at 10 V asks 11.21 V of the battery, so of the 1.5 V
// from 12.0 to 10.5 V at worst (straight) 47.5 % is lost and at best (a root)
// 22.5 %. Peukert as in the worked example at 25 °C: 17.27 and 24.59 min.
func TestHoldWithWire(t *testing.T) {
	k := kit()
	k.LeastV, k.Wire = ptr(10.0), rig.Wire{AWG: ptr(14), Length: ptr(unit.FT(20)), Conductor: rig.Solid}
	r := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(25))})
	near(t, "drop", r.Voltage.DropHighV, 1.212, 0.001)
	near(t, "needed", r.Voltage.NeedsHighV, 11.212, 0.001)
	near(t, "low", r.Hold.LowMin, 17.27*(1-0.7120/1.5), 0.02)
	near(t, "high", r.Hold.HighMin, 24.59*(1-math.Pow(0.7120/1.5, 2)), 0.03)
	if has(r.Findings, "reckoned-bare", finding.FindOut) {
		t.Error("a wire that is known is called unknown")
	}
	// The least battery, worked the other way: it holds 15 min and no less.
	k.Battery.RatedAh = ptr(unit.Round9(r.Least.HighAh))
	near(t, "the least battery", holdOf(k, ptr(unit.C(25))).LowMin, 15, 1e-6)
	k.Wire.Length, k.Wire.AWG = ptr(unit.FT(60)), ptr(18)
	if r := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(25))}); r.Least != nil || r.Hold.LowMin != 0 || r.Verdict != finding.NoGo {
		t.Errorf("a wire that loses everything: %v, %v", r.Hold, r.Least)
	}
}

// A pump of 30 A for 30 s, then 12 A. With k = 1.2 it takes 0.5/(17.27 x
// (12/30)^1.2) = 0.5/5.751 of the battery, so 0.5 + (1 - 0.0869) x 17.27 = 16.27
// min. Source: arithmetic, each phase its own part of the battery's life.
func TestHoldWithPump(t *testing.T) {
	k := kit()
	k.PumpCurrentA, k.PumpS = ptr(30.0), ptr(30.0)
	r := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(25))})
	near(t, "low", r.Hold.LowMin, 16.27, 0.01)
	near(t, "charge of a test", r.Recharge.UsedAh, 12*14.5/60+30*0.5/60, 1e-9)
	k.Battery.RatedAh = ptr(r.Least.HighAh)
	near(t, "the least battery", holdOf(k, ptr(unit.C(25))).LowMin, 15, 1e-6)
	k.Battery.ChargeA = ptr(2.0)
	near(t, "hours to recharge", Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(25))}).Recharge.HighH, 3.15*1.3/2, 1e-9)
}

// The curve is the hold at each temperature, and rises with it.
func TestHoldCurve(t *testing.T) {
	k := kit()
	r := Hold(HoldInput{Kit: &k})
	if len(r.Curve) != 15 || r.Hold != nil {
		t.Fatalf("%d points", len(r.Curve))
	}
	for i, p := range r.Curve {
		m := holdOf(k, ptr(unit.C(p.Celsius)))
		if p.LowMin != m.LowMin || p.HighMin != m.HighMin || p.Stretched != (p.Celsius < -3.9) {
			t.Errorf("%+v, want %v", p, m)
		}
		if i > 0 && (p.LowMin < r.Curve[i-1].LowMin || p.HighMin < r.Curve[i-1].HighMin) {
			t.Errorf("falls at %v °C", p.Celsius)
		}
	}
}

// A starting battery known by its reserve capacity, and one that has both
// ratings.
func TestHoldByReserve(t *testing.T) {
	k := kit()
	k.Battery = rig.StoredPower{ReserveMin: ptr(100.0), Chemistry: rig.Flooded}
	k.HoldCurrentA = ptr(25.0)
	m := holdOf(k, ptr(unit.C(25)))
	near(t, "low", m.LowMin, 100, 0.1) // the polynomial is 0.9995 at 25 °C
	near(t, "high", m.HighMin, 100, 0.1)
}

// An unknown kind of battery has the whole range of exponents, and what nobody
// looked at is said.
func TestHoldUnknowns(t *testing.T) {
	k := kit()
	known := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(20))})
	k.Battery.Chemistry = ""
	unknown := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(20))})
	if !(unknown.Hold.LowMin < known.Hold.LowMin && unknown.Hold.HighMin > known.Hold.HighMin) {
		t.Errorf("unknown %v is not wider than known %v", unknown.Hold, known.Hold)
	}
	if !has(unknown.Findings, "reckoned-new", finding.FindOut) {
		t.Error("nothing says that age and voltage are not known")
	}
	k.Battery.AgeYears, k.Battery.RestedV = ptr(6.0), ptr(13.4)
	r := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(20))})
	if !has(r.Findings, "old", finding.Mind) || !has(r.Findings, "not-rested", finding.FindOut) {
		t.Errorf("findings are %v", r.Findings)
	}
}

// The boundary of 15 minutes. Source: S.D. Codified Laws 32-18-17, "not less
// than".
func TestHoldBoundary(t *testing.T) {
	for _, c := range []struct {
		minutes float64
		verdict finding.Verdict
	}{{15, finding.OK}, {14.9, finding.NoGo}} {
		r := rig.Rig{Breakaway: rig.Breakaway{
			Fitted: ptr(true), LanyardOn: rig.Frame, SwitchOn: rig.Frame, PoweredFrom: rig.NoPowerNeeded, MeasuredHoldMin: ptr(c.minutes),
		}}
		if got := Check(rig.Input{Rig: &r}).Verdict; got != c.verdict {
			t.Errorf("%v min is %s, want %s", c.minutes, got, c.verdict)
		}
	}
}

func anyInput(t *rapid.T) HoldInput {
	maybe := func(name string, low, high float64) *float64 {
		if rapid.Bool().Draw(t, name+" known") {
			return ptr(rapid.Float64Range(low, high).Draw(t, name))
		}
		return nil
	}
	k := rig.Breakaway{HoldCurrentA: ptr(rapid.Float64Range(0.01, 100).Draw(t, "current"))}
	k.LeastV, k.CutOffV = maybe("least", 6, 13), maybe("cut-off", 6, 13)
	if rapid.Bool().Draw(t, "wired") {
		k.Wire = rig.Wire{AWG: ptr(rapid.IntRange(4, 22).Draw(t, "awg")), Length: ptr(unit.FT(float64(rapid.IntRange(1, 100).Draw(t, "feet"))))}
	}
	if rapid.Bool().Draw(t, "pumped") {
		k.PumpCurrentA, k.PumpS = ptr(min(200, *k.HoldCurrentA*rapid.Float64Range(1, 5).Draw(t, "pump"))), ptr(rapid.Float64Range(0, 600).Draw(t, "seconds"))
	}
	k.Battery = rig.StoredPower{
		RatedAh: ptr(rapid.Float64Range(0.5, 400).Draw(t, "ah")), RatedH: ptr(rapid.Float64Range(0.1, 100).Draw(t, "hours")),
		Chemistry: rig.Chemistry(rapid.SampledFrom([]string{"", "flooded", "gel", "agm"}).Draw(t, "kind")),
		RestedV:   maybe("volts", 0, 16), AgeYears: maybe("age", 0, 40),
	}
	return HoldInput{Kit: &k, Coldest: ptr(unit.F(float64(rapid.IntRange(-60, 140).Draw(t, "coldest"))))}
}

// within allows for the ninth digit, where both bands were rounded.
func within(a, b float64) bool { return a <= b*(1+1e-8) }

// Hold falls with current, cold and age, rises with charge, and is a band of
// finite numbers.
func TestHoldProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyInput(t)
		if err := in.Validate(); err != nil {
			t.Fatal(err)
		}
		m := holdOf(*in.Kit, in.Coldest)
		if m == nil || !(0 <= m.LowMin && m.LowMin <= m.HighMin) || math.IsInf(m.HighMin, 0) {
			t.Fatalf("band is %v", m)
		}
		falls := func(what string, k rig.Breakaway, coldest *unit.Temperature) {
			if w := holdOf(k, coldest); !within(w.LowMin, m.LowMin) || !within(w.HighMin, m.HighMin) {
				t.Fatalf("%s raises the hold from %v to %v", what, *m, *w)
			}
		}
		k := *in.Kit
		more := rapid.Float64Range(1, 3).Draw(t, "more current")
		k.HoldCurrentA = ptr(*k.HoldCurrentA * more)
		if k.PumpCurrentA != nil {
			k.PumpCurrentA = ptr(*k.PumpCurrentA * more)
		}
		falls("more current", k, in.Coldest)
		falls("colder", *in.Kit, ptr(unit.F(in.Coldest.Value()-float64(rapid.IntRange(0, 30).Draw(t, "colder")))))
		k = *in.Kit
		k.Battery.AgeYears = ptr(rapid.Float64Range(0, 10).Draw(t, "older"))
		if in.Kit.Battery.AgeYears != nil {
			*k.Battery.AgeYears += *in.Kit.Battery.AgeYears
		}
		falls("older", k, in.Coldest)
		if v := in.Kit.Battery.RestedV; v != nil && *v <= supply.TakenOffCharge {
			k = *in.Kit
			k.Battery.RestedV = ptr(*v * rapid.Float64Range(0.8, 1).Draw(t, "less charge"))
			falls("less charge", k, in.Coldest)
		}
	})
}

// FuzzHold: whatever the bytes, an input is refused or gives an answer that can
// be written.
func FuzzHold(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"kit":{}}`, `{"kit":{"hold_current_a":0}}`, `{"kit":{"battery":{"rated_ah":7,"rated_h":20},"hold_current_a":12},"coldest":{"c":0}}`,
		`{"kit":{"battery":{"rated_ah":7,"rated_h":20},"hold_current_a":12},"coldest":{"c":-80}}`,
		`{"kit":{"battery":{"rated_ah":400,"rated_h":100,"rested_v":0,"age_years":40},"hold_current_a":0.01},"coldest":{"f":-60}}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in HoldInput
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		r := Hold(in)
		if _, err := strictjson.Marshal(r); err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Curve {
			if !(0 <= p.LowMin && p.LowMin <= p.HighMin) {
				t.Fatalf("point %v", p)
			}
		}
		if r.Hold != nil && !(0 <= r.Hold.LowMin && r.Hold.LowMin <= r.Hold.HighMin) {
			t.Fatalf("band is %v", *r.Hold)
		}
	})
}

func TestValidate(t *testing.T) {
	for body, pointer := range map[string]string{
		`{}`:                                      "/kit",
		`{"kit":{"hold_current_a":0}}`:            "/kit/hold_current_a",
		`{"kit":{"pump_current_a":-3}}`:           "/kit/pump_current_a",
		`{"kit":{"wire":{"awg":40}}}`:             "/kit/wire/awg",
		`{"kit":{"battery":{"rated_ah":0}}}`:      "/kit/battery/rated_ah",
		`{"kit":{"battery":{"rated_ah":-7}}}`:     "/kit/battery/rated_ah",
		`{"kit":{},"coldest":{"c":-80}}`:          "/coldest",
		`{"kit":{"measured_on":"2026-02-30"}}`:    "/kit/measured_on",
		`{"kit":{"battery":{"chemistry":"wet"}}}`: "/kit/battery/chemistry",
	} {
		var in HoldInput
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}

// 20 A over 20 ft of 14 AWG, 2.525 ohm in 1,000 ft of solid copper, there and
// back: 2.02 V, which leaves 9.98 V of 12; a hold of 4 A leaves 11.6.
func TestPumpStarved(t *testing.T) {
	k := kit()
	k.HoldCurrentA, k.PumpCurrentA, k.PumpS, k.LeastV = ptr(4.0), ptr(20.0), ptr(5.0), ptr(10.5)
	k.Wire = rig.Wire{AWG: ptr(14), Conductor: rig.Solid, Length: ptr(unit.FT(20))}
	if r := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(25))}); r.Verdict != finding.FindOut || !has(r.Findings, "hold-pump", finding.FindOut) {
		t.Errorf("%s: %v", r.Verdict, r.Findings)
	}
	if _, _, ok := Band(k, ptr(unit.C(25))); ok {
		t.Error("a hold whose brakes may never come on is told to the law")
	}
	k.Wire.AWG = ptr(8)
	if r := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(25))}); has(r.Findings, "hold-pump", finding.FindOut) {
		t.Errorf("%v", r.Findings)
	}
}

// 7 Ah at 20 h and 115 min at 25 A, 47.9 Ah, are of two batteries.
func TestRatingsDiffer(t *testing.T) {
	k := kit()
	k.Battery.ReserveMin = ptr(115.0)
	if r := Hold(HoldInput{Kit: &k, Coldest: ptr(unit.C(25))}); !has(r.Findings, "ratings-differ", finding.FindOut) {
		t.Errorf("%v", r.Findings)
	}
}

// Two ways through the units give the same nine digits: 14 °F is -10 °C, 12.5 ft
// is 3.81 m.
func TestHoldSIEqualsUS(t *testing.T) {
	answer := func(long unit.Length, cold unit.Temperature) string {
		k := kit()
		k.LeastV, k.Wire = ptr(10.5), rig.Wire{AWG: ptr(12), Length: &long}
		r := Hold(HoldInput{Kit: &k, Coldest: &cold})
		r.Findings = nil // they show what was entered as it was entered
		b, err := strictjson.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if us, si := answer(unit.FT(12.5), unit.F(14)), answer(unit.M(3.81), unit.C(-10)); us != si {
		t.Errorf("US %s\nSI %s", us, si)
	}
}
