package brakes

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

// types are the columns of the judgments below.
var types = []rig.Actuation{
	rig.PortableInertia, rig.SignalTriggered, rig.OwnVacuum, rig.BuiltInElectric, rig.AirOnPedal, rig.AirBehindBooster, rig.HydraulicSensing, rig.SurgeOnCoupling,
}

// Each situation by itself, type by type: + suits or not touched, c only under a
// condition, o ruled out. The judgment is that of the trade reference the table
// was made from, written down here a second time; no published table is known.
func TestTableSays(t *testing.T) {
	for _, c := range []struct {
		fact fact
		is   string
		want string
	}{
		{motorhome, "air", "++++++o+"},
		{motorhome, "hydraulic", "++++oo++"},
		{motorhome, "air_over_hydraulic", "++++cco+"},
		{motorhome, "by_wire", "+c++ooo+"},
		{tapAllowed, "no", "++++ooo+"},
		{tapAllowed, "unknown", "++++ccc+"},
		{engineBrake, "yes", "cc+++++c"},
		{engineBrake, "lights_stop", "++cc++++"},
		{booster, "vacuum", "++++++++"},
		{booster, "vacuum_electric_pump", "cc+ccccc"},
		{booster, "hydroboost", "ccoc+ccc"},
		{booster, "electric", "cooccocc"},
		{booster, "none", "++o++c++"},
		{batteryOff, "off", "cccc++c+"},
		{cars, "many", "++ooc" + "ooc"},
		{cars, "one", "cc++++++"},
		{motorhomes, "many", "+cccoooc"},
		{carShare, "large", "+o++++++"},
		{carWeight, "light", "+c++++++"},
		{carWeight, "heavy", "co+++++c"},
		{terrain, "mountains", "cocc+++c"},
		{roughRoads, "yes", "c+cc+++c"},
		{carABS, "asleep", "+c++++++"},
		{always, "yes", "+c++++c+"},
	} {
		got := ""
		i := slices.IndexFunc(actuations().Rows, func(r row) bool { return r.Fact == c.fact && r.Is == c.is })
		if i < 0 {
			t.Errorf("the table has no row %s %s", c.fact, c.is)
			continue
		}
		for _, a := range types {
			switch fit, _, _ := actuations().Rows[i].cell(a); fit {
			case RuledOut:
				got += "o"
			case SuitsIf:
				got += "c"
			default:
				got += "+"
			}
		}
		if got != c.want {
			t.Errorf("%s %s: %s, want %s", c.fact, c.is, got, c.want)
		}
	}
}

// Every row is about a type and a fact that exist, and every reason has its
// sentence.
func TestTableIsWhole(t *testing.T) {
	catalogue := finding.Catalogue()
	for _, r := range actuations().Rows {
		for a, c := range r.Cells {
			if !slices.Contains(a.Values(), string(a)) || !slices.Contains(Fit("").Values(), c[0]) || Fit(c[0]) == NotKnown {
				t.Errorf("%s %s: %s %v", r.Fact, r.Is, a, c)
			}
			if id := reasonID(Fit(c[0]), c[1]); catalogue[id] == "" {
				t.Errorf("the catalogue lacks %s", id)
			}
			if Fit(c[0]) == RuledOut && r.Fact != always && r.Fact != tapAllowed && catalogue["brakes.unsettled."+string(r.Fact)] == "" {
				t.Errorf("the catalogue lacks brakes.unsettled.%s", r.Fact)
			}
		}
	}
	if n := len(actuations().Actuations); n != 9 {
		t.Errorf("%d types, want 9", n)
	}
}

func optionOf(t *testing.T, r ChoiceReport, a rig.Actuation) Option {
	t.Helper()
	i := slices.IndexFunc(r.Options, func(o Option) bool { return o.Actuation == a })
	if i < 0 {
		t.Fatalf("no %s", a)
	}
	return r.Options[i]
}

// planned is a rig of which everything the choice turns on is known.
func planned() ChoiceInput {
	r := sound()
	r.BrakeUnit = rig.BrakeUnit{}
	r.Towing.Actual.Weight, r.Towing.EngineBrake = ptr(unit.LB(20_000)), ptr(false)
	r.Towed.ABSAsleep = ptr(false)
	return ChoiceInput{Rig: &r, Cars: ptr(1), Motorhomes: ptr(1), Terrain: rig.Level, RoughRoads: ptr(false)}
}

