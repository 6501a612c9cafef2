package lamps

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

func ptr[T any](v T) *T { return &v }

var yes, no = ptr(true), ptr(false)

// wired is a rig whose every feed, ground and lamp is recorded as there: combined
// signals through steering diodes into a car with combined lamps.
func wired() rig.Rig {
	pair := rig.Pair{Left: yes, Right: yes}
	return rig.Rig{
		Towed: rig.Towed{RearLamps: rig.CombinedLamps},
		Harness: rig.Harness{
			Signals: rig.CombinedSignals, Approach: rig.SteeringDiodes, Converter: rig.NoConverter,
			Feeds: rig.Feeds{Tail: yes, Left: yes, Right: yes, Brake: no, Ground: yes},
			Lamps: rig.LampSet{Tail: pair, Stop: pair, Turn: pair, Plate: yes, Reflectors: ptr(2)},
		},
	}
}

func with(change func(*rig.Rig)) rig.Rig {
	r := wired()
	change(&r)
	return r
}

// show writes a count as tail, stop and turn, "?" where it is not known.
func show(c Count) string {
	one := func(n *int) string {
		if n == nil {
			return "?"
		}
		return string(rune('0' + *n))
	}
	return one(c.Tail) + one(c.Stop) + one(c.Turn)
}

// What each arrangement of signals, converter and lamps lights. Source: the
// truth table of combined and separate systems, and solved circuits for the
// spliced harness (left turn flashes both sides) and the missing converter.
func TestLit(t *testing.T) {
	separate := func(r *rig.Rig) { r.Harness.Signals, r.Harness.Feeds.Brake = rig.SeparateSignals, yes }
	amber := func(r *rig.Rig) { r.Towed.RearLamps = rig.AmberTurn }
	for name, c := range map[string]struct {
		rig  rig.Rig
		want string
	}{
		"combined on combined":                      {wired(), "222"},
		"combined on combined, converter unknown":   {with(func(r *rig.Rig) { r.Harness.Converter = "" }), "222"},
		"combined on red lamps of a separate car":   {with(func(r *rig.Rig) { amber(r); r.Harness.Lamps.Turn = rig.Pair{Left: no, Right: no} }), "222"},
		"combined on a separate car, none known":    {with(func(r *rig.Rig) { amber(r); r.Harness.Converter = "" }), "2??"},
		"combined split for a separate car":         {with(func(r *rig.Rig) { amber(r); r.Harness.Converter = rig.SeparatesSignals }), "222"},
		"split needs both feeds for stop":           {with(func(r *rig.Rig) { amber(r); r.Harness.Converter, r.Harness.Feeds.Right = rig.SeparatesSignals, no }), "201"},
		"split into combined lamps":                 {with(func(r *rig.Rig) { r.Harness.Converter = rig.SeparatesSignals }), "2??"},
		"combining converter on combined signals":   {with(func(r *rig.Rig) { r.Harness.Converter = rig.CombinesSignals }), "2??"},
		"separate on separate":                      {with(func(r *rig.Rig) { separate(r); amber(r) }), "222"},
		"separate on separate, no brake feed":       {with(func(r *rig.Rig) { separate(r); amber(r); r.Harness.Feeds.Brake = no }), "202"},
		"separate on separate, ambers not wired":    {with(func(r *rig.Rig) { separate(r); amber(r); r.Harness.Lamps.Turn = rig.Pair{Left: no, Right: no} }), "220"},
		"separate merged for combined":              {with(func(r *rig.Rig) { separate(r); r.Harness.Converter = rig.CombinesSignals }), "222"},
		"separate on combined, no converter":        {with(separate), "220"},
		"the same without the brake feed":           {with(func(r *rig.Rig) { separate(r); r.Harness.Feeds.Brake = no }), "202"},
		"the same, brake feed unknown":              {with(func(r *rig.Rig) { separate(r); r.Harness.Feeds.Brake = nil }), "2??"},
		"separate on combined, converter unknown":   {with(func(r *rig.Rig) { separate(r); r.Harness.Converter = "" }), "2??"},
		"separate, lamps of the car unknown":        {with(func(r *rig.Rig) { separate(r); r.Towed.RearLamps = "" }), "2??"},
		"added bulbs do not care about the car":     {with(func(r *rig.Rig) { separate(r); r.Harness.Approach = rig.SeparateBulbs }), "222"},
		"removable lamps do not care about the car": {with(func(r *rig.Rig) { r.Towed.RearLamps, r.Harness.Approach = "", rig.RemovableLamps }), "222"},
		"signals unknown":                           {with(func(r *rig.Rig) { r.Harness.Signals = "" }), "2??"},
		"no ground recorded proves nothing":         {with(func(r *rig.Rig) { r.Harness.Feeds.Ground = nil }), "???"},
		"no ground conductor proves nothing":        {with(func(r *rig.Rig) { r.Harness.Feeds.Ground = no }), "???"},
		"dark without ground is still dark":         {with(func(r *rig.Rig) { r.Harness.Feeds.Ground, r.Harness.Feeds.Tail = no, no }), "0??"},
		"no tail feed":                              {with(func(r *rig.Rig) { r.Harness.Feeds.Tail = no }), "022"},
		"left feed missing":                         {with(func(r *rig.Rig) { r.Harness.Feeds.Left = no }), "211"},
		"right tail not connected":                  {with(func(r *rig.Rig) { r.Harness.Lamps.Tail.Right = no }), "122"},
		"left stop not known":                       {with(func(r *rig.Rig) { r.Harness.Lamps.Stop.Left = nil }), "2?2"},
		"spliced on a combined car":                 {with(func(r *rig.Rig) { r.Harness.Approach = rig.SplicedOn }), "220"},
		"spliced on a separate car":                 {with(func(r *rig.Rig) { amber(r); r.Harness.Approach = rig.SplicedOn }), "222"},
		"nothing entered":                           {rig.Rig{}, "???"},
	} {
		t.Run(name, func(t *testing.T) {
			if got := show(Lit(c.rig.Harness, c.rig.Towed)); got != c.want {
				t.Errorf("tail, stop, turn are %s, want %s", got, c.want)
			}
		})
	}
}

