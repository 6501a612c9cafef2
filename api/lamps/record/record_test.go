package record_test

import (
	"slices"
	"testing"

	"pintail/api/lamps/lighttest"
	"pintail/api/lamps/record"
	"pintail/api/lamps/survey"
	"pintail/api/lamps/trace"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

func yes() *bool { t := true; return &t }

func pair() rig.Rig {
	var r rig.Rig
	r.Towing.Description, r.Towed.Description = "Ostrevan 34", "Kibbit 4x4"
	r.Towed.RearLamps = rig.CombinedLamps
	r.Harness.Signals, r.Harness.Approach = rig.CombinedSignals, rig.SteeringDiodes
	r.Harness.Feeds = rig.Feeds{Tail: yes(), Left: yes(), Right: yes(), Ground: yes()}
	ohm := 0.2
	r.Towing.Circuits.Left.Ohm = &ohm
	return r
}

// seen is what a watcher sees of a sound harness.
func seen(r rig.Rig) trace.Evidence {
	var e trace.Evidence
	for _, s := range lighttest.Make(lighttest.Input{Rig: &r}).Steps {
		for _, l := range s.Expect[0].Lamps {
			if !l.Hidden {
				e.Pictures = append(e.Pictures, trace.Picture{Step: s.Step, Lamp: l.Lamp, Glow: l.Glow, Pattern: l.Pattern, Phase: l.Phase})
			}
		}
	}
	return e
}

func mustMake(t *testing.T, r rig.Rig, rec record.Record) record.Report {
	t.Helper()
	if rec.At == "" {
		rec.At = "2026-05-02T08:12:00-06:00"
	}
	in := record.Input{Rig: &r, Record: &rec}
	if err := in.Validate(); err != nil {
		t.Fatal(err)
	}
	return record.Make(in)
}

func TestLightTestJudged(t *testing.T) {
	r := pair()
	at := func(e *trace.Evidence, step wiring.Step, lamp string) *trace.Picture {
		i := slices.IndexFunc(e.Pictures, func(p trace.Picture) bool { return p.Step == step && p.Lamp == lamp })
		if i < 0 {
			t.Fatalf("no %s in %s", lamp, step)
		}
		return &e.Pictures[i]
	}
	for _, c := range []struct {
		name   string
		change func(*trace.Evidence)
		want   record.Result
		lamps  []string
	}{
		{"OK", func(*trace.Evidence) {}, record.Passed, nil},
		{"a dark stop lamp", func(e *trace.Evidence) {
			*at(e, wiring.StepBrake, "stop_left") = trace.Picture{Step: wiring.StepBrake, Lamp: "stop_left", Glow: wiring.IsDark}
		}, record.Wrong, []string{"stop_left"}},
		// Common practice of the trade: nothing flashes on the other side, not even faintly.
		{"a faint flash on the other side", func(e *trace.Evidence) { at(e, wiring.StepLeft, "stop_right").Glow = wiring.IsFaint }, record.Wrong, []string{"stop_right"}},
		// Eyes compare; absolute words are weak: a sound lamp behind a silicon diode gives 52 to 79 %.
		{"dim for full", func(e *trace.Evidence) { at(e, wiring.StepBrake, "stop_left").Glow = wiring.IsDim }, record.Passed, nil},
		{"a glow for full", func(e *trace.Evidence) { at(e, wiring.StepBrake, "stop_left").Glow = wiring.IsGlow }, record.Wrong, []string{"stop_left"}},
		{"steady for flashing", func(e *trace.Evidence) { p := at(e, wiring.StepLeft, "stop_left"); p.Pattern, p.Phase = "steady", "" }, record.Wrong, []string{"stop_left"}},
		{"a lamp that is always doubtful", func(e *trace.Evidence) {
			for i := range e.Pictures {
				if p := &e.Pictures[i]; p.Lamp == "stop_left" {
					p.Glow, p.Pattern, p.Phase, p.Trust = wiring.IsDark, "", "", trace.Doubtful
				}
			}
		}, record.Open, nil},
		{"nothing seen", func(e *trace.Evidence) { e.Pictures = nil }, record.Open, nil},
		{"left much brighter", func(e *trace.Evidence) {
			e.Comparisons = []trace.Comparison{{Step: wiring.StepBrake, Lamp: "stop", Brighter: trace.LeftBrighter}}
		}, record.Wrong, []string{"stop_right"}},
		{"alike", func(e *trace.Evidence) {
			e.Comparisons = []trace.Comparison{{Step: wiring.StepBrake, Lamp: "stop", Brighter: trace.Alike}}
		}, record.Passed, nil},
		// Common practice of the trade: either of hazard and brake passes until recorded.
		{"hazard loses to brake", func(e *trace.Evidence) {
			for _, lamp := range []string{"stop_left", "stop_right"} {
				p := at(e, wiring.StepHazardBrake, lamp)
				p.Pattern, p.Phase = "steady", ""
			}
		}, record.Passed, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := seen(r)
			c.change(&e)
			got := mustMake(t, r, record.Record{Kind: record.LightTest, Evidence: e})
			if got.Record.Result != c.want || !slices.Equal(got.Record.NotShown, c.lamps) {
				t.Errorf("%s %v, want %s %v (missing %v)", got.Record.Result, got.Record.NotShown, c.want, c.lamps, got.Missing)
			}
		})
	}
}

