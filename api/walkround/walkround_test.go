package walkround

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"pintail/api/brakes"
	"pintail/api/finding"
	"pintail/api/rig"
)

// anyRig draws rigs of every kind that the lists tell apart, with answers left
// out as often as not.
func anyRig(t *rapid.T) rig.Rig {
	maybe := func(name string) *bool {
		return rapid.SampledFrom([]*bool{nil, ptr(true), ptr(false)}).Draw(t, name)
	}
	r := rig.Rig{}
	r.BrakeUnit = rig.BrakeUnit{
		Fitted: maybe("fitted"), PressesPedal: maybe("pedal"), CabMonitor: maybe("monitor"),
		Actuation: rig.Actuation(word(t, "actuation", rig.Actuation("").Values())),
	}
	r.Towed.Booster = rig.Booster(word(t, "booster", rig.Booster("").Values()))
	r.Breakaway.Fitted = maybe("kit")
	r.Harness.Approach = rig.Approach(word(t, "approach", rig.Approach("").Values()))
	r.Harness.StopSwitchInterrupted = maybe("interrupted")
	r.Permission.ManualSays = rig.ManualSays(word(t, "permission", []string{"allowed", "silent"}))
	if rapid.Bool().Draw(t, "runs") {
		r.Permission.EngineRunEveryH = ptr(4.0)
	}
	r.Coupling.Parts = rapid.MapOfN(key, part(), 0, 6).Draw(t, "parts")
	r.Coupling.Cables = rapid.MapOfN(key, rapid.Just(rig.Cable{}), 0, 4).Draw(t, "cables")
	r.Manual.Steps = rapid.MapOfN(key, manualStepGen(), 0, 9).Draw(t, "steps")
	return r
}

var key = rapid.StringMatching(`[a-z]{1,4}`)

func word(t *rapid.T, name string, values []string) string {
	return rapid.SampledFrom(append([]string{""}, values...)).Draw(t, name)
}

func part() *rapid.Generator[rig.Part] {
	return rapid.Custom(func(t *rapid.T) rig.Part {
		p := rig.Part{Kind: rig.PartKind(rapid.SampledFrom(rig.PartKind("").Values()).Draw(t, "kind"))}
		if rapid.IntRange(0, 9).Draw(t, "counted") > 0 {
			p.Pins, p.Clips = ptr(rapid.IntRange(0, 4).Draw(t, "pins")), ptr(rapid.IntRange(0, 4).Draw(t, "clips"))
		}
		return p
	})
}

func manualStepGen() *rapid.Generator[rig.Step] {
	return rapid.Custom(func(t *rapid.T) rig.Step {
		return rig.Step{
			Phase: rig.StepPhase(rapid.SampledFrom(rig.StepPhase("").Values()).Draw(t, "phase")),
			Order: rapid.IntRange(0, 3).Draw(t, "order"),
			Text:  "words of the owner",
			Tag:   rig.StepTag(word(t, "tag", rig.StepTag("").Values())),
			NeedsSeatOrPedal: rapid.SampledFrom([]*bool{nil, ptr(true), ptr(false)}).
				Draw(t, "seat"),
		}
	})
}

func ptr[T any](v T) *T { return &v }

// order is where each step stands in a list.
type order map[string]int

func orderOf(steps []Step) order {
	o := order{}
	for i, s := range steps {
		o[s.ID] = i
	}
	return o
}

// before holds when every step of firsts that is in the list stands before
// every step of thens that is.
func (o order) before(t *rapid.T, constraint string, firsts, thens []string) {
	t.Helper()
	for _, a := range firsts {
		for _, b := range thens {
			i, there := o[a]
			j, then := o[b]
			if there && then && i >= j {
				t.Fatalf("%s: %s must come before %s", constraint, a, b)
			}
		}
	}
}

// present holds when the steps are in the list at all.
func (o order) present(t *rapid.T, ids ...string) {
	t.Helper()
	for _, id := range ids {
		if _, ok := o[id]; !ok {
			t.Fatalf("%s is missing", id)
		}
	}
}