func TestLitOthers(t *testing.T) {
	r := with(func(r *rig.Rig) { r.Harness.Lamps.Clearance = rig.Pair{Left: yes, Right: no} })
	c := Lit(r.Harness, r.Towed)
	if c.Clearance == nil || *c.Clearance != 1 || c.Plate == nil || !*c.Plate || *c.Reflectors != 2 {
		t.Errorf("count is %+v", c)
	}
	r.Harness.Feeds.Tail = no
	if c := Lit(r.Harness, r.Towed); *c.Plate || *c.Clearance != 0 || *c.Reflectors != 2 {
		t.Errorf("without the tail feed the count is %+v", c)
	}
}

func TestCheck(t *testing.T) {
	masked := func(r *rig.Rig) {
		r.BrakeUnit = rig.BrakeUnit{Fitted: yes, PressesPedal: yes}
		r.Harness.CarStopLampsLive, r.Harness.StopSwitchInterrupted = yes, no
	}
	for name, c := range map[string]struct {
		rig     rig.Rig
		verdict finding.Verdict
		id      string
		is      finding.Verdict // empty: the finding must be absent
		field   string
	}{
		"OK":                     {wired(), finding.OK, "stop", finding.OK, ""},
		"OKPlate":                {wired(), finding.OK, "plate", finding.OK, ""},
		"LightTestStillNeeded":   {wired(), finding.OK, "light-test", finding.Mind, ""},
		"ErrNothingEntered":      {rig.Rig{}, finding.FindOut, "turn", finding.FindOut, "/harness/signals"},
		"ErrNoLeftFeed":          {with(func(r *rig.Rig) { r.Harness.Feeds.Left = no }), finding.NoGo, "stop", finding.NoGo, "/harness/feeds/left"},
		"ErrGroundUnknown":       {with(func(r *rig.Rig) { r.Harness.Feeds.Ground = nil }), finding.FindOut, "tail", finding.FindOut, "/harness/feeds/ground"},
		"ErrNoGround":            {with(func(r *rig.Rig) { r.Harness.Feeds.Ground = no }), finding.NoGo, "no-ground", finding.NoGo, "/harness/feeds/ground"},
		"ErrNoConverter":         {with(func(r *rig.Rig) { r.Harness.Signals, r.Harness.Feeds.Brake = rig.SeparateSignals, yes }), finding.NoGo, "no-converter", finding.NoGo, "/harness/converter"},
		"PlateDark":              {with(func(r *rig.Rig) { r.Harness.Lamps.Plate = no }), finding.OK, "plate", finding.Mind, "/harness/lamps/plate"},
		"ReflectorsFew":          {with(func(r *rig.Rig) { r.Harness.Lamps.Reflectors = ptr(1) }), finding.OK, "reflectors", finding.Mind, ""},
		"ReflectorsUnknown":      {with(func(r *rig.Rig) { r.Harness.Lamps.Reflectors = nil }), finding.OK, "reflectors", finding.FindOut, "/harness/lamps/reflectors"},
		"ErrSplicedCombined":     {with(func(r *rig.Rig) { r.Harness.Approach = rig.SplicedOn }), finding.NoGo, "spliced-on", finding.NoGo, ""},
		"MindSplicedSeparate":    {with(func(r *rig.Rig) { r.Harness.Approach, r.Towed.RearLamps = rig.SplicedOn, rig.RedTurn }), finding.Mind, "spliced-on", finding.Mind, ""},
		"MindOneFeedTwoLamps":    {with(func(r *rig.Rig) { r.Towed.RearLamps = rig.AmberTurn }), finding.Mind, "one-feed-two-lamps", finding.Mind, ""},
		"ErrTurnMasked":          {with(masked), finding.NoGo, "turn-masked", finding.NoGo, "/harness/stop_switch_interrupted"},
		"ErrTurnMaskedRedOnly":   {with(func(r *rig.Rig) { masked(r); r.Towed.RearLamps = rig.AmberTurn }), finding.NoGo, "turn-masked", finding.NoGo, ""},
		"NotMaskedInterrupted":   {with(func(r *rig.Rig) { masked(r); r.Harness.StopSwitchInterrupted = yes }), finding.OK, "turn-masked", "", ""},
		"NotMaskedBulbs":         {with(func(r *rig.Rig) { masked(r); r.Harness.Approach = rig.SeparateBulbs }), finding.OK, "turn-masked", "", ""},
		"NotMaskedBypass":        {with(func(r *rig.Rig) { masked(r); r.Harness.Approach = rig.RelayBypass }), finding.OK, "turn-masked", "", ""},
		"NotMaskedCarAsleep":     {with(func(r *rig.Rig) { masked(r); r.Harness.CarStopLampsLive = no }), finding.OK, "turn-masked", "", ""},
		"NotMaskedNoUnit":        {with(func(r *rig.Rig) { masked(r); r.BrakeUnit.Fitted = no }), finding.OK, "turn-masked", "", ""},
		"MaskingUnknown":         {with(func(r *rig.Rig) { masked(r); r.Harness.CarStopLampsLive = nil }), finding.OK, "turn-masked", finding.FindOut, "/harness/car_stop_lamps_live"},
		"InterrupterRemembered":  {with(func(r *rig.Rig) { r.Harness.StopSwitchInterrupted = yes }), finding.OK, "interrupter", finding.Mind, ""},
		"InterrupterAndMonitor":  {with(func(r *rig.Rig) { r.Harness.StopSwitchInterrupted, r.BrakeUnit.CabMonitor = yes, yes }), finding.OK, "interrupter", finding.Mind, "/brake_unit/cab_monitor"},
		"ErrConverterDoesNotFit": {with(func(r *rig.Rig) { r.Harness.Converter = rig.CombinesSignals }), finding.FindOut, "turn", finding.FindOut, "/harness/converter"},
	} {
		t.Run(name, func(t *testing.T) {
			report := Check(rig.Input{Rig: &c.rig})
			if report.Verdict != c.verdict {
				t.Errorf("verdict %s, want %s", report.Verdict, c.verdict)
			}
			i := slices.IndexFunc(report.Findings, func(f finding.Finding) bool { return f.ID == "lamps."+c.id })
			switch {
			case c.is == "" && i >= 0:
				t.Errorf("unwanted finding %v", report.Findings[i])
			case c.is != "" && (i < 0 || report.Findings[i].Verdict != c.is):
				t.Errorf("no %s that is %s in %v", c.id, c.is, report.Findings)
			case c.field != "" && !slices.Contains(report.Findings[i].Fields, c.field):
				t.Errorf("%s names %v, want %s among them", c.id, report.Findings[i].Fields, c.field)
			}
		})
	}
}