func TestChoose(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*ChoiceInput)
		want   map[rig.Actuation]Fit
	}{
		"Hydraulic": {func(*ChoiceInput) {}, map[rig.Actuation]Fit{
			rig.OwnVacuum: Suits, rig.BuiltInElectric: Suits, rig.SurgeOnCoupling: Suits, rig.PortableInertia: SuitsIf, rig.SignalTriggered: SuitsIf,
			rig.AirOnPedal: RuledOut, rig.AirBehindBooster: RuledOut, rig.HydraulicSensing: SuitsIf, rig.CarByWire: RuledOut,
		}},
		"AirTapAllowed": {func(in *ChoiceInput) { in.Rig.Towing.BrakeKind, in.Rig.Towing.TapAllowed = rig.AirBrakes, ptr(true) }, map[rig.Actuation]Fit{
			rig.AirOnPedal: Suits, rig.AirBehindBooster: Suits, rig.HydraulicSensing: RuledOut,
		}},
		"AirTapRefused": {func(in *ChoiceInput) { in.Rig.Towing.BrakeKind, in.Rig.Towing.TapAllowed = rig.AirBrakes, ptr(false) }, map[rig.Actuation]Fit{
			rig.AirOnPedal: RuledOut, rig.AirBehindBooster: RuledOut, rig.HydraulicSensing: RuledOut, rig.OwnVacuum: Suits,
		}},
		"AirWithEngineBrake": {func(in *ChoiceInput) { in.Rig.Towing.BrakeKind, in.Rig.Towing.EngineBrake = rig.AirBrakes, nil }, map[rig.Actuation]Fit{
			rig.PortableInertia: SuitsIf, rig.SurgeOnCoupling: SuitsIf, rig.AirOnPedal: SuitsIf,
		}},
		"ElectricBooster": {func(in *ChoiceInput) { in.Rig.Towed.Booster = rig.ElectricBooster }, map[rig.Actuation]Fit{
			rig.SignalTriggered: RuledOut, rig.OwnVacuum: RuledOut, rig.AirBehindBooster: RuledOut, rig.PortableInertia: SuitsIf, rig.BuiltInElectric: SuitsIf,
		}},
		"BoosterUnknown": {func(in *ChoiceInput) { in.Rig.Towed.Booster = "" }, map[rig.Actuation]Fit{
			rig.OwnVacuum: NotKnown, rig.SignalTriggered: NotKnown, rig.SurgeOnCoupling: Suits, rig.AirOnPedal: RuledOut,
		}},
		"BatteryOff":    {func(in *ChoiceInput) { in.Rig.Towed.Battery = rig.BatteryDisconnected }, map[rig.Actuation]Fit{rig.OwnVacuum: SuitsIf, rig.SurgeOnCoupling: Suits}},
		"TwoCars":       {func(in *ChoiceInput) { in.Cars = ptr(2) }, map[rig.Actuation]Fit{rig.OwnVacuum: RuledOut, rig.PortableInertia: Suits, rig.SurgeOnCoupling: SuitsIf}},
		"Mountains":     {func(in *ChoiceInput) { in.Terrain = rig.Mountains }, map[rig.Actuation]Fit{rig.SignalTriggered: RuledOut, rig.OwnVacuum: SuitsIf}},
		"TerrainUntold": {func(in *ChoiceInput) { in.Terrain = "" }, map[rig.Actuation]Fit{rig.SignalTriggered: SuitsIf, rig.OwnVacuum: Suits}},
		// 4,000 lb behind 12,000 lb is 25 % exactly; behind 12,001 lb it is less.
		"LargeShare":    {func(in *ChoiceInput) { in.Rig.Towing.Actual.Weight = ptr(unit.LB(12_000)) }, map[rig.Actuation]Fit{rig.SignalTriggered: RuledOut}},
		"NotLargeShare": {func(in *ChoiceInput) { in.Rig.Towing.Actual.Weight = ptr(unit.LB(12_001)) }, map[rig.Actuation]Fit{rig.SignalTriggered: SuitsIf}},
		"Heavy":         {func(in *ChoiceInput) { in.Rig.Towed.Actual.Weight = ptr(unit.LB(5_001)) }, map[rig.Actuation]Fit{rig.SignalTriggered: RuledOut, rig.PortableInertia: SuitsIf}},
	} {
		t.Run(name, func(t *testing.T) {
			in := planned()
			c.change(&in)
			report := Choose(in)
			for a, want := range c.want {
				if o := optionOf(t, report, a); o.Fit != want {
					t.Errorf("%s is %s, want %s: %v", a, o.Fit, want, o.Reasons)
				}
			}
		})
	}
}