func theirs(steps []Step, tags ...rig.StepTag) []string {
	var ids []string
	for _, s := range steps {
		if s.FromManual && (len(tags) == 0 || slices.Contains(tags, s.Tag)) {
			ids = append(ids, s.ID)
		}
	}
	return ids
}

func at(steps []Step, p Place) []string {
	var ids []string
	for _, s := range steps {
		if s.Place == p {
			ids = append(ids, s.ID)
		}
	}
	return ids
}

func one(id string) []string { return []string{id} }

// The constraints D1 to D6 and D11 to D19 of the trade's order of hook-up
// (common practice, as corrected on review; D7 to D9 belong to the owner's
// manual alone).
func TestHookUpOrderHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		steps := Make(Input{Rig: &r, List: HookUp}).Steps
		o := orderOf(steps)
		manual := theirs(steps)
		o.present(t, "motorhome_held", "car_held", "chocks_in", "receiver_pin", "arms", "cables", "umbilical", "wheel_free",
			"parking_brake_confirmed", "creep", "motorhome_held_again", "latched", "light_film", "final_count", "tug", "first_leg")

		o.before(t, "D1 motorhome held before anyone stands between", one("motorhome_held"), at(steps, Hitch))
		o.before(t, "the bar is out before the car comes up", []string{"motorhome_held", "bar_out"}, one("car_up"))
		o.before(t, "nobody works on the car before it is chocked", one("chocks_in"), one("lamps_laid"))
		o.before(t, "the film runs before the lamps are tried", one("light_camera"), []string{"light_tail_turn", "light_brake", "light_unit"})
		o.before(t, "the car arrives, then is held, then chocked", one("car_up"), one("car_held"))
		o.before(t, "chocks after the parking brake", one("car_held"), one("chocks_in"))
		between := []string{"arms", "cables", "lanyard", "umbilical", "air_hose", "surge_cable"}
		o.before(t, "D2 car held before pins are worked or anyone stands between", []string{"car_held", "chocks_in"}, between)
		o.before(t, "D3 receiver pin before the bar is loaded", one("receiver_pin"), []string{"bar_out", "arms", "creep", "tug"})
		o.before(t, "D4 both arms before the car is freed in any way", one("arms"), append([]string{"parking_brake_off"}, manual...))
		o.before(t, "D5 arms and cables before the parking brake goes off", []string{"arms", "cables"},
			append([]string{"parking_brake_off", "parking_brake_confirmed"}, theirs(steps, rig.ParkingBrakeOff)...))
		o.before(t, "D6 parking brake on before the car is freed", one("car_held"), manual)
		o.before(t, "D6 ours goes off after the car is freed", manual, one("parking_brake_off"))
		o.before(t, "D11 the manual's steps, then the wheel, then motion", manual, one("wheel_free"))
		o.before(t, "D11 wheel free before motion", one("wheel_free"), []string{"creep", "tug"})
		o.before(t, "D12 nothing acts by itself before the cabin is left", append(theirs(steps, rig.AutoFunctionsOff), "auto_functions"), one("leave_car"))
		o.before(t, "D13 any engine run, then pumping", manual, one("pump"))
		o.before(t, "D13 pumping before the unit", one("pump"), []string{"unit_fit", "unit_arm", "surge_pedal"})
		o.before(t, "D14 pedal up and self-test before motion", []string{"unit_fit", "unit_arm", "surge_pedal"}, []string{"creep", "tug"})
		o.before(t, "D15 pin home and lanyard anchored before the unit has power", one("lanyard"), one("unit_arm"))
		o.before(t, "D16 umbilical, light test, road", one("umbilical"), one("light_camera"))
		o.before(t, "D16 light test before the road", []string{"light_tail_turn", "light_brake", "light_unit", "light_unplug", "light_film"}, []string{"tug", "first_leg"})
		o.before(t, "D17 parking brake confirmed off before any motion", append([]string{"parking_brake_confirmed", "parking_brake_off"}, theirs(steps, rig.ParkingBrakeOff)...), []string{"creep", "tug", "first_leg"})
		o.before(t, "D18 both latched before more than a walk", one("latched"), []string{"tug", "first_leg"})
		o.before(t, "D19 tug and release proven before the road", []string{"tug", "monitor"}, one("first_leg"))
		o.before(t, "the unit goes in after all that needs seat or pedal", append([]string{"auto_functions", "wheel_free", "parking_brake_off", "pump"}, manual...), []string{"unit_fit", "unit_arm"})

		creep := o["creep"]
		held, chocked := o["motorhome_held_again"], o["chocks_again"]
		if !(creep < held && held < chocked) {
			t.Fatal("after the creep: motorhome held, then chocks")
		}
		for _, id := range at(steps, Hitch) {
			if i := o[id]; i > o["chocks_clear"] && i < chocked {
				t.Fatalf("%s has someone between the vehicles around the creep", id)
			}
			if o[id] > o["chocks_out"] {
				t.Fatalf("%s has someone between the vehicles with the chocks out", id)
			}
		}
	})
}

func TestUnhookOrderHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		steps := Make(Input{Rig: &r, List: Unhook}).Steps
		o := orderOf(steps)
		o.present(t, "motorhome_held", "chocks_in", "car_held", "held_confirmed", "pins_out", "cables_off", "car_proof")
		o.before(t, "motorhome held before anyone stands between", one("motorhome_held"), at(steps, Hitch))
		o.before(t, "motorhome held and car chocked before anyone is in the car", []string{"motorhome_held", "chocks_in"}, at(steps, CarSeat))
		o.before(t, "car held before any pin", []string{"car_held", "chocks_in", "held_confirmed"}, []string{"pins_out", "cables_off"})
		o.before(t, "the manual's steps while still attached", theirs(steps), []string{"held_confirmed", "pins_out"})
		var others []string
		for _, s := range steps {
			if s.FromManual && s.Tag != rig.PowerBack {
				others = append(others, s.ID)
			}
		}
		o.before(t, "parking brake on before the car's state is changed", one("car_held"), others)
		o.before(t, "unit off before anything that could set it off", one("unit_off"), []string{"lanyard_off", "umbilical_off", "air_off", "car_held"})
		o.before(t, "cables off last", []string{"pins_out", "umbilical_off", "air_off", "surge_off", "lanyard_off"}, one("cables_off"))
		o.before(t, "stop switch restored before the car is driven", one("stop_switch_back"), one("car_proof"))
		if _, restored := o["stop_switch_back"]; restored != rig.Is(r.Harness.StopSwitchInterrupted, true) {
			t.Fatal("an interrupted stop switch must be restored, and only then")
		}
		for _, id := range at(steps, Hitch) {
			if o[id] > o["chocks_out"] {
				t.Fatalf("%s has someone between the vehicles with the chocks out", id)
			}
		}
	})
}

// After an engine run everything it disturbs is done again (D22).
func TestEngineRunOrderHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		steps := Make(Input{Rig: &r, List: StopCheck}).Steps
		o := orderOf(steps)
		o.present(t, "motorhome_held", "hubs", "coupling", "round_again")
		if o["motorhome_held"] != 0 {
			t.Fatal("the motorhome is held before anything else")
		}
		if !engineRunWanted(r) {
			return
		}
		o.present(t, "run_chocks", "run_brake_on", "wheel_free", "parking_brake_confirmed", "run_chocks_out")
		var others []string
		for _, s := range steps {
			if s.FromManual && s.Tag != rig.PowerBack {
				others = append(others, s.ID)
			}
		}
		o.before(t, "chocked, unit off, then braked", one("run_chocks"), []string{"run_unit_off", "run_brake_on"})
		o.before(t, "the unit is off the pedal before the pedal is needed", one("run_unit_off"), one("run_brake_on"))
		o.before(t, "held before the run", []string{"run_chocks", "run_unit_off", "run_brake_on"}, others)
		o.before(t, "wheel, brake, pump after the run", theirs(steps), []string{"wheel_free", "parking_brake_off", "parking_brake_confirmed", "run_pump", "run_unit_arm"})
		o.before(t, "pump before the unit", one("run_pump"), one("run_unit_arm"))
		o.before(t, "chocks out last", []string{"parking_brake_confirmed", "run_unit_arm"}, one("run_chocks_out"))
		o.before(t, "chocks out before the last round", one("run_chocks_out"), one("round_again"))
		for _, id := range at(steps, Hitch) {
			if i, off := o[id], o["parking_brake_confirmed"]; i > off && i < o["round_again"] && i > o["run_chocks_out"] {
				t.Fatalf("%s has someone between the vehicles after the chocks are out", id)
			}
		}
	})
}

func TestEveryListIsWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		for _, l := range List("").Values() {
			report := Make(Input{Rig: &r, List: List(l)})
			seen := map[string]bool{}
			var typed []string
			for _, s := range report.Steps {
				if seen[s.ID] {
					t.Fatalf("%s: %s stands twice", l, s.ID)
				}
				for _, id := range s.After {
					if !seen[id] {
						t.Fatalf("%s: %s comes before %s, which must be done first", l, s.ID, id)
					}
				}
				seen[s.ID] = true
				if len(s.Basis) == 0 || s.Do.Sentence == "" || s.Do.Sentence == s.Do.ID {
					t.Fatalf("%s: %s lacks words or a basis", l, s.ID)
				}
				if s.FromManual {
					typed = append(typed, strings.TrimPrefix(s.ID, "manual."))
					if s.Do.Sentence != "words of the owner" {
						t.Fatalf("the owner's words were changed to %q", s.Do.Sentence)
					}
				}
			}
			if want := r.Manual.Phase(phase(List(l))); !slices.Equal(typed, want) {
				t.Fatalf("%s: the owner's steps stand as %v, typed as %v", l, typed, want)
			}
		}
	})
}

func TestCountsComeFromTheParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		front, back, ends := 0, 0, 2*len(r.Coupling.Cables)
		kinds, frontKnown, backKnown := map[rig.PartKind]bool{}, true, true
		for _, p := range r.Coupling.Parts {
			kinds[p.Kind] = true
			isFront := p.Kind == rig.Receiver || p.Kind == rig.Extension || p.Kind == rig.Adapter
			switch {
			case p.Pins == nil && isFront:
				frontKnown = false
			case p.Pins == nil:
				backKnown = false
			case isFront:
				front += *p.Pins + *p.Clips
			default:
				back += *p.Pins + *p.Clips
			}
		}
		frontKnown = frontKnown && kinds[rig.Receiver]
		backKnown = backKnown && kinds[rig.TowBar] && kinds[rig.BasePlate]
		want := map[string]struct {
			n     int
			known bool
		}{
			"receiver_pin": {front, frontKnown}, "arms": {back, backKnown}, "pins_out": {back, backKnown},
			"coupling": {front + back, frontKnown && backKnown},
			"cables":   {ends, ends > 0}, "cables_off": {ends, ends > 0}, "lines": {ends, ends > 0},
			"final_count": {front + back + ends, frontKnown && backKnown && ends > 0}, "round_again": {front + back + ends, frontKnown && backKnown && ends > 0},
		}
		for _, l := range List("").Values() {
			for _, s := range Make(Input{Rig: &r, List: List(l)}).Steps {
				w, counted := want[s.ID]
				if counted != (s.Hold == Counted) {
					t.Fatalf("%s: hold is %s", s.ID, s.Hold)
				}
				if counted && (w.known != (s.Count != nil) || w.known && *s.Count != w.n) {
					t.Fatalf("%s: count %v, want %v", s.ID, s.Count, w)
				}
			}
		}
	})
}

