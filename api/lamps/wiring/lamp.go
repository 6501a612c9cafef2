package wiring

import (
	"pintail/api/circuit"
	"pintail/api/lamps/parts"
	"pintail/api/unit"
)

// Lens is what a person looks at: one lamp of the car or of the motorhome, which
// may hold several filaments.
type Lens string

// The lenses. Left and right are as seen by somebody who stands behind the car.
const (
	LeftRear    Lens = "left_rear"  // the red lamp of tail and stop, turn as well where they are combined
	RightRear   Lens = "right_rear" //
	LeftTurn    Lens = "left_turn"  // a turn lamp of its own
	RightTurn   Lens = "right_turn" //
	PlateLens   Lens = "plate"
	HighStop    Lens = "high_stop"
	CarLeft     Lens = "car_left" // the car's own red lamp beside an added one
	CarRight    Lens = "car_right"
	CarPark     Lens = "car_park" // park and dash lamps: people see them from the front
	TowingLeft  Lens = "motorhome_left"
	TowingRight Lens = "motorhome_right"
	TowingTail  Lens = "motorhome_tail"
	TowingStop  Lens = "motorhome_stop"
)

// Values lists the lenses.
func (Lens) Values() []string {
	return []string{"left_rear", "right_rear", "left_turn", "right_turn", "plate", "high_stop", "car_left", "car_right", "car_park",
		"motorhome_left", "motorhome_right", "motorhome_tail", "motorhome_stop"}
}

// Job is what a light source is for.
type Job string

// The jobs.
const (
	TailJob     Job = "tail"
	StopJob     Job = "stop"
	TurnJob     Job = "turn"
	StopTurnJob Job = "stop_turn" // stop and turn on one filament
	PlateJob    Job = "plate"
	ParkJob     Job = "park"
)

// Values lists the jobs.
func (Job) Values() []string { return []string{"tail", "stop", "turn", "stop_turn", "plate", "park"} }

// Lamp is one light source of a network.
type Lamp struct {
	// ID is unique in the network, for example stop_left.
	ID   string
	Lens Lens
	Job  Job
	// Part and its nodes: Live is the contact that is fed, Back its ground.
	Part       circuit.Part
	Live, Back circuit.Node
	// Volts and Amps are the design point.
	Volts, Amps float64
	LED         bool
	// Connected is false where the harness leads to no such lamp.
	Connected bool
}

// light is the light of a lamp, 1 at its design point. A filament does not mind
// which way the current runs; an LED shines in proportion to its forward
// current.
func (l *Lamp) light(volts, amps float64) float64 {
	if l.LED {
		return max(0, amps/l.Amps)
	}
	return parts.Light(volts, l.Volts)
}

// Glow is how a light looks to a person beside a sound one.
type Glow string

// The words, from none to all.
const (
	IsDark  Glow = "dark"
	IsFaint Glow = "faint" // from a two-thousandth of the design light
	IsGlow  Glow = "glow"  // from a fiftieth
	IsDim   Glow = "dim"   // from a fifth
	IsFull  Glow = "full"  // from a half: a sound lamp behind a diode has 0.52 to 0.79
)

// Values lists the words.
func (Glow) Values() []string { return []string{"dark", "faint", "glow", "dim", "full"} }

// GlowOf names a light, 1 being the design light. The bounds are those of common
// practice: eyes compare, they do not measure.
func GlowOf(light float64) Glow {
	switch l := unit.Round9(light); {
	case l >= 0.5:
		return IsFull
	case l >= 0.2:
		return IsDim
	case l >= 0.02:
		return IsGlow
	case l >= 0.0005:
		return IsFaint
	}
	return IsDark
}
