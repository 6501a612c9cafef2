package walkround

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/journal"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

func anyList(t *rapid.T) List {
	return List(rapid.SampledFrom(List("").Values()).Draw(t, "list"))
}

// anyRunOf draws what three phones may have ticked in a list.
func anyRunOf(t *rapid.T, steps []Step) Run {
	maybe := rapid.SampledFrom([]*bool{nil, ptr(true), ptr(true), ptr(true), ptr(false)})
	run := Run{Ticks: map[string]map[string]Tick{}, Breaks: map[string]Break{}}
	run.EngineRun, run.OutOfSight = maybe.Draw(t, "run"), maybe.Draw(t, "sight")
	mostly := rapid.IntRange(0, 9).Draw(t, "mostly") // runs near their end are rare by chance alone
	for _, s := range steps {
		if rapid.IntRange(0, 9).Draw(t, s.ID) < mostly {
			run.Ticks[s.ID] = map[string]Tick{"phone-a": proof(s)}
			continue
		}
		for _, device := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"phone-a", "phone-b", "tablet"}), 0, 3, rapid.ID).Draw(t, "devices") {
			tick := proof(s)
			tick.Done = maybe.Draw(t, "done")
			if rapid.IntRange(0, 3).Draw(t, "shown") == 0 {
				tick.Count, tick.Photo, tick.Reading = nil, "", Taken{}
			}
			if run.Ticks[s.ID] == nil {
				run.Ticks[s.ID] = map[string]Tick{}
			}
			run.Ticks[s.ID][device] = tick
		}
	}
	for _, id := range []string{"b1", "b2"}[:rapid.IntRange(0, 2).Draw(t, "breaks")] {
		b := Break{Left: maybe.Draw(t, "left"), Again: map[string]map[string]Touch{}}
		for _, s := range steps {
			if rapid.IntRange(0, 2).Draw(t, "again") > 0 {
				b.Again[s.ID] = map[string]Touch{"phone-b": {Done: maybe.Draw(t, "touched")}}
			}
		}
		run.Breaks[id] = b
	}
	return run
}

// proof is a tick with whatever the step asks for.
func proof(s Step) Tick {
	tick := Tick{Done: ptr(true), At: ptr(Moment(1_790_000_000_000)), Photo: "p1", Reading: Taken{Volts: ptr(12.6)}}
	if s.Hold == Counted {
		tick.Count = ptr(4)
		if s.Count != nil {
			tick.Count = s.Count
		}
	}
	return tick
}

// earlier are all steps that must come before each, however indirectly.
func earlier(steps []Step) map[string]map[string]bool {
	before := map[string]map[string]bool{}
	for _, s := range steps {
		before[s.ID] = map[string]bool{}
		for _, id := range s.After {
			before[s.ID][id] = true
			for far := range before[id] {
				before[s.ID][far] = true
			}
		}
	}
	return before
}

