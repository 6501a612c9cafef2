package demo

import (
	"context"
	"embed"
	"fmt"
	"maps"
	"net/http"
	"time"

	"github.com/go-json-experiment/json"
)

//go:embed records/light-test.json
var records embed.FS

// The ready rig's day: hooked up in the morning, driven, unhooked again. It lies
// a day back, so that nothing of it runs now.
const (
	device   = "demo-phone"
	place    = "Fennel Flats, pitch 9"
	began    = -26 * time.Hour
	unhooked = -20 * time.Hour
	tested   = -30 * time.Hour
	perStep  = 50 * time.Second
)

// stands is what walkround/run answers, as far as a demo needs it.
type stands struct {
	MayFinish bool `json:"may_finish"`
	Steps     []struct {
		Step step `json:"step"`
	} `json:"steps"`
	HookedUp *struct {
		HookedUp map[string]any `json:"hooked_up"`
	} `json:"hooked_up"`
}

type step struct {
	ID    string `json:"id"`
	Hold  string `json:"hold"`
	Count int    `json:"count"`
}

// fillRecords keeps the ready rig's day: a light test, a hook-up and an
// unhooking, each as the API's own lists ask for it.
func (f filler) fillRecords(ctx context.Context, r Rig) error {
	if err := f.keepLightTest(ctx, r); err != nil {
		return err
	}
	hookUp, err := f.walkRound(ctx, r, "hook_up", f.now.Add(began), nil)
	if err != nil {
		return err
	}
	standing, ok := hookUp["hooked_up"].(map[string]any)
	if !ok {
		return fmt.Errorf("demo: the hook-up of %s is not whole", r.ID)
	}
	if err := f.post(ctx, "/v1/walk-rounds", map[string]any{"id": "ready-hook-up", "walk_round": hookUp}); err != nil {
		return err
	}
	unhook, err := f.walkRound(ctx, r, "unhook", f.now.Add(unhooked), map[string]any{"hook_up": "ready-hook-up", "changes": standing["changes"]})
	if err != nil {
		return err
	}
	return f.post(ctx, "/v1/walk-rounds", map[string]any{"id": "ready-unhook", "walk_round": unhook})
}

var names = map[string]string{"hook_up": "Hook-up", "unhook": "Unhook"}

// walkRound works through a list of the rig as one phone would, and returns it
// finished. more is what an unhooking takes over from the hook-up.
func (f filler) walkRound(ctx context.Context, r Rig, kind string, from time.Time, more map[string]any) (map[string]any, error) {
	input := map[string]any{"list": kind, "rig": r.Rig, "run": map[string]any{}}
	if more != nil {
		input["changes"] = more["changes"]
	}
	var at stands
	if err := f.ask(ctx, "/v1/walkround/run", input, &at); err != nil {
		return nil, err
	}
	run := worked(at, from) // every step that the core asks for today
	input["run"] = run
	if err := f.ask(ctx, "/v1/walkround/run", input, &at); err != nil {
		return nil, err
	}
	if !at.MayFinish {
		return nil, fmt.Errorf("demo: the list %s of %s has open steps", kind, r.ID)
	}
	walk := map[string]any{"name": names[kind] + ": " + r.Name, "list": kind, "rig": r.ID, "rig_name": r.Name, "rig_text": string(r.Rig)}
	maps.Copy(walk, run)
	maps.Copy(walk, more)
	if at.HookedUp != nil {
		walk["hooked_up"] = at.HookedUp.HookedUp
	}
	return walk, nil
}

// worked is a run in which one phone has done every step, one after another.
func worked(l stands, from time.Time) map[string]any {
	ticks, at := map[string]any{}, from
	for _, s := range l.Steps {
		at = at.Add(perStep)
		tick := map[string]any{"done": true, "at": at.UnixMilli()}
		switch s.Step.Hold {
		case "count":
			tick["count"] = s.Step.Count
		case "photo":
			tick["note"] = "Looked and felt: as it should be"
		}
		ticks[s.Step.ID] = map[string]any{device: tick}
	}
	return map[string]any{"started": from.UnixMilli(), "finished": at.Add(perStep).UnixMilli(), "place": place, "ticks": ticks}
}

// keepLightTest keeps what a watcher saw of the ready rig's lamps, as the core
// judges it.
func (f filler) keepLightTest(ctx context.Context, r Rig) error {
	b, err := records.ReadFile("records/light-test.json")
	if err != nil {
		return err
	}
	test := map[string]any{}
	if err := json.Unmarshal(b, &test); err != nil {
		return fmt.Errorf("demo: light test: %w", err)
	}
	test["rig"], test["place"], test["at"] = r.ID, place, f.now.Add(tested).Format(time.RFC3339)
	var judged struct {
		Record map[string]any `json:"record"`
	}
	if err := f.ask(ctx, "/v1/lamps/record", map[string]any{"rig": r.Rig, "record": test}, &judged); err != nil {
		return err
	}
	if judged.Record["result"] != "passed" {
		return fmt.Errorf("demo: the light test of %s came to %v", r.ID, judged.Record["result"])
	}
	return f.post(ctx, "/v1/test-records", map[string]any{"id": "ready-lamps", "test_record": judged.Record})
}

// ask runs an operation.
func (f filler) ask(ctx context.Context, path string, body, into any) error {
	answer, err := f.send(ctx, path, body, http.StatusOK)
	if err != nil {
		return err
	}
	return json.Unmarshal(answer, into)
}