func TestBenchJudged(t *testing.T) {
	r := pair()
	want := lighttest.Make(lighttest.Input{Rig: &r, By: lighttest.OnBench}).Bench
	sound := func() *record.BenchSeen {
		b := &record.BenchSeen{}
		for _, p := range want.Pins {
			a := -p.A // a clamp turned round
			s := record.BenchPinSeen{Pin: p.Pin, A: &a}
			for _, l := range p.Lamps {
				v := l.V
				s.Lamps = append(s.Lamps, record.LampSeen{Lamp: l.Lamp, V: &v})
			}
			b.Pins = append(b.Pins, s)
		}
		for _, f := range want.Back {
			s := record.BackFeedSeen{Switch: f.Switch}
			for _, p := range f.Pins {
				v := 0.01
				s.Pins = append(s.Pins, record.PinSeen{Pin: p.Pin, V: &v})
			}
			b.Back = append(b.Back, s)
		}
		return b
	}
	fed, none, dropped := 9.8, 0.0, 1.4
	for _, c := range []struct {
		name   string
		change func(*record.BenchSeen)
		want   record.Result
		wrong  []string
	}{
		{"OK", func(*record.BenchSeen) {}, record.Passed, nil},
		{"no current", func(b *record.BenchSeen) { b.Pins[1].A = &none }, record.Wrong, []string{"left"}},
		{"volts lost on the way back", func(b *record.BenchSeen) { b.Pins[0].GroundDropV = &dropped }, record.Wrong, []string{"tail"}},
		{"the car feeds a pin", func(b *record.BenchSeen) { b.Back[0].Pins[2].V = &fed }, record.Wrong, []string{"right"}},
		{"back-feed not tried", func(b *record.BenchSeen) { b.Back = nil }, record.Open, nil},
		{"nothing measured", func(b *record.BenchSeen) { *b = record.BenchSeen{} }, record.Open, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := sound()
			c.change(b)
			got := mustMake(t, r, record.Record{Kind: record.Bench, Bench: b}).Record
			if got.Result != c.want || !slices.Equal(got.NotShown, c.wrong) {
				t.Errorf("%s %v, want %s %v", got.Result, got.NotShown, c.want, c.wrong)
			}
		})
	}
}

// Changing one part of the rig ends exactly the tests that hang on it.
func TestChanged(t *testing.T) {
	ohm, other, awg := 0.2, 0.9, 14
	no := false
	for _, c := range []struct {
		name   string
		change func(*rig.Rig)
		want   map[record.Kind][]string
	}{
		{"nothing", func(*rig.Rig) {}, nil},
		{"a repair in the motorhome", func(r *rig.Rig) { r.Towing.Circuits.Left.Ohm = &other },
			map[record.Kind][]string{record.LightTest: {"/towing/circuits/left/ohm"}, record.SocketSurvey: {"/towing/circuits/left/ohm"}}},
		{"another motorhome", func(r *rig.Rig) { r.Towing.Description = "Ambleford" },
			map[record.Kind][]string{record.LightTest: {"/towing/description"}, record.SocketSurvey: {"/towing/description"}}},
		{"another car", func(r *rig.Rig) { r.Towed.Description = "Tavvy" },
			map[record.Kind][]string{record.LightTest: {"/towed/description"}, record.Bench: {"/towed/description"}, record.LampSurvey: {"/towed/description"}}},
		{"diodes of another kind", func(r *rig.Rig) { r.Harness.Diodes.Kind = rig.Schottky },
			map[record.Kind][]string{record.LightTest: {"/harness/diodes/kind"}, record.Bench: {"/harness/diodes/kind"}}},
		{"a tail feed taken out", func(r *rig.Rig) { r.Harness.Feeds.Tail = &no },
			map[record.Kind][]string{record.LightTest: {"/harness/feeds/tail"}, record.Bench: {"/harness/feeds/tail"}}},
		{"signals of another kind", func(r *rig.Rig) { r.Harness.Signals = rig.SeparateSignals },
			map[record.Kind][]string{record.LightTest: {"/harness/signals"}, record.Bench: {"/harness/signals"}, record.SocketSurvey: {"/harness/signals"}}},
		{"signals that nobody records any more", func(r *rig.Rig) { r.Harness.Signals = "" },
			map[record.Kind][]string{record.LightTest: {"/harness/signals"}, record.Bench: {"/harness/signals"}, record.SocketSurvey: {"/harness/signals"}}},
		{"a figure that was typical is learned", func(r *rig.Rig) { r.Harness.CarWire.AWG = &awg }, nil},
		{"the supply of the day", func(r *rig.Rig) { v := 14.1; r.Towing.Circuits.SupplyV = &v }, nil},
		{"a choice that was taken for granted is confirmed", func(r *rig.Rig) { r.Harness.FarSideJumper = yes() }, nil},
		{"the car's weight", func(r *rig.Rig) { r.Towed.Booster = rig.VacuumBooster }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			was, is := pair(), pair()
			was.Towing.Circuits.Left.Ohm = &ohm
			c.change(&is)
			for _, name := range record.Kind("").Values() {
				rec := mustMake(t, was, record.Record{Kind: record.Kind(name)}).Record
				changed := rec.Changed(is)
				if !slices.Equal(changed, c.want[rec.Kind]) {
					t.Errorf("%s: changed %v, want %v", name, changed, c.want[rec.Kind])
				}
			}
		})
	}
}