// No dangerous step is done before everything it waits for is; a step of which
// one phone says no is never done; what comes next is never blocked.
func TestRunNeverCountsTooEarly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, l := anyRig(t), anyList(t)
		steps := Make(Input{Rig: &r, List: l}).Steps
		run := anyRunOf(t, steps)
		report := Stands(RunInput{Rig: &r, List: l, Run: &run})
		before, state := earlier(steps), map[string]State{}
		for _, st := range report.Steps {
			state[st.Step.ID] = st.State
		}
		stands := func(id string) bool { return state[id] == Done || state[id] == TouchAgain }
		left := 0
		for _, st := range report.Steps {
			id := st.Step.ID
			if !stands(id) && state[id] != NotNeeded || state[id] == TouchAgain {
				left++
			}
			for other := range before[id] {
				if st.Step.Hazard != nil && stands(id) && !stands(other) && state[other] != NotNeeded {
					t.Fatalf("%s counts as done before %s, which is %s", id, other, state[other])
				}
				if st.Step.Hazard != nil && !stands(id) && state[id] != NotNeeded && state[other] == TouchAgain && !slices.Contains(st.WaitsFor, other) {
					t.Fatalf("%s does not wait until %s is touched again", id, other)
				}
			}
			no := false
			for _, tick := range run.Ticks[id] {
				no = no || rig.Is(tick.Done, false)
			}
			if no && stands(id) {
				t.Fatalf("%s counts as done, and a phone says it is not", id)
			}
			if (st.State == Blocked) != (len(st.WaitsFor) > 0) || st.State == Blocked && (st.Because == nil || !strings.Contains(st.Because.Sentence, st.Step.Hazard.Sentence)) {
				t.Fatalf("%s is %s, waits for %v, because %v", id, st.State, st.WaitsFor, st.Because)
			}
			if st.Because != nil && (strings.ContainsAny(st.Because.Sentence, "{}") || st.Because.Sentence == st.Because.ID) {
				t.Fatalf("%s: %s", id, st.Because.Sentence)
			}
			if id == report.Next && st.State == Blocked {
				t.Fatalf("next is %s, which is blocked", id)
			}
		}
		if report.MayFinish != (left == 0 && len(steps) > 0) || report.MayFinish != (report.Next == "" && len(steps) > 0) {
			t.Fatalf("may finish: %t with %d left and %q next", report.MayFinish, left, report.Next)
		}
		for _, f := range report.Findings {
			if strings.ContainsAny(f.Says.Sentence, "{}") || f.Says.Sentence == f.Says.ID {
				t.Fatalf("%s: %s", f.ID, f.Says.Sentence)
			}
		}
		if report.Verdict == finding.OK && !report.MayFinish {
			t.Fatal("ok, and something is left to do")
		}
	})
}

// Doing what comes next, each time, ends the list; on the way nothing is blocked
// that is ticked.
func TestNextLeadsToTheEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, l := anyRig(t), anyList(t)
		run := Run{Ticks: map[string]map[string]Tick{}, Breaks: map[string]Break{}}
		breakAt := rapid.IntRange(0, 40).Draw(t, "break")
		for n := 0; ; n++ {
			if n == breakAt {
				run.Breaks["b"] = Break{Left: ptr(true), Again: map[string]map[string]Touch{}}
			}
			report := Stands(RunInput{Rig: &r, List: l, Run: &run})
			if report.Next == "" {
				if !report.MayFinish {
					t.Fatal("nothing next, and it may not finish")
				}
				return
			}
			if n > 300 {
				t.Fatalf("%s comes next for ever", report.Next)
			}
			i := slices.IndexFunc(report.Steps, func(st *Stand) bool { return st.Step.ID == report.Next })
			run.Ticks[report.Next] = map[string]Tick{"phone": proof(report.Steps[i].Step)}
			if b, left := run.Breaks["b"]; left {
				b.Again[report.Next] = map[string]Touch{"phone": {Done: ptr(true)}}
			}
		}
	})
}