// The tool writes nothing of its own about the car's drivetrain, fuses or keys,
// and the word stop belongs to lamps.
func TestNoWordOfTheDrivetrain(t *testing.T) {
	forbidden := []string{"gear", "gears", "gearbox", "shift", "shifts", "shifted", "shifting", "shifter", "neutral", "transfer", "transmission",
		"clutch", "fuse", "fuses", "key", "keys", "reverse", "selector", "park", "ignition", "axle"}
	for id, s := range finding.Catalogue() {
		if !strings.HasPrefix(id, "walkround.") {
			continue
		}
		words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) })
		for i, w := range words {
			if slices.Contains(forbidden, w) {
				t.Errorf("%s says %q: %s", id, w, s)
			}
			if w == "stop" && (i+1 == len(words) || !slices.Contains([]string{"lamp", "lamps", "signal", "switch"}, words[i+1])) {
				t.Errorf("%s says stop of something other than a lamp: %s", id, s)
			}
		}
	}
}

func TestTheDataIsSound(t *testing.T) {
	catalogue := finding.Catalogue()
	used := map[string]bool{}
	for l, es := range entries() {
		seen := map[string]bool{}
		for _, e := range es {
			for _, id := range e.After {
				if !seen[id] {
					t.Errorf("%s: %s comes after %s, which no earlier entry is", l, e.ID, id)
				}
			}
			if seen[e.ID] {
				t.Errorf("%s: %s stands twice", l, e.ID)
			}
			seen[e.ID] = true
			if !slices.Contains(Place("").Values(), string(e.Place)) || e.Hold != "" && !slices.Contains(Proof("").Values(), string(e.Hold)) {
				t.Errorf("%s: %s has place %q, hold %q", l, e.ID, e.Place, e.Hold)
			}
			if (e.Count != "") != (e.Hold == Counted) || e.Count != "" && !slices.Contains([]tally{receiverPins, armPins, allPins, cableEnds, everything}, e.Count) {
				t.Errorf("%s: %s counts %q with hold %q", l, e.ID, e.Count, e.Hold)
			}
			if e.Source == "" || (e.Do == "") != (e.Manual != "") {
				t.Errorf("%s: %s lacks a source or words", l, e.ID)
			}
			if e.Until != nil && !e.Holding || e.Reading != nil && !slices.Contains(Quantity("").Values(), string(e.Reading.Of)) || e.Hold == Reading && e.Reading == nil {
				t.Errorf("%s: %s holds until %v, reads %v", l, e.ID, e.Until, e.Reading)
			}
			for _, id := range e.Until {
				if tag, ok := strings.CutPrefix(id, "tag:"); ok && slices.Contains(rig.StepTag("").Values(), tag) {
					continue
				}
				if !slices.ContainsFunc(es, func(o entry) bool { return o.ID == id && o.Manual == "" }) {
					t.Errorf("%s: %s holds until %s, which is no step", l, e.ID, id)
				}
			}
			for _, k := range e.Restores {
				if !slices.ContainsFunc(entries()[HookUp], func(o entry) bool { return o.Changes == k }) {
					t.Errorf("%s: %s takes back %s, which nothing changes", l, e.ID, k)
				}
			}
			for _, id := range []string{e.Do, e.Check, e.Why, e.Hazard} {
				if used[id] = true; id != "" && catalogue[id] == "" {
					t.Errorf("%s: %s uses %s, which the catalogue lacks", l, e.ID, id)
				}
			}
			for _, c := range e.When {
				c.holds(rig.Rig{}, l) // panics on a condition nobody knows
			}
		}
	}
	for id := range catalogue {
		if part := id[strings.LastIndex(id, ".")+1:]; strings.HasPrefix(id, "walkround.") && slices.Contains([]string{"do", "why", "hazard"}, part) && !used[id] && !strings.HasPrefix(id, "walkround.manual.") && !strings.HasPrefix(id, "walkround.undo.") {
			t.Errorf("nothing says %s", id)
		}
	}
}

