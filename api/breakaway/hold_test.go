package breakaway

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

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
		"OK":              {with(func(k *rig.Breakaway) { k.Battery.RatedAh = ptr(12.0) }), ptr(unit.C(0)), finding.OK, nil},
		"ErrShort":        {with(func(k *rig.Breakaway) { k.Battery.RatedAh = ptr(4.0) }), ptr(unit.C(0)), finding.NoGo, []string{"/breakaway/battery/rated_ah", "/breakaway/hold_current_a"}},
		"MindBeyondTable": {with(func(k *rig.Breakaway) { k.Battery.RatedAh = ptr(40.0) }), ptr(unit.C(-15)), finding.Mind, nil},
		"ErrNoRatedH":     {with(func(k *rig.Breakaway) { k.Battery.RatedH = nil }), ptr(unit.C(0)), finding.FindOut, []string{"/breakaway/battery/rated_h"}},
		"ErrNoAh":         {with(func(k *rig.Breakaway) { k.Battery.RatedAh = nil }), ptr(unit.C(0)), finding.FindOut, []string{"/breakaway/battery/rated_ah"}},
		"ErrNoCurrent":    {with(func(k *rig.Breakaway) { k.HoldCurrentA = nil }), ptr(unit.C(0)), finding.FindOut, []string{"/breakaway/hold_current_a"}},
		"ErrNoFigures":    {&rig.Breakaway{}, nil, finding.FindOut, []string{"/breakaway/battery/rated_ah", "/breakaway/battery/rated_h", "/breakaway/hold_current_a"}},
		"ErrNoColdest":    {with(func(*rig.Breakaway) {}), nil, finding.FindOut, nil},
		"ErrFlat":         {with(func(k *rig.Breakaway) { k.Battery.RestedV = ptr(10.0) }), ptr(unit.C(25)), finding.NoGo, []string{"/breakaway/battery/rated_ah", "/breakaway/hold_current_a"}},
		"ErrNoKit":        {with(func(k *rig.Breakaway) { k.Fitted = ptr(false) }), ptr(unit.C(25)), finding.FindOut, []string{"/breakaway/fitted"}},
		"ErrFromCab":      {with(func(k *rig.Breakaway) { k.PoweredFrom = rig.FromMotorhome }), ptr(unit.C(25)), finding.NoGo, []string{"/breakaway/powered_from"}},
		"ErrMechanical":   {with(func(k *rig.Breakaway) { k.PoweredFrom = rig.NoPowerNeeded }), ptr(unit.C(25)), finding.FindOut, []string{"/breakaway/measured_hold_min"}},
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
		k.HoldCurrentA = ptr(*k.HoldCurrentA * rapid.Float64Range(1, 3).Draw(t, "more current"))
		falls("more current", k, in.Coldest)
		falls("colder", *in.Kit, ptr(unit.F(in.Coldest.Value()-float64(rapid.IntRange(0, 30).Draw(t, "colder")))))
		k = *in.Kit
		k.Battery.AgeYears = ptr(rapid.Float64Range(0, 10).Draw(t, "older"))
		if in.Kit.Battery.AgeYears != nil {
			*k.Battery.AgeYears += *in.Kit.Battery.AgeYears
		}
		falls("older", k, in.Coldest)
		if v := in.Kit.Battery.RestedV; v != nil && *v <= takenOffCharge {
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
		if r.Hold != nil && !(0 <= r.Hold.LowMin && r.Hold.LowMin <= r.Hold.HighMin) {
			t.Fatalf("band is %v", *r.Hold)
		}
	})
}

func TestValidate(t *testing.T) {
	for body, pointer := range map[string]string{
		`{}`:                                      "/kit",
		`{"kit":{"hold_current_a":0}}`:            "/kit/hold_current_a",
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