// After a break exactly the holding items that are done and not over are asked
// for again; touched, they stand as before.
func TestBreakAsksForHoldingItems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, l := anyRig(t), anyList(t)
		steps := Make(Input{Rig: &r, List: l}).Steps
		n := rapid.IntRange(0, len(steps)).Draw(t, "done")
		run := Run{Ticks: map[string]map[string]Tick{}}
		done := map[string]bool{}
		for _, s := range steps[:n] {
			run.Ticks[s.ID], done[s.ID] = map[string]Tick{"phone": proof(s)}, true
		}
		before := Stands(RunInput{Rig: &r, List: l, Run: &run})
		var want []string
		for _, s := range steps[:n] {
			over := false
			e, _ := entryOf(l, s.ID)
			for _, u := range e.Until {
				tag, tagged := strings.CutPrefix(u, "tag:")
				over = over || done[u] || tagged && slices.ContainsFunc(steps[:n], func(o Step) bool { return string(o.Tag) == tag })
			}
			if s.Holding && !over {
				want = append(want, s.ID)
			}
		}
		run.Breaks = map[string]Break{"b": {Left: rapid.SampledFrom([]*bool{nil, ptr(true)}).Draw(t, "left")}}
		after := Stands(RunInput{Rig: &r, List: l, Run: &run})
		var again []string
		for i, st := range after.Steps {
			switch {
			case st.State == TouchAgain:
				again = append(again, st.Step.ID)
			case (st.State == Done) != (before.Steps[i].State == Done):
				t.Fatalf("the break made %s %s", st.Step.ID, st.State)
			}
		}
		if !slices.Equal(again, want) {
			t.Fatalf("touch again %v, want %v", again, want)
		}
		touches := map[string]map[string]Touch{}
		for _, id := range again {
			touches[id] = map[string]Touch{"phone": {Done: ptr(true)}}
		}
		run.Breaks = map[string]Break{"b": {Left: ptr(true), Again: touches}}
		for i, st := range Stands(RunInput{Rig: &r, List: l, Run: &run}).Steps {
			if st.State != before.Steps[i].State {
				t.Fatalf("touched again, %s is %s and was %s", st.Step.ID, st.State, before.Steps[i].State)
			}
		}
		for _, id := range again {
			run.Breaks["b"].Again[id]["other"] = Touch{Done: ptr(false)}
		}
		disputed := Stands(RunInput{Rig: &r, List: l, Run: &run})
		for _, st := range disputed.Steps {
			if (st.State == TouchAgain) != slices.Contains(want, st.Step.ID) {
				t.Fatalf("one phone says touched, another not, and %s is %s", st.Step.ID, st.State)
			}
		}
		stayed := run
		stayed.Breaks = map[string]Break{"b": {Left: ptr(false)}}
		if Stands(RunInput{Rig: &r, List: l, Run: &stayed}).Next != before.Next {
			t.Fatal("nobody left, and something is asked for again")
		}
	})
}

// Parking brake, pins, clips, cables, lanyard, umbilical, brake unit and the
// manual's own steps hold (practice, section 2.2, as corrected on review).
func TestHoldingItems(t *testing.T) {
	r := rig.Rig{Manual: rig.Manual{Steps: map[string]rig.Step{
		"free": {Phase: rig.HookUp, Order: 2, Text: "free", Tag: rig.DrivetrainFree}, "run": {Phase: rig.HookUp, Order: 1, Text: "run", Tag: rig.RunsEngine}}}}
	r.BrakeUnit.Actuation = rig.PortableInertia
	var holding []string
	for _, s := range Make(Input{Rig: &r, List: HookUp}).Steps {
		if s.Holding {
			holding = append(holding, s.ID)
		}
	}
	for _, id := range []string{"receiver_pin", "arms", "cables", "lanyard", "umbilical", "unit_fit", "unit_arm", "parking_brake_confirmed", "car_held", "motorhome_held", "manual.free", "latched"} {
		if !slices.Contains(holding, id) {
			t.Errorf("%s does not hold: %v", id, holding)
		}
	}
	for _, id := range []string{"ground", "look_over", "manual.run", "light_film", "final_count", "tug"} {
		if slices.Contains(holding, id) {
			t.Errorf("%s holds", id)
		}
	}
}

// Whatever the order, split and repetition in which ticks arrive, the answer is
// the same, byte for byte.
func TestMergeInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, l := anyRig(t), anyList(t)
		run := anyRunOf(t, Make(Input{Rig: &r, List: l}).Steps)
		entries := leaves(t, run)
		var answers []string
		for k := range 2 {
			shuffled := rapid.Permutation(entries).Draw(t, fmt.Sprint("order", k))
			cut := rapid.IntRange(0, len(shuffled)).Draw(t, "cut")
			a, b := journal.Set{Entries: shuffled[:cut]}, journal.Set{Entries: shuffled[cut:]}
			merged := journal.Merge(journal.Merge(a, b), a)
			doc, there := journal.Fold(merged)
			if !there {
				doc = jsontext.Value("{}")
			}
			var folded Run
			if err := strictjson.Unmarshal(doc, &folded); err != nil {
				t.Fatal(err)
			}
			answers = append(answers, mustMarshal(t, Stands(RunInput{Rig: &r, List: l, Run: &folded})))
		}
		if answers[0] != answers[1] || answers[0] != mustMarshal(t, Stands(RunInput{Rig: &r, List: l, Run: &run})) {
			t.Fatal("another order, another answer")
		}
	})
}

