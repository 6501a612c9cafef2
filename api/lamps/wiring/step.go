package wiring

import "pintail/api/rig"

// Step is one state of switches, pedals and plugs that a light test goes
// through.
type Step string

// The steps.
const (
	StepTail            Step = "tail"
	StepLeft            Step = "left"
	StepRight           Step = "right"
	StepBrake           Step = "brake"
	StepHazard          Step = "hazard"
	StepBrakeLeft       Step = "brake_left"
	StepBrakeRight      Step = "brake_right"
	StepTailBrake       Step = "tail_brake"
	StepTailLeft        Step = "tail_left"
	StepTailRight       Step = "tail_right"
	StepHazardBrake     Step = "hazard_brake"
	StepAllOff          Step = "all_off"
	StepUnplugged       Step = "unplugged"         // tail and brake on, the umbilical pulled
	StepUnitLeftAwake   Step = "unit_left_awake"   // the brake unit's test button and left turn, the car awake
	StepUnitRightAwake  Step = "unit_right_awake"  // and right turn
	StepUnitLeftAsleep  Step = "unit_left_asleep"  // the same, the car gone to sleep as it is towed
	StepUnitRightAsleep Step = "unit_right_asleep" // and right turn
)

// Steps lists the steps in the order in which a test may take them.
func Steps() []Step {
	return []Step{StepTail, StepLeft, StepRight, StepBrake, StepHazard, StepBrakeLeft, StepBrakeRight, StepTailBrake, StepTailLeft, StepTailRight,
		StepHazardBrake, StepAllOff, StepUnplugged, StepUnitLeftAwake, StepUnitRightAwake, StepUnitLeftAsleep, StepUnitRightAsleep}
}

// Values lists the steps.
func (Step) Values() []string {
	var names []string
	for _, s := range Steps() {
		names = append(names, string(s))
	}
	return names
}

// Half is a half of the flash. A step that does not flash is alike in both.
type Half string

// The halves.
const (
	Lit  Half = "lit"  // the turn signal's lamps have current
	Dark Half = "dark" // they have none
)

// Values lists the halves.
func (Half) Values() []string { return []string{"lit", "dark"} }

// Flashes reports whether the halves of the step differ at the motorhome.
func (s Step) Flashes() bool {
	c := s.controls()
	return c.left || c.right
}

// NeedsUnit reports whether the step presses the brake unit's test button.
func (s Step) NeedsUnit() bool { return s.controls().unit }

// Brakes reports whether the motorhome's brake pedal is down in the step.
func (s Step) Brakes() bool { return s.controls().brake }

// State is what a network is put into: a step in one half of the flash.
type State struct {
	Step Step
	Half Half
	// HazardAndBrake overrides the harness where both are tried.
	HazardAndBrake rig.HazardAndBrake
	// Prospective keeps fuses whole that a fault would open: the first instant
	// of a short.
	Prospective bool
	// Car is a switch of the car that is worked beside, none when empty.
	Car CarSwitch
}

// CarSwitch is one of the towed car's own switches.
type CarSwitch string

// The car's switches.
const (
	CarStopSwitch CarSwitch = "stop"
	CarLeftTurn   CarSwitch = "left"
	CarRightTurn  CarSwitch = "right"
	CarParkSwitch CarSwitch = "park"
)

// Values lists the car's switches.
func (CarSwitch) Values() []string { return []string{"stop", "left", "right", "park"} }

// controls is what people's hands and feet do in a step.
type controls struct {
	tail, left, right, brake, hazard bool
	unplugged                        bool
	unit, awake                      bool
}

func (s Step) controls() controls {
	switch s {
	case StepTail:
		return controls{tail: true}
	case StepLeft:
		return controls{left: true}
	case StepRight:
		return controls{right: true}
	case StepBrake:
		return controls{brake: true}
	case StepHazard:
		return controls{left: true, right: true, hazard: true}
	case StepBrakeLeft:
		return controls{brake: true, left: true}
	case StepBrakeRight:
		return controls{brake: true, right: true}
	case StepTailBrake:
		return controls{tail: true, brake: true}
	case StepTailLeft:
		return controls{tail: true, left: true}
	case StepTailRight:
		return controls{tail: true, right: true}
	case StepHazardBrake:
		return controls{brake: true, left: true, right: true, hazard: true}
	case StepUnplugged:
		return controls{tail: true, brake: true, unplugged: true}
	case StepUnitLeftAwake:
		return controls{left: true, unit: true, awake: true}
	case StepUnitRightAwake:
		return controls{right: true, unit: true, awake: true}
	case StepUnitLeftAsleep:
		return controls{left: true, unit: true}
	case StepUnitRightAsleep:
		return controls{right: true, unit: true}
	}
	return controls{}
}