func TestChoiceContradictions(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(*ChoiceInput)
		id      string
		is      finding.Verdict // empty: absent
		verdict finding.Verdict
	}{
		"OK":             {func(*ChoiceInput) {}, "choice", finding.OK, finding.OK},
		"BoosterUnknown": {func(in *ChoiceInput) { in.Rig.Towed.Booster = "" }, "choice", finding.FindOut, finding.FindOut},
		"UnitOnDeadCable": {func(in *ChoiceInput) {
			in.Rig.Towed.Battery, in.Rig.BrakeUnit.PoweredFrom = rig.BatteryDisconnected, rig.FromCarBattery
		}, "power", finding.NoGo, finding.NoGo},
		"KitOnDeadCable": {func(in *ChoiceInput) {
			in.Rig.Towed.Battery, in.Rig.Breakaway.PoweredFrom = rig.BatteryDisconnected, rig.FromCarBattery
		}, "breakaway", finding.NoGo, finding.NoGo},
		"KitFromCab": {func(in *ChoiceInput) { in.Rig.Breakaway.PoweredFrom = rig.FromMotorhome }, "breakaway", finding.NoGo, finding.NoGo},
		"NoKit":      {func(in *ChoiceInput) { in.Rig.Breakaway.Fitted = ptr(false) }, "breakaway", finding.Mind, finding.OK},
		"ChargeLineLive": {func(in *ChoiceInput) {
			in.Rig.Towed.Battery, in.Rig.Harness.ChargeLine = rig.BatteryDisconnected, rig.ChargeLine{Fitted: ptr(true), To: rig.ToCarBattery}
		}, "charge-line", finding.NoGo, finding.NoGo},
		"ChargeLineFuseOut": {func(in *ChoiceInput) {
			in.Rig.Towed.Battery, in.Rig.Harness.ChargeLine = rig.FuseRemoved, rig.ChargeLine{Fitted: ptr(true), To: rig.ToCarBattery}
		}, "charge-line", "", finding.OK},
		"Priority": {func(in *ChoiceInput) {
			in.Rig.BrakeUnit.Actuation, in.Rig.Towed.RearLamps = rig.PortableInertia, rig.CombinedLamps
			in.Rig.Harness = rig.Harness{Approach: rig.SteeringDiodes, CarStopLampsLive: ptr(true), StopSwitchInterrupted: ptr(false)}
		}, "priority", finding.NoGo, finding.NoGo},
		"PriorityOpen": {func(in *ChoiceInput) {
			in.Rig.BrakeUnit.Actuation, in.Rig.Towed.RearLamps = rig.PortableInertia, rig.CombinedLamps
			in.Rig.Harness = rig.Harness{Approach: rig.SteeringDiodes, CarStopLampsLive: ptr(true)}
		}, "priority", finding.FindOut, finding.OK},
		"Interrupted": {func(in *ChoiceInput) {
			in.Rig.BrakeUnit.Actuation, in.Rig.Towed.RearLamps = rig.PortableInertia, rig.CombinedLamps
			in.Rig.Harness = rig.Harness{Approach: rig.SteeringDiodes, CarStopLampsLive: ptr(true), StopSwitchInterrupted: ptr(true)}
		}, "interrupter", finding.Mind, finding.OK},
		"BlindMonitor": {func(in *ChoiceInput) {
			in.Rig.BrakeUnit.Actuation, in.Rig.BrakeUnit.MonitorTap, in.Rig.Harness.StopSwitchInterrupted = rig.PortableInertia, rig.TapStopLamp, ptr(true)
		}, "monitor-tap", finding.Mind, finding.Mind},
		"Controller": {func(in *ChoiceInput) {
			in.Rig.BrakeUnit.Actuation, in.Rig.BrakeUnit.Controller = rig.PortableInertia, rig.FollowsBrakes
		}, "controller", finding.FindOut, finding.FindOut},
		"Asleep":    {func(in *ChoiceInput) { in.Rig.Towed.ABSAsleep = ptr(true) }, "abs", finding.Mind, finding.OK},
		"FittedOut": {func(in *ChoiceInput) { in.Rig.BrakeUnit.Actuation = rig.AirOnPedal }, "choice-fitted", finding.NoGo, finding.NoGo},
		"SmallCar":  {func(in *ChoiceInput) { in.Rig.Towing.Actual.Weight = ptr(unit.LB(26_000)) }, "small-car", finding.Mind, finding.OK},
	} {
		t.Run(name, func(t *testing.T) {
			in := planned()
			c.change(&in)
			report := Choose(in)
			i := slices.IndexFunc(report.Findings, func(f finding.Finding) bool { return f.ID == "brakes."+c.id })
			if (i >= 0) != (c.is != "") || i >= 0 && report.Findings[i].Verdict != c.is {
				t.Errorf("want %s to be %q in %v", c.id, c.is, report.Findings)
			}
			if report.Verdict != c.verdict {
				t.Errorf("verdict %s, want %s", report.Verdict, c.verdict)
			}
		})
	}
}