// leaves writes a run as the journal's entries, each device with a clock of its
// own that says anything.
func leaves(t *rapid.T, run Run) []journal.Entry {
	var entries []journal.Entry
	var walk func(path string, v any)
	walk = func(path string, v any) {
		if m, ok := v.(map[string]any); ok && len(m) > 0 {
			for _, k := range rig.Keys(m) {
				walk(path+"/"+k, m[k])
			}
			return
		}
		if path == "" {
			return
		}
		n := len(entries)
		entries = append(entries, journal.Entry{
			ID: fmt.Sprintf("0192f0c1-0000-7000-8000-%012d", n), Doc: "walk/w", Path: path, Value: jsontext.Value(mustMarshal(t, v)),
			At: journal.Clock{Wall: int64(rapid.IntRange(0, 50).Draw(t, "wall"))}, Device: "phone",
		})
	}
	var doc any
	if err := strictjson.Unmarshal([]byte(mustMarshal(t, run)), &doc); err != nil {
		t.Fatal(err)
	}
	walk("", doc)
	return entries
}

func mustMarshal(t interface{ Fatal(...any) }, v any) string {
	b, err := strictjson.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Whatever a hook-up changed, an unhook step takes back, also where the rig was
// edited in between.
func TestUnhookTakesBackEveryChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		run := anyRunOf(t, Make(Input{Rig: &r, List: HookUp}).Steps)
		report := Stands(RunInput{Rig: &r, List: HookUp, Run: &run})
		for id, ticks := range run.Ticks {
			if _, said := report.Changes[id]; said && !slices.ContainsFunc(rig.Keys(ticks), func(d string) bool { return rig.Is(ticks[d].Done, true) }) {
				t.Fatalf("%s changed something, and nobody did it", id)
			}
		}
		later := r
		if rapid.Bool().Draw(t, "edited") {
			later = anyRig(t)
		}
		for _, made := range []Changes{report.Changes, nil} {
			of := later
			want := made
			if made == nil {
				of, want = r, wouldChange(r)
				for _, id := range r.Manual.Phase(rig.HookUp) {
					if tag := r.Manual.Steps[id].Tag; tag != rig.RunsEngine && tag != rig.StopsEngine && tag != rig.ParkingBrakeOff {
						if _, changed := want["manual."+id]; !changed {
							t.Fatalf("the manual's step %s is no change", id)
						}
					}
				}
			}
			unhook := Stands(RunInput{Rig: &of, List: Unhook, Run: &Run{}, Changes: made})
			var undone, ids []string
			for _, st := range unhook.Steps {
				undone, ids = append(undone, st.Step.Undoes...), append(ids, st.Step.ID)
				if strings.HasPrefix(st.Step.ID, undoPrefix) && want[st.Step.Undoes[0]].Words != "" && !strings.Contains(st.Step.Do.Sentence, want[st.Step.Undoes[0]].Words) {
					t.Fatalf("%s does not name the change: %s", st.Step.ID, st.Step.Do.Sentence)
				}
			}
			for id, ch := range want {
				if !slices.Contains(undone, id) && ch.Tag != rig.ParkingBrakeOff {
					t.Fatalf("nothing takes back %s of %v", id, want)
				}
				if ch.Tag == rig.ParkingBrakeOff && !slices.Contains(ids, "car_held") {
					t.Fatal("the car is not held again")
				}
			}
			slices.Sort(ids)
			if len(slices.Compact(slices.Clone(ids))) != len(ids) {
				t.Fatalf("a step stands twice: %v", ids)
			}
		}
	})
}

