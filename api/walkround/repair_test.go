package walkround

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/trouble"
)

// wholeRun ticks every step of a list, with its proof, until nothing is left.
func wholeRun(r *rig.Rig, l List, run *Run) RunReport {
	if run.Ticks == nil {
		run.Ticks = map[string]map[string]Tick{}
	}
	report := Stands(RunInput{Rig: r, List: l, Run: run})
	for _, st := range report.Steps {
		if run.Ticks[st.Step.ID] == nil {
			run.Ticks[st.Step.ID] = map[string]Tick{"phone-a": proof(st.Step)}
		}
	}
	return Stands(RunInput{Rig: r, List: l, Run: run})
}

func standOf(r RunReport, id string) *Stand {
	for _, st := range r.Steps {
		if st.Step.ID == id {
			return st
		}
	}
	return nil
}

// What a repair may have touched is done only once it is tested again, in the
// list that runs.
func TestRepairAsksAgain(t *testing.T) {
	r := ptr(smallRig())
	run := Run{}
	if done := wholeRun(r, HookUp, &run); !done.MayFinish {
		t.Fatalf("not whole: next %s", done.Next)
	}
	run.Repairs = map[string]Repair{"r1": {Failure: "clip", At: ptr(Moment(1_790_000_100_000)), By: "phone-a"}}
	after := Stands(RunInput{Rig: r, List: HookUp, Run: &run})
	var again []string
	for _, st := range after.Steps {
		if st.State == TouchAgain {
			again = append(again, st.Step.ID)
			if st.Because == nil || st.Because.ID != "walkround.test_again" {
				t.Errorf("%s: because %v", st.Step.ID, st.Because)
			}
		}
	}
	slices.Sort(again)
	if want := []string{"arms", "final_count"}; !slices.Equal(again, want) {
		t.Errorf("asks for %v, want %v", again, want)
	}
	if after.MayFinish || after.Verdict == finding.OK {
		t.Error("it may be finished before the tests")
	}
	run.Repairs["r1"] = Repair{Failure: "clip", Again: map[string]map[string]Touch{
		"arms": {"phone-b": {Done: ptr(true)}}, "final_count": {"phone-a": {Done: ptr(true)}},
	}}
	if tested := Stands(RunInput{Rig: r, List: HookUp, Run: &run}); !tested.MayFinish {
		t.Errorf("tested again, and still asked for: %s", tested.Next)
	}
}

// A roadside check after a repair has the tests of the hook-up too, in an order
// that can be worked through, and its whole round whatever was answered; until
// it is whole the hooked-up state does not hold.
func TestRepairInARoadsideCheck(t *testing.T) {
	r := ptr(smallRig())
	for _, f := range trouble.List(trouble.Input{}).Failures {
		t.Run(f.ID, func(t *testing.T) {
			run := Run{
				Started: ptr(Moment(1_790_000_000_000)), EngineRun: ptr(false), OutOfSight: ptr(false),
				Repairs: map[string]Repair{"r1": {Failure: f.ID}},
			}
			begun := Stands(RunInput{Rig: r, List: StopCheck, Run: &run})
			if begun.Happened["repaired"].What != Repaired {
				t.Error("it does not say that something was repaired")
			}
			if round := standOf(begun, "round_again"); round == nil || round.State == NotNeeded {
				t.Error("no whole round")
			}
			hookUp := map[string]bool{}
			for _, s := range Make(Input{Rig: r, List: HookUp}).Steps {
				hookUp[s.ID] = true
			}
			for _, a := range f.TestAgain {
				for _, id := range a.Steps {
					if a.List == string(HookUp) && hookUp[id] && standOf(begun, againPrefix+id) == nil {
						t.Errorf("%s is not asked for", id)
					}
				}
			}
			run.Finished = ptr(Moment(1_790_000_900_000))
			whole := wholeRun(r, StopCheck, &run)
			// What an earlier tick did not say of the repair is asked for.
			repair := Repair{Failure: f.ID, Again: map[string]map[string]Touch{}}
			for _, st := range whole.Steps {
				repair.Again[st.Step.ID] = map[string]Touch{"phone-a": {Done: ptr(true)}}
			}
			run.Repairs["r1"] = repair
			if whole = Stands(RunInput{Rig: r, List: StopCheck, Run: &run}); !whole.MayFinish {
				t.Fatalf("cannot be worked through: next %s", whole.Next)
			}
			state := StillHolds(HookedUpInput{HookedUp: &HookedUp{HookedUpAt: 1_789_999_000_000}, Happened: whole.Happened})
			if !state.Holds {
				t.Errorf("a whole check does not make it good: %+v", state.Findings)
			}
			delete(whole.Happened, "checked")
			if state = StillHolds(HookedUpInput{HookedUp: &HookedUp{HookedUpAt: 1_789_999_000_000}, Happened: whole.Happened}); state.Holds {
				t.Error("it holds before the check is whole")
			}
		})
	}
}