// Where the cab monitor may be tapped, worked out from what each place sees.
func TestMonitorPlaces(t *testing.T) {
	for name, c := range map[string]struct {
		rig  rig.Rig
		want string // brake_unit, pedal_switch, stop_switch, stop_lamp
	}{
		"Separate":    {rig.Rig{Harness: rig.Harness{Approach: rig.SeparateBulbs, CarStopLampsLive: ptr(true), StopSwitchInterrupted: ptr(false)}}, "suits suits suits_if suits_if"},
		"Diodes":      {rig.Rig{Harness: rig.Harness{Approach: rig.SteeringDiodes, CarStopLampsLive: ptr(true), StopSwitchInterrupted: ptr(false)}}, "suits suits suits_if ruled_out"},
		"Interrupted": {rig.Rig{Harness: rig.Harness{Approach: rig.SeparateBulbs, CarStopLampsLive: ptr(true), StopSwitchInterrupted: ptr(true)}}, "suits suits suits_if ruled_out"},
		"Off":         {rig.Rig{Towed: rig.Towed{Battery: rig.BatteryDisconnected}}, "suits suits ruled_out ruled_out"},
		"PedalStill":  {rig.Rig{BrakeUnit: rig.BrakeUnit{Actuation: rig.AirBehindBooster}}, "suits ruled_out ruled_out ruled_out"},
		"Nothing":     {rig.Rig{}, "suits suits suits_if not_known"},
	} {
		t.Run(name, func(t *testing.T) {
			var got []string
			for _, p := range monitorPlaces(c.rig) {
				got = append(got, string(p.Fit))
			}
			if strings.Join(got, " ") != c.want {
				t.Errorf("got %v, want %s", got, c.want)
			}
		})
	}
}

// 49 CFR 393.48(d): a surge brake behind 6,000 lb serves up to 10,500 lb; behind
// 15,000 lb up to 18,750 lb; 11,500 lb needs 6,571.4 lb in front.
func TestSurgeRatio(t *testing.T) {
	for _, c := range []struct{ towing, most float64 }{{6_000, 10_500}, {15_000, 18_750}, {6_571.43, 11_500}, {20_000, 20_000}, {8_000, 12_000}} {
		if got := surgeMostLB(c.towing); got < c.most-0.1 || got > c.most+0.1 {
			t.Errorf("%v lb: %v, want %v", c.towing, got, c.most)
		}
	}
}

func TestSetUpTests(t *testing.T) {
	surge := SetUp(rig.Rig{BrakeUnit: rig.BrakeUnit{Actuation: rig.SurgeOnCoupling}, Towed: rig.Towed{Booster: rig.VacuumBooster}})
	var ids []string
	for _, s := range surge {
		ids = append(ids, s.ID)
	}
	if want := []string{"assist", "breakaway", "stop", "repeat", "engine_brake", "hubs", "poor_surface"}; !slices.Equal(ids, want) {
		t.Errorf("surge: %v, want %v", ids, want)
	}
	no := false
	if without := SetUp(rig.Rig{Breakaway: rig.Breakaway{Fitted: &no}}); slices.ContainsFunc(without, func(s SetUpStep) bool { return s.ID == "breakaway" }) {
		t.Error("the pin of a kit that is not there is to be pulled")
	}
	if n := len(SetUp(rig.Rig{})); n != len(setUpIDs) {
		t.Errorf("%d tests for a unit of which nothing is known, want all %d", n, len(setUpIDs))
	}
}