// ticked ticks a list as it should be, one phone, one step a minute.
func ticked(r rig.Rig, l List) Run {
	run := Run{Started: ptr(Moment(1_790_000_000_000)), Ticks: map[string]map[string]Tick{}}
	at := *run.Started
	for _, s := range Make(Input{Rig: &r, List: l}).Steps {
		at += 60_000
		tick := proof(s)
		tick.At = ptr(at)
		run.Ticks[s.ID] = map[string]Tick{"phone": tick}
	}
	run.Finished = ptr(at + 60_000)
	return run
}

func smallRig() rig.Rig {
	r := rig.Rig{}
	r.Permission.ManualSays = rig.Allowed
	r.Coupling.Parts = map[string]rig.Part{
		"receiver": {Kind: rig.Receiver, Pins: ptr(1), Clips: ptr(1)}, "bar": {Kind: rig.TowBar, Pins: ptr(2), Clips: ptr(2)}, "plate": {Kind: rig.BasePlate, Pins: ptr(0), Clips: ptr(0)},
	}
	r.Coupling.Cables = map[string]rig.Cable{"left": {}, "right": {}}
	r.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), Actuation: rig.PortableInertia}
	r.Manual.Steps = map[string]rig.Step{
		"free": {Phase: rig.HookUp, Order: 1, Text: "Free it as on page 212.", Tag: rig.DrivetrainFree},
		"post": {Phase: rig.HookUp, Order: 2, Text: "Cover the post.", Tag: rig.OtherStep},
		"back": {Phase: rig.Unhook, Order: 1, Text: "Set it back.", Tag: rig.DrivetrainRestore},
	}
	return r
}

func TestWholeHookUp(t *testing.T) {
	r := smallRig()
	run := ticked(r, HookUp)
	report := Stands(RunInput{Rig: &r, List: HookUp, Run: &run, Now: run.Finished})
	if report.Verdict != finding.OK || !report.MayFinish || report.Record == nil || !report.Record.Whole {
		t.Fatalf("verdict %s, %+v", report.Verdict, report.Findings)
	}
	if report.HookedUp == nil || !report.HookedUp.Holds || report.HookedUp.HookedUp.HookedUpAt != *run.Finished {
		t.Fatalf("hooked up: %+v", report.HookedUp)
	}
	if want := *run.Ticks["tug"]["phone"].At; *report.HookedUp.HookedUp.TestedAt != want {
		t.Errorf("tested at %d, want the tug test's %d", *report.HookedUp.HookedUp.TestedAt, want)
	}
	changes := rig.Keys(report.Changes)
	for _, id := range []string{"arms", "cables", "lanyard", "umbilical", "manual.free", "manual.post", "unit_arm", "parking_brake_confirmed", "leave_car"} {
		if !slices.Contains(changes, id) {
			t.Errorf("%s is no change: %v", id, changes)
		}
	}
	if slices.Contains(changes, "chocks_in") || slices.Contains(changes, "chocks_again") {
		t.Error("the chocks are out again")
	}
	unhook := Stands(RunInput{Rig: &r, List: Unhook, Run: &Run{}, Changes: report.Changes})
	if !slices.ContainsFunc(unhook.Steps, func(st *Stand) bool {
		return st.Step.ID == "undo.post" && strings.Contains(st.Step.Do.Sentence, "Cover the post.")
	}) {
		t.Error("nothing names the covered post")
	}
	if slices.ContainsFunc(unhook.Steps, func(st *Stand) bool { return st.Step.ID == "undo.free" }) {
		t.Error("the manual's own step takes it back already")
	}
}

