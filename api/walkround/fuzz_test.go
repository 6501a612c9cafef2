package walkround

import (
	"testing"

	"pintail/api/strictjson"
)

// FuzzList: whatever the bytes, an input is refused or gives a list that can be
// written.
func FuzzList(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"rig":{}}`, `{"rig":{},"list":"hook_up"}`, `{"rig":{},"list":"unhook"}`, `{"rig":{},"list":"Hook_Up"}`,
		`{"rig":{"manual":{"steps":{"a":{"phase":"unhook","text":"{words} {","tag":"power_back"}}}},"list":"unhook"}`,
		`{"rig":{"coupling":{"parts":{"a":{"kind":"receiver","pins":-1}}}},"list":"stop_check"}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in Input
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		if _, err := strictjson.Marshal(Make(in)); err != nil {
			t.Fatal(err)
		}
	})
}

func TestValidate(t *testing.T) {
	for body, pointer := range map[string]string{
		`{"list":"hook_up"}`:                "/rig",
		`{"rig":{}}`:                        "/list",
		`{"rig":{},"list":"departure"}`:     "/list",
		`{"rig":{"stopping":{"on":"now"}}}`: "/rig/stopping/on",
	} {
		var in Input
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}

// FuzzRun: whatever the bytes, a run is refused or gives an answer that can be
// written, and never counts as done what a phone says is not.
func FuzzRun(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"rig":{},"list":"hook_up","run":{}}`, `{"rig":{},"list":"unhook","run":{"ticks":{"manual.a":{"a":{"done":true}}}},"changes":{"manual.x":{"words":"{words}","tag":"pulls_fuse"},"gone":{}}}`,
		`{"rig":{},"list":"stop_check","run":{"engine_run":false,"out_of_sight":false,"finished":1790000000000,"ticks":{"dash":{"a":{"done":true,"reading":{"volts":12.1}}},"hubs":{"a":{"done":true,"reading":{"temperature":{"f":200}}}}}},"now":1}`,
		`{"rig":{},"list":"hook_up","run":{"breaks":{"b":{"left":true,"again":{"arms":{"a":{"done":true}}}}}},"now":1790000000000}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in RunInput
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		report := Stands(in)
		if _, err := strictjson.Marshal(report); err != nil {
			t.Fatal(err)
		}
		for _, st := range report.Steps {
			if len(st.NotDone) > 0 && (st.State == Done || st.State == TouchAgain) {
				t.Fatalf("%s is %s, and %v say no", st.Step.ID, st.State, st.NotDone)
			}
		}
	})
}

// FuzzHookedUp: whatever the bytes, an input is refused or answered, and what
// holds has not been ended.
func FuzzHookedUp(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"hooked_up":{"hooked_up_at":1}}`, `{"hooked_up":{"hooked_up_at":0}}`,
		`{"hooked_up":{"hooked_up_at":1790000000000,"tested_at":1790000000000,"place":"x","changes":{"arms":{}}},"happened":{"a":{"what":"repaired","at":5},"b":{"what":"checked","at":6,"whole_round":true,"driven":{"km":80}}},"driven":{"mi":60},"now":1790000000001}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in HookedUpInput
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		report := StillHolds(in)
		if _, err := strictjson.Marshal(report); err != nil {
			t.Fatal(err)
		}
		for _, e := range report.Expires {
			if e.Ended == report.Holds && e.Ended {
				t.Fatal("ended, and it holds")
			}
		}
	})
}

func TestValidateRun(t *testing.T) {
	const head = `{"rig":{},"list":"hook_up","run":`
	for body, pointer := range map[string]string{
		`{"rig":{},"list":"hook_up"}`:                                             "/run",
		`{"list":"hook_up","run":{}}`:                                             "/rig",
		`{"rig":{},"run":{}}`:                                                     "/list",
		head + `{"ticks":{"a.b":{}}}}`:                                            "/run/ticks/a.b",
		head + `{"ticks":{"manual.":{}}}}`:                                        "/run/ticks/manual.",
		head + `{"ticks":{"manual.undo.x":{}}}}`:                                  "/run/ticks/manual.undo.x",
		head + `{"ticks":{"arms":{"a b":{}}}}}`:                                   "/run/ticks/arms/a b",
		head + `{"ticks":{"arms":{"a":{"count":-1}}}}}`:                           "/run/ticks/arms/a/count",
		head + `{"ticks":{"arms":{"a":{"at":0}}}}}`:                               "/run/ticks/arms/a/at",
		head + `{"ticks":{"dash":{"a":{"reading":{"volts":61}}}}}}`:               "/run/ticks/dash/a/reading/volts",
		head + `{"ticks":{"hubs":{"a":{"reading":{"temperature":{"c":1100}}}}}}}`: "/run/ticks/hubs/a/reading/temperature",
		head + `{"breaks":{"b":{"again":{"arms":{"a":{"at":7258118400001}}}}}}}`:  "/run/breaks/b/again/arms/a/at",
		head + `{"finished":-5}}`:                                                 "/run/finished",
		head + `{},"changes":{"manual.x":{"tag":"other_than_these"}}}`:            "/changes/manual.x/tag",
		head + `{},"now":0}`:                                                      "/now",
	} {
		var in RunInput
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatalf("%s: %v", body, err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}