// A repair that this version does not know is not passed over.
func TestRepairNotKnown(t *testing.T) {
	run := Run{Repairs: map[string]Repair{"r1": {Failure: "of-a-newer-version"}}}
	report := wholeRun(ptr(smallRig()), StopCheck, &run)
	if !slices.ContainsFunc(report.Findings, func(f finding.Finding) bool { return f.ID == "walkround.repair-unknown" && f.Decides }) {
		t.Errorf("%+v", report.Findings)
	}
}

// A "not done" is answered for the very word it was, by a device that says done
// itself; anything else leaves the step not done.
func TestSettled(t *testing.T) {
	const said, answered = Moment(1_790_000_000_000), Moment(1_790_000_100_000)
	r := ptr(smallRig())
	step := "ground"
	for name, c := range map[string]struct {
		notDone Tick
		by      *Tick
		answer  map[string]map[string]Settlement
		state   State
	}{
		"Nobody":           {Tick{Done: ptr(false), At: ptr(said)}, &Tick{Done: ptr(true)}, nil, Disagree},
		"Answered":         {Tick{Done: ptr(false), At: ptr(said)}, &Tick{Done: ptr(true)}, settle("gone", "here", said), Done},
		"SaidAnew":         {Tick{Done: ptr(false), At: ptr(said + 1)}, &Tick{Done: ptr(true)}, settle("gone", "here", said), Disagree},
		"ByItself":         {Tick{Done: ptr(false), At: ptr(said)}, &Tick{Done: ptr(true)}, settle("gone", "gone", said), Disagree},
		"AnswererTookBack": {Tick{Done: ptr(false), At: ptr(said)}, &Tick{Done: ptr(false), At: ptr(said)}, settle("gone", "here", said), Open},
		"AnswererSilent":   {Tick{Done: ptr(false), At: ptr(said)}, nil, settle("gone", "here", said), Open},
		"NoMoment":         {Tick{Done: ptr(false)}, &Tick{Done: ptr(true)}, settle("gone", "here", said), Disagree},
		"AnotherDevice":    {Tick{Done: ptr(false), At: ptr(said)}, &Tick{Done: ptr(true)}, settle("elsewhere", "here", said), Disagree},
	} {
		t.Run(name, func(t *testing.T) {
			run := Run{Ticks: map[string]map[string]Tick{step: {"gone": c.notDone}}, Settled: map[string]map[string]map[string]Settlement{}}
			if c.by != nil {
				run.Ticks[step]["here"] = *c.by
			}
			if c.answer != nil {
				run.Settled[step] = c.answer
				c.answer[rig.Keys(c.answer)[0]]["here2"] = Settlement{SaidAt: said} // one that says nothing of the step counts for nothing
			}
			st := standOf(Stands(RunInput{Rig: r, List: HookUp, Run: &run}), step)
			if st.State != c.state {
				t.Errorf("%s, want %s", st.State, c.state)
			}
			if c.state == Done && (len(st.Settled) != 1 || st.Settled[0].By != "here" || st.Settled[0].Device != "gone" || *st.Settled[0].At != answered) {
				t.Errorf("%+v", st.Settled)
			}
		})
	}
}

func settle(device, by string, said Moment) map[string]map[string]Settlement {
	return map[string]map[string]Settlement{device: {by: {SaidAt: said, At: ptr(Moment(1_790_000_100_000))}}}
}

// Answers never turn a step done on which some device's own last word, not
// answered as it stands, is not done.
func TestSettledIsSafe(t *testing.T) {
	r := ptr(smallRig())
	list := Make(Input{Rig: r, List: HookUp}).Steps
	devices := []string{"a", "b", "c"}
	moment := rapid.Custom(func(t *rapid.T) Moment { return Moment(rapid.IntRange(1, 3).Draw(t, "moment")) })
	rapid.Check(t, func(t *rapid.T) {
		run := Run{Ticks: map[string]map[string]Tick{}, Settled: map[string]map[string]map[string]Settlement{}}
		s := list[0]
		run.Ticks[s.ID], run.Settled[s.ID] = map[string]Tick{}, map[string]map[string]Settlement{}
		for _, d := range devices {
			tick := proof(s)
			tick.Done, tick.At = rapid.SampledFrom([]*bool{nil, ptr(true), ptr(false)}).Draw(t, d), ptr(moment.Draw(t, d))
			run.Ticks[s.ID][d] = tick
			run.Settled[s.ID][d] = rapid.MapOfN(rapid.SampledFrom(devices), rapid.Map(moment, func(m Moment) Settlement { return Settlement{SaidAt: m} }), 0, 3).Draw(t, d)
		}
		st := standOf(Stands(RunInput{Rig: r, List: HookUp, Run: &run}), s.ID)
		for d, tick := range run.Ticks[s.ID] {
			answered := false
			for by, a := range run.Settled[s.ID][d] {
				answered = answered || by != d && a.SaidAt == *tick.At && rig.Is(run.Ticks[s.ID][by].Done, true)
			}
			if st.State == Done && rig.Is(tick.Done, false) && !answered {
				t.Fatalf("%s says not done, nobody answered, and it is done", d)
			}
		}
	})
}