// A hook-up that was broken off leaves what it changed so far, chocks among it.
func TestBrokenOffHookUp(t *testing.T) {
	r := smallRig()
	run := ticked(r, HookUp)
	for _, id := range []string{"chocks_clear", "creep", "tug", "final_count", "chocks_out", "motorhome_held_again", "chocks_again"} {
		delete(run.Ticks, id)
	}
	report := Stands(RunInput{Rig: &r, List: HookUp, Run: &run})
	if _, chocked := report.Changes["chocks_in"]; !chocked {
		t.Errorf("the chocks are still in: %v", report.Changes)
	}
	if report.HookedUp != nil || report.Record.Whole || report.Verdict != finding.FindOut || len(report.Record.Open) == 0 {
		t.Errorf("verdict %s, record %+v", report.Verdict, report.Record)
	}
}

func TestCountsAndReadings(t *testing.T) {
	r := smallRig()
	for name, c := range map[string]struct {
		list   List
		step   string
		ticks  map[string]Tick
		state  State
		wants  Proof
		result Reached
		worst  finding.Verdict
	}{
		"OK":             {HookUp, "receiver_pin", map[string]Tick{"a": {Done: ptr(true), Count: ptr(2)}}, Done, "", CountReached, ""},
		"ErrShort":       {HookUp, "receiver_pin", map[string]Tick{"a": {Done: ptr(true), Count: ptr(1)}}, Open, Counted, CountShort, ""},
		"ErrOtherShort":  {HookUp, "receiver_pin", map[string]Tick{"a": {Done: ptr(true), Count: ptr(2)}, "b": {Count: ptr(1)}}, Open, Counted, CountShort, ""},
		"MindOver":       {HookUp, "receiver_pin", map[string]Tick{"a": {Done: ptr(true), Count: ptr(3)}}, Done, "", CountOver, ""},
		"ErrNoCount":     {HookUp, "receiver_pin", map[string]Tick{"a": {Done: ptr(true)}}, Open, Counted, "", ""},
		"ErrDisagree":    {HookUp, "receiver_pin", map[string]Tick{"a": {Done: ptr(true), Count: ptr(2)}, "b": {Done: ptr(false)}}, Disagree, "", CountReached, ""},
		"UntickedAgain":  {HookUp, "receiver_pin", map[string]Tick{"a": {Done: ptr(false), Count: ptr(2)}}, Open, "", CountReached, ""},
		"ErrNoPhoto":     {HookUp, "parking_brake_confirmed", map[string]Tick{"a": {Done: ptr(true)}}, Open, Photo, "", ""},
		"NoteForPhoto":   {HookUp, "parking_brake_confirmed", map[string]Tick{"a": {Done: ptr(true), Note: "lever flat, lamp dark"}}, Done, "", "", ""},
		"OKVolts":        {StopCheck, "dash", map[string]Tick{"a": {Done: ptr(true), Reading: Taken{Volts: ptr(12.2)}}}, Done, "", "", finding.OK},
		"MindVolts":      {StopCheck, "dash", map[string]Tick{"a": {Done: ptr(true), Reading: Taken{Volts: ptr(12.19)}}}, Done, "", "", finding.Mind},
		"ErrNoVolts":     {StopCheck, "dash", map[string]Tick{"a": {Done: ptr(true), Reading: Taken{Temperature: ptr(unit.C(20))}}}, Open, Reading, "", ""},
		"OKHub":          {StopCheck, "hubs", map[string]Tick{"a": {Done: ptr(true), Reading: Taken{Temperature: ptr(unit.F(140))}}}, Done, "", "", finding.OK},
		"FindOutHub":     {StopCheck, "hubs", map[string]Tick{"a": {Done: ptr(true), Reading: Taken{Temperature: ptr(unit.F(140.001))}}}, Done, "", "", finding.FindOut},
		"HubWithoutTool": {StopCheck, "hubs", map[string]Tick{"a": {Done: ptr(true)}}, Done, "", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			run := ticked(r, c.list)
			run.Ticks[c.step] = c.ticks
			report := Stands(RunInput{Rig: &r, List: c.list, Run: &run})
			i := slices.IndexFunc(report.Steps, func(st *Stand) bool { return st.Step.ID == c.step })
			st := report.Steps[i]
			var result Reached
			if st.Counting != nil {
				result = st.Counting.Result
			}
			var worst finding.Verdict
			for _, j := range st.Readings {
				worst = j.Verdict
			}
			if st.State != c.state || st.Wants != c.wants || result != c.result || worst != c.worst {
				t.Errorf("got %s, wants %q, %q, %q", st.State, st.Wants, result, worst)
			}
		})
	}
}