func anyHarness(t *rapid.T) rig.Rig {
	maybe := func(name string) *bool { return rapid.SampledFrom([]*bool{nil, yes, no}).Draw(t, name) }
	pair := func(name string) rig.Pair {
		return rig.Pair{Left: maybe(name + " left"), Right: maybe(name + " right")}
	}
	word := func(name string, values []string) string {
		return rapid.SampledFrom(append([]string{""}, values...)).Draw(t, name)
	}
	return rig.Rig{
		Towed:     rig.Towed{RearLamps: rig.RearLamps(word("rear lamps", rig.RearLamps("").Values()))},
		BrakeUnit: rig.BrakeUnit{Fitted: maybe("fitted"), PressesPedal: maybe("pedal"), CabMonitor: maybe("monitor")},
		Harness: rig.Harness{
			Signals:   rig.Signals(word("signals", rig.Signals("").Values())),
			Approach:  rig.Approach(word("approach", rig.Approach("").Values())),
			Converter: rig.Converter(word("converter", rig.Converter("").Values())),
			Feeds:     rig.Feeds{Tail: maybe("tail"), Left: maybe("left"), Right: maybe("right"), Brake: maybe("brake"), Ground: maybe("ground")},
			Lamps: rig.LampSet{
				Tail: pair("tail lamp"), Stop: pair("stop lamp"), Turn: pair("turn lamp"), Clearance: pair("clearance"), Plate: maybe("plate"),
			},
			CarStopLampsLive: maybe("live"), StopSwitchInterrupted: maybe("interrupted"),
		},
	}
}