func TestFindings(t *testing.T) {
	step := func(p rig.StepPhase, order int, tag rig.StepTag) rig.Step {
		return rig.Step{Phase: p, Order: order, Text: "x", Tag: tag}
	}
	allowed := rig.Permission{ManualSays: rig.Allowed}
	free := step(rig.HookUp, 5, rig.DrivetrainFree)
	for name, c := range map[string]struct {
		list    List
		rig     rig.Rig
		id      string
		verdict finding.Verdict
	}{
		"ErrForbidden":     {HookUp, rig.Rig{Permission: rig.Permission{ManualSays: rig.Forbidden}}, "forbidden", finding.NoGo},
		"ErrEmergency":     {HookUp, rig.Rig{Permission: rig.Permission{ManualSays: rig.EmergencyOnly}}, "forbidden", finding.NoGo},
		"ErrSilent":        {HookUp, rig.Rig{Permission: rig.Permission{ManualSays: rig.Silent}}, "no_permission", finding.FindOut},
		"ErrNoSteps":       {HookUp, rig.Rig{Permission: allowed}, "no_free_step", finding.FindOut},
		"OK":               {HookUp, rig.Rig{Permission: allowed, Manual: rig.Manual{Steps: map[string]rig.Step{"a": free}}}, "", finding.OK},
		"MindBrakeEarly":   {HookUp, rig.Rig{Permission: allowed, Manual: rig.Manual{Steps: map[string]rig.Step{"a": free, "b": step(rig.HookUp, 1, rig.ParkingBrakeOff)}}}, "brake_before_free", finding.Mind},
		"NotePowerEarly":   {HookUp, rig.Rig{Permission: allowed, Manual: rig.Manual{Steps: map[string]rig.Step{"a": free, "b": step(rig.HookUp, 1, rig.BatteryOff)}}}, "power_before_free", finding.OK},
		"NotePowerAndHand": {HookUp, rig.Rig{Permission: allowed, Manual: rig.Manual{Steps: map[string]rig.Step{"a": free, "b": step(rig.HookUp, 9, rig.PullsFuse)}}}, "power_and_parking_brake", finding.OK},
		"ErrNoRestore":     {Unhook, rig.Rig{Manual: rig.Manual{Steps: map[string]rig.Step{"a": free}}}, "no_restore_step", finding.FindOut},
		"ErrNoPowerBack":   {Unhook, rig.Rig{Manual: rig.Manual{Steps: map[string]rig.Step{"a": step(rig.HookUp, 1, rig.BatteryOff)}}}, "no_power_back_step", finding.FindOut},
		"ErrNoRunSteps":    {StopCheck, rig.Rig{Permission: rig.Permission{EngineRunMin: ptr(5.0)}}, "no_engine_run_steps", finding.FindOut},
	} {
		t.Run(name, func(t *testing.T) {
			report := Make(Input{Rig: &c.rig, List: c.list})
			if report.Verdict != c.verdict {
				t.Errorf("verdict %s, want %s", report.Verdict, c.verdict)
			}
			has := slices.ContainsFunc(report.Findings, func(f finding.Finding) bool { return f.ID == "walkround."+strings.ReplaceAll(c.id, "_", "-") })
			if c.id != "" && !has {
				t.Errorf("no finding %s in %v", c.id, report.Findings)
			}
			if (c.verdict == finding.NoGo) != (len(report.Steps) == 0) {
				t.Errorf("%d steps", len(report.Steps))
			}
		})
	}
}

// A step of the manual that releases the parking brake takes the place of ours.
func TestManualReleasesTheParkingBrake(t *testing.T) {
	r := rig.Rig{Manual: rig.Manual{Steps: map[string]rig.Step{
		"a": {Phase: rig.HookUp, Order: 1, Text: "free", Tag: rig.DrivetrainFree},
		"b": {Phase: rig.HookUp, Order: 2, Text: "release", Tag: rig.ParkingBrakeOff},
		"c": {Phase: rig.HookUp, Order: 3, Text: "cut", Tag: rig.BatteryOff},
	}}}
	o := orderOf(Make(Input{Rig: &r, List: HookUp}).Steps)
	if _, ours := o["parking_brake_off"]; ours || !(o["manual.b"] < o["manual.c"] && o["manual.c"] < o["parking_brake_confirmed"]) {
		t.Errorf("order is %v", o)
	}
}