// Whatever is known, every type is judged, worst reasons first, and a fact more
// that rules nothing out never rules anything out.
func TestChooseProperties(t *testing.T) {
	oneOf := func(t *rapid.T, name string, values []string) string {
		return rapid.SampledFrom(append([]string{""}, values...)).Draw(t, name)
	}
	maybe := func(t *rapid.T, name string) *bool {
		return rapid.SampledFrom([]*bool{nil, ptr(true), ptr(false)}).Draw(t, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		r := &rig.Rig{}
		r.Towing.BrakeKind = rig.BrakeKind(oneOf(t, "brakes", rig.BrakeKind("").Values()))
		r.Towing.TapAllowed, r.Towing.EngineBrake = maybe(t, "tap"), maybe(t, "engine brake")
		r.Towed.Booster = rig.Booster(oneOf(t, "booster", rig.Booster("").Values()))
		r.Towed.Battery = rig.BatteryState(oneOf(t, "battery", rig.BatteryState("").Values()))
		r.Towed.ABSAsleep = maybe(t, "abs")
		r.BrakeUnit.Actuation = rig.Actuation(oneOf(t, "fitted", rig.Actuation("").Values()))
		r.Harness.Approach = rig.Approach(oneOf(t, "approach", rig.Approach("").Values()))
		if rapid.Bool().Draw(t, "weighed") {
			r.Towed.Actual.Weight = ptr(unit.LB(float64(rapid.IntRange(400, 20_000).Draw(t, "car"))))
			r.Towing.Actual.Weight = ptr(unit.LB(float64(rapid.IntRange(2_000, 60_000).Draw(t, "motorhome"))))
		}
		report := Choose(ChoiceInput{Rig: r, Terrain: rig.Terrain(oneOf(t, "terrain", rig.Terrain("").Values())), RoughRoads: maybe(t, "rough")})
		if len(report.Options) != 9 {
			t.Fatalf("%d options", len(report.Options))
		}
		r.BrakeUnit.Fitted, r.BrakeUnit.PoweredFrom = ptr(true), rig.PowerSource(oneOf(t, "power", rig.PowerSource("").Values()))
		for _, f := range append(report.Findings, Check(rig.Input{Rig: r}).Findings...) {
			if f.Verdict == finding.NoGo && f.Remedy == nil {
				t.Fatalf("%s forbids and does not say what to do", f.ID)
			}
		}
		last := -1
		for _, o := range report.Options {
			if o.Fit.rank() < last || len(o.Reasons) == 0 || o.Reasons[0].Fit != o.Fit {
				t.Fatalf("%s is %s with %v", o.Actuation, o.Fit, o.Reasons)
			}
			last = o.Fit.rank()
			for _, reason := range o.Reasons {
				if reason.Says.Sentence == reason.Says.ID || (reason.Fit == NotKnown) != (reason.Fields != nil && reason.Fit != SuitsIf) {
					t.Fatalf("reason %v", reason)
				}
			}
		}
		// Consent given is never worse than consent refused.
		allowed := *r
		allowed.Towing.TapAllowed = ptr(true)
		better := Choose(ChoiceInput{Rig: &allowed})
		refused := *r
		refused.Towing.TapAllowed = ptr(false)
		for _, o := range Choose(ChoiceInput{Rig: &refused}).Options {
			i := slices.IndexFunc(better.Options, func(b Option) bool { return b.Actuation == o.Actuation })
			if better.Options[i].Fit.rank() > o.Fit.rank() {
				t.Fatalf("%s: consent makes it %s from %s", o.Actuation, better.Options[i].Fit, o.Fit)
			}
		}
	})
}

func TestChoiceInputRefused(t *testing.T) {
	for body, pointer := range map[string]string{
		`{}`:                                   "/rig",
		`{"rig":{},"cars":0}`:                  "/cars",
		`{"rig":{},"terrain":"alps"}`:          "/terrain",
		`{"rig":{"brake_unit":{"work_a":-1}}}`: "/rig/brake_unit/work_a",
		`{"rig":{"towed":{"actual":{"weight":{"lb":0}}}}}`: "/rig/towed/actual/weight",
	} {
		var in ChoiceInput
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}

func BenchmarkChoose(b *testing.B) {
	in := planned()
	b.ReportAllocs()
	for b.Loop() {
		Choose(in)
	}
}
