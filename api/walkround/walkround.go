// Package walkround makes the list that a person works through at the rig:
// hook-up, roadside check, unhook. Its own steps are data; whatever concerns
// the car's drivetrain, ignition, fuses or battery comes only from the owner's
// manual as the user typed and tagged it.
package walkround

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// List names one of the lists.
type List string

// The lists.
const (
	HookUp    List = "hook_up"
	StopCheck List = "stop_check"
	Unhook    List = "unhook"
	SetUp     List = "set_up" // the brake unit's tests after it was fitted or changed
)

// Values lists the lists.
func (List) Values() []string { return []string{"hook_up", "stop_check", "unhook", "set_up"} }

// Input is the input of walkround/list.
type Input struct {
	Rig  *rig.Rig `json:"rig"`
	List List     `json:"list"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	if in.List == "" {
		c.In("list").Bad("missing")
	}
	rig.Choice(c, "list", in.List)
	return c.Err()
}

// Place is where a person stands for a step.
type Place string

// The places.
const (
	Cab     Place = "cab"      // the motorhome's driving seat
	Hitch   Place = "hitch"    // between the vehicles
	CarSeat Place = "car_seat" // in or through the door of the towed car
	CarSide Place = "car_side" // beside the towed car
	CarRear Place = "car_rear" // behind the towed car, out of the lane
	Around  Place = "around"   // walking round both vehicles
)

// Values lists the places.
func (Place) Values() []string {
	return []string{"cab", "hitch", "car_seat", "car_side", "car_rear", "around"}
}

// Proof is what a hold point asks for before the list goes on.
type Proof string

// The proofs.
const (
	NoProof Proof = "none"
	Counted Proof = "count"
	Reading Proof = "reading"
	Photo   Proof = "photo"
)

// Values lists the proofs.
func (Proof) Values() []string { return []string{"none", "count", "reading", "photo"} }

// Step is one step of a list.
type Step struct {
	// ID is stable across versions; a step of the owner's manual has the id
	// "manual." and its key in the rig.
	ID     string        `json:"id"`
	Place  Place         `json:"place"`
	Do     finding.Text  `json:"do"`
	Check  *finding.Text `json:"check,omitzero"`
	Why    *finding.Text `json:"why,omitzero"`
	Hazard *finding.Text `json:"hazard,omitzero"`
	Hold   Proof         `json:"hold"`
	// Count is the number a Counted step must reach, absent where the rig's parts
	// are not counted yet.
	Count *int `json:"count,omitzero"`
	// After are the ids of the steps that must be done first.
	After []string `json:"after"`
	// Holding marks what holds the vehicles together or holds them still: it is
	// touched again after anyone left the rig in the middle of a list.
	Holding bool `json:"holding"`
	// Part is the part of a roadside check the step belongs to; a run may say that
	// the part is not needed at this halt.
	Part Part `json:"part,omitzero"`
	// Reading is what a reading taken at this step is judged by.
	Reading *Range `json:"reading,omitzero"`
	// Undoes are the changes of the hook-up that the step takes back, by the ids
	// of the steps that made them.
	Undoes []string `json:"undoes,omitzero"`
	// FromManual is true for the user's own words from the owner's manual, Tag is
	// what they marked it as.
	FromManual bool            `json:"from_manual"`
	Tag        rig.StepTag     `json:"tag,omitzero"`
	Basis      []finding.Basis `json:"basis"`
}

// Part is a part of a roadside check that not every halt needs.
type Part string

// The parts.
const (
	EngineRunPart  Part = "engine_run"   // the engine run of the owner's manual and what it disturbs
	OutOfSightPart Part = "out_of_sight" // the whole round, after a halt out of sight or an engine run
)

// Values lists the parts.
func (Part) Values() []string { return []string{"engine_run", "out_of_sight"} }

// Report is the answer of walkround/list.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Steps are in working order; neighbours stand at the same place where the
	// order allows.
	Steps []Step `json:"steps"`
}

// Make makes the list for a rig. A car whose manual forbids towing gets no
// hook-up list. The unhook list takes back whatever the hook-up list changes.
func Make(in Input) Report { return makeFor(in, wouldChange(*in.Rig)) }

// makeFor makes the list; an unhook list takes back the changes given.
func makeFor(in Input, made Changes) Report {
	r := *in.Rig
	report := Report{Findings: findings(in.Rig, in.List), Steps: []Step{}}
	if in.List != HookUp || !refused(r.Permission) {
		report.Steps = steps(r, in.List, made)
	}
	finding.Sort(report.Findings)
	report.Verdict = finding.Worst(report.Findings)
	return report
}
