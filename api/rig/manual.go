package rig

import (
	"cmp"

	"pintail/api/sorting"
)

// StepPhase is when a step of the owner's manual is done.
type StepPhase string

// The phases.
const (
	HookUp    StepPhase = "hook_up"
	EngineRun StepPhase = "engine_run"
	Unhook    StepPhase = "unhook"
)

// Values lists the phases.
func (StepPhase) Values() []string { return []string{"hook_up", "engine_run", "unhook"} }

// StepTag says what a step of the manual does, as the person who typed it marks
// it. The tool orders and checks by tag; it never writes such a step itself.
type StepTag string

// The tags.
const (
	DrivetrainFree    StepTag = "drivetrain_free"    // sets the car free to roll
	DrivetrainRestore StepTag = "drivetrain_restore" // makes it hold again
	RunsEngine        StepTag = "runs_engine"
	StopsEngine       StepTag = "stops_engine"
	SetsIgnition      StepTag = "sets_ignition"
	PullsFuse         StepTag = "pulls_fuse"
	BatteryOff        StepTag = "battery_off"
	PowerBack         StepTag = "power_back" // fuse or battery cable back
	AutoFunctionsOff  StepTag = "auto_functions_off"
	ParkingBrakeOff   StepTag = "parking_brake_off" // where the manual gives it a place of its own
	OtherStep         StepTag = "other"
)

// Values lists the tags.
func (StepTag) Values() []string {
	return []string{"drivetrain_free", "drivetrain_restore", "runs_engine", "stops_engine", "sets_ignition", "pulls_fuse", "battery_off", "power_back", "auto_functions_off", "parking_brake_off", "other"}
}

// Step is one step of the owner's manual in the user's own words.
type Step struct {
	Phase StepPhase `json:"phase"`
	Order int       `json:"order,omitzero"`
	Text  string    `json:"text"`
	Tag   StepTag   `json:"tag,omitzero"`
	// NeedsSeatOrPedal is true where someone must sit in the car or press its
	// pedal, so that a unit on the pedal goes in afterwards.
	NeedsSeatOrPedal *bool `json:"needs_seat_or_pedal,omitzero"`
}

func (s Step) check(c Checker) {
	if s.Phase == "" {
		c.In("phase").Bad("missing")
	}
	Choice(c, "phase", s.Phase)
	c.Count("order", &s.Order, 0, 1000)
	if s.Text == "" {
		c.In("text").Bad("missing")
	}
	c.Text("text", s.Text, 600)
	Choice(c, "tag", s.Tag)
}

// Manual is the owner's manual's steps as the user typed them.
type Manual struct {
	Steps map[string]Step `json:"steps,omitzero"`
}

func (m Manual) check(c Checker) {
	entries(c, "steps", m.Steps, func(c Checker, s Step) { s.check(c) })
}

// Phase returns the ids of the steps of one phase in order.
func (m Manual) Phase(p StepPhase) []string {
	var ids []string
	for _, id := range Keys(m.Steps) {
		if m.Steps[id].Phase == p {
			ids = append(ids, id)
		}
	}
	sorting.By(ids, func(a, b string) int { return cmp.Compare(m.Steps[a].Order, m.Steps[b].Order) })
	return ids
}

// Tagged returns the ids of the steps of one phase with one tag, in order.
func (m Manual) Tagged(p StepPhase, tag StepTag) []string {
	var ids []string
	for _, id := range m.Phase(p) {
		if m.Steps[id].Tag == tag {
			ids = append(ids, id)
		}
	}
	return ids
}

// BatteryWhileTowed is what the manual wants of the car's battery: as recorded
// for the car, else as the hook-up steps are tagged, else empty for not known.
func (r Rig) BatteryWhileTowed() BatteryState {
	switch {
	case r.Towed.Battery != "":
		return r.Towed.Battery
	case r.Manual.Tagged(HookUp, BatteryOff) != nil:
		return BatteryDisconnected
	case r.Manual.Tagged(HookUp, PullsFuse) != nil:
		return FuseRemoved
	}
	return ""
}