func TestDay(t *testing.T) {
	// Late in the evening in Utah it is the next day in Greenwich.
	rec := record.Record{At: "2026-05-02T23:30:00-06:00"}
	if rec.Day() != "2026-05-02" {
		t.Errorf("day %s", rec.Day())
	}
}

func TestBadRecords(t *testing.T) {
	r := pair()
	many := make([]trace.Picture, 401)
	for i := range many {
		many[i] = trace.Picture{Step: wiring.StepTail, Lamp: "tail_left"}
	}
	volts := 400.0
	for name, c := range map[string]struct {
		rec  record.Record
		want string
	}{
		"ErrNoKind":       {record.Record{At: "2026-05-02T08:12:00Z"}, "/record/kind"},
		"ErrNoTime":       {record.Record{Kind: record.LightTest}, "/record/at"},
		"ErrNoOffset":     {record.Record{Kind: record.LightTest, At: "2026-05-02T08:12:00"}, "/record/at"},
		"ErrYear":         {record.Record{Kind: record.LightTest, At: "0001-05-02T08:12:00Z"}, "/record/at"},
		"ErrNoSuchLamp":   {record.Record{Kind: record.LightTest, At: "2026-05-02T08:12:00Z", Evidence: trace.Evidence{Pictures: []trace.Picture{{Step: wiring.StepTail, Lamp: "bow"}}}}, "/record/pictures/0/lamp"},
		"ErrManyPictures": {record.Record{Kind: record.LightTest, At: "2026-05-02T08:12:00Z", Evidence: trace.Evidence{Pictures: many}}, "/record/pictures"},
		"Err400Volts":     {record.Record{Kind: record.Bench, At: "2026-05-02T08:12:00Z", Bench: &record.BenchSeen{Pins: []record.BenchPinSeen{{Pin: "left", GroundDropV: &volts}}}}, "/record/bench/pins/0/ground_drop_v"},
	} {
		t.Run(name, func(t *testing.T) {
			err := record.Input{Rig: &r, Record: &c.rec}.Validate()
			if err == nil || err.Problems[0].Pointer != c.want {
				t.Errorf("%v, want a problem at %s", err, c.want)
			}
		})
	}
}

// A survey stands after what it found was entered; it ends when the motorhome is
// another.
func TestSurveyStands(t *testing.T) {
	was := pair()
	was.Harness.Signals = rig.SeparateSignals // as somebody thought
	open, loaded, running := 13.5, 12.9, true
	socket := &survey.Socket{Readings: []survey.SocketReading{
		{Pin: survey.LeftPin, State: survey.Left, Engine: &running, OpenV: &open, LoadedV: &loaded},
		{Pin: survey.LeftPin, State: survey.Brake, Engine: &running, OpenV: &open, LoadedV: &loaded},
	}}
	rec := mustMake(t, was, record.Record{Kind: record.SocketSurvey, Socket: socket}).Record
	if rec.Result != record.Open || len(rec.Gives) == 0 {
		t.Fatalf("%s, gives %v", rec.Result, rec.Gives)
	}
	is := was
	is.Harness.Signals = rig.CombinedSignals
	for _, v := range rec.Gives {
		if v.Field == "/towing/circuits/left/ohm" {
			is.Towing.Circuits.Left.Ohm = v.Number
		}
	}
	if changed := rec.Changed(is); changed != nil {
		t.Errorf("what the survey gave ends it: %v", changed)
	}
	is.Towing.Description = "Ambleford"
	if changed := rec.Changed(is); !slices.Equal(changed, []string{"/towing/description"}) {
		t.Errorf("changed %v", changed)
	}
	nothing := mustMake(t, was, record.Record{Kind: record.LampSurvey}).Record
	if nothing.Result != record.Open {
		t.Errorf("nothing measured is %s", nothing.Result)
	}
}