// A finished set-up list says which tests were passed and which somebody took
// back, by the ids of brakes/choice; what was left alone it does not name, nor a
// step that is no test.
func TestSetUpRecord(t *testing.T) {
	yes, no, done := true, false, Moment(1_790_000_000_000)
	tick := func(b *bool) map[string]Tick { return map[string]Tick{"phone-a": {Done: b, At: &done}} }
	run := Run{Started: &done, Finished: &done, Ticks: map[string]map[string]Tick{
		"motorhome_held": tick(&yes), "assist": tick(&yes), "static_interrupted": tick(&yes), "pull": tick(&no),
	}}
	r := &rig.Rig{BrakeUnit: rig.BrakeUnit{Fitted: &yes, Actuation: rig.PortableInertia}, Harness: rig.Harness{StopSwitchInterrupted: &yes}, Towed: rig.Towed{Booster: rig.VacuumBooster}}
	got := Stands(RunInput{Rig: r, List: SetUp, Run: &run}).Record.SetUp
	if want := map[string]bool{"assist": true, "static": true, "pull": false}; !maps.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := Stands(RunInput{Rig: r, List: HookUp, Run: &run}).Record.SetUp; got != nil {
		t.Errorf("a hook-up says %v of set-up tests", got)
	}
}

// The set-up list is brakes/choice's tests for the unit on the rig, safest first:
// nothing rolls before the static and the breakaway test.
func TestSetUpList(t *testing.T) {
	yes, no := true, false
	for name, c := range map[string]struct {
		unit rig.BrakeUnit
		cut  *bool
		want []string
		lack []string
	}{
		"Portable": {rig.BrakeUnit{Fitted: &yes, Actuation: rig.PortableInertia}, &no, []string{"static", "assist", "pull", "slow", "stop"}, []string{"static_interrupted"}},
		"Cut":      {rig.BrakeUnit{Fitted: &yes, Actuation: rig.PortableInertia}, &yes, []string{"static_interrupted"}, []string{"static"}},
		"Surge":    {rig.BrakeUnit{Fitted: &yes, Actuation: rig.SurgeOnCoupling}, &no, []string{"assist", "stop"}, []string{"static", "pull", "slow"}},
		"None":     {rig.BrakeUnit{Fitted: &no}, &no, []string{"motorhome_held"}, []string{"stop", "static", "breakaway"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := &rig.Rig{BrakeUnit: c.unit, Harness: rig.Harness{StopSwitchInterrupted: c.cut}, Towed: rig.Towed{Booster: rig.VacuumBooster}}
			report := Make(Input{Rig: r, List: SetUp})
			var ids []string
			for _, s := range report.Steps {
				ids = append(ids, s.ID)
			}
			for _, id := range c.want {
				if !slices.Contains(ids, id) {
					t.Errorf("no %s in %v", id, ids)
				}
			}
			for _, id := range c.lack {
				if slices.Contains(ids, id) {
					t.Errorf("%s in %v", id, ids)
				}
			}
			// brakes/choice names them in the order of the list.
			before := -1
			for _, test := range brakes.SetUp(*r) {
				at := slices.IndexFunc(ids, func(id string) bool { return strings.TrimSuffix(id, "_interrupted") == test.ID })
				if rig.Is(c.unit.Fitted, true) && at <= before {
					t.Errorf("%s stands at %d in %v, want it after %d", test.ID, at, ids, before)
				}
				before = at
			}
			if roll, still := slices.Index(ids, "pull"), slices.Index(ids, "breakaway"); roll >= 0 && roll < still {
				t.Errorf("rolls before the breakaway test: %v", ids)
			}
		})
	}
}