func TestPartsOfARoadsideCheck(t *testing.T) {
	r := smallRig()
	r.Permission.EngineRunMin = ptr(5.0)
	yes, no := ptr(true), ptr(false)
	for name, c := range map[string]struct {
		run, sight   *bool
		engine, full bool
	}{
		"NotAnswered": {nil, nil, true, true}, "Neither": {no, no, false, false}, "Run": {yes, no, true, true}, "OutOfSight": {no, yes, false, true},
	} {
		t.Run(name, func(t *testing.T) {
			run := ticked(r, StopCheck)
			run.EngineRun, run.OutOfSight = c.run, c.sight
			report := Stands(RunInput{Rig: &r, List: StopCheck, Run: &run})
			for _, st := range report.Steps {
				want := st.Step.Part == "" || st.Step.Part == EngineRunPart && c.engine || st.Step.Part == OutOfSightPart && c.full
				if (st.State == NotNeeded) == want {
					t.Errorf("%s is %s", st.Step.ID, st.State)
				}
			}
			h := report.Happened["checked"]
			if rig.Is(h.EngineRun, true) != c.engine || rig.Is(h.WholeRound, true) != c.full || *h.At != *run.Finished {
				t.Errorf("checked: %+v", h)
			}
			_, ran := report.Happened["engine_run"]
			_, sight := report.Happened["out_of_sight"]
			if ran != rig.Is(c.run, true) || sight != rig.Is(c.sight, true) {
				t.Errorf("happened: %v", report.Happened)
			}
		})
	}
}

func TestUnhookingEndsTheHookUp(t *testing.T) {
	r := smallRig()
	run := Run{Ticks: map[string]map[string]Tick{"unit_off": {"a": {Done: ptr(true)}}}}
	if _, ended := Stands(RunInput{Rig: &r, List: Unhook, Run: &run}).Happened["unhooked"]; !ended {
		t.Error("the first thing taken back ends it")
	}
}

func TestRunFindings(t *testing.T) {
	r := smallRig()
	has := func(run Run, now *Moment, id string) bool {
		return slices.ContainsFunc(Stands(RunInput{Rig: &r, List: HookUp, Run: &run, Now: now}).Findings, func(f finding.Finding) bool { return f.ID == id })
	}
	run := Run{Started: ptr(Moment(1_000_000)), Ticks: map[string]map[string]Tick{"ground": {"a": {Done: ptr(true)}}}}
	if has(run, ptr(Moment(1_000_000+aPause-1)), "walkround.paused") || !has(run, ptr(Moment(1_000_000+aPause)), "walkround.paused") || has(run, nil, "walkround.paused") {
		t.Error("a pause")
	}
	run.Ticks["gone"] = map[string]Tick{"a": {Done: ptr(true)}}
	if !has(run, nil, "walkround.ticks-elsewhere") {
		t.Error("a tick on no step")
	}
	run.Breaks = map[string]Break{"b": {}}
	if !has(run, nil, "walkround.did-you-leave") || !has(run, nil, "walkround.restart-offered") {
		t.Error("a break not answered")
	}
	run.Breaks = map[string]Break{"b": {Left: ptr(false)}}
	if has(run, nil, "walkround.did-you-leave") || has(run, nil, "walkround.restart-offered") {
		t.Error("a break in which nobody left")
	}
}