// Answering one more question never turns a known count into another: what was
// called known was known.
func TestKnownStaysKnown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyHarness(t)
		before := Lit(r.Harness, r.Towed)
		f := &r.Harness.Feeds
		lamps := &r.Harness.Lamps
		for _, answer := range []**bool{&f.Tail, &f.Left, &f.Right, &f.Brake, &lamps.Tail.Left, &lamps.Stop.Left, &lamps.Stop.Right, &lamps.Turn.Left, &lamps.Turn.Right, &lamps.Plate} {
			if *answer == nil {
				*answer = rapid.SampledFrom([]*bool{nil, yes, no}).Draw(t, "answer")
			}
		}
		if f.Ground == nil && rapid.Bool().Draw(t, "ground answered") {
			f.Ground = yes
		}
		after := Lit(r.Harness, r.Towed)
		for i, b := range []*int{before.Tail, before.Stop, before.Turn} {
			a := []*int{after.Tail, after.Stop, after.Turn}[i]
			if b != nil && (a == nil || *a != *b) {
				t.Fatalf("count %d went from %v to %v", i, *b, a)
			}
		}
	})
}

// Every finding says what it rests on or what to find out, in a whole sentence,
// and the report can be written.
func TestEveryFindingIsWhole(t *testing.T) {
	catalogue := finding.Catalogue()
	rapid.Check(t, func(t *rapid.T) {
		r := anyHarness(t)
		report := Check(rig.Input{Rig: &r})
		for _, f := range report.Findings {
			if f.Verdict == finding.OK && len(f.Basis) == 0 {
				t.Fatalf("%s is OK without a basis", f.ID)
			}
			if f.Verdict == finding.FindOut && len(f.Fields) == 0 {
				t.Fatalf("%s does not say what to find out", f.ID)
			}
			if strings.ContainsAny(f.Says.Sentence, "{}") || f.Says.Sentence == f.Says.ID {
				t.Fatalf("%s says %q", f.ID, f.Says.Sentence)
			}
			for _, p := range f.Says.Params {
				if _, there := catalogue[p.Form().Word]; p.Form().Word != "" && !there {
					t.Fatalf("%s: the catalogue lacks %s", f.ID, p.Form().Word)
				}
			}
		}
		if _, err := strictjson.Marshal(report); err != nil {
			t.Fatal(err)
		}
	})
}
