// Package wiring turns a rig's harness into a circuit and reads the lamps off
// the answer.
//
// Describe fills what nobody recorded with typical values and marks each.
// Build makes the circuit once; Set puts it into the state of one step of a
// light test, with faults if wanted; Solve finds every voltage. Set and Solve
// allocate nothing once a network has been solved, so a whole catalogue of
// faults is tried on one network.
//
// Nodes: bat is the motorhome's supply; ml, mr, mt, ms its socket's contacts
// for left, right, tail and a stop feed of its own; c and the letter the car's
// connector; k and the letter the car's end of the wire; sl sr, tl tr, al ar the
// live contacts of stop, tail and turn lamps; gl gr the lamp housings; g the
// car's body, cg the ground contact of its connector, mg that of the socket; fl
// fr ft the car's own wires to stop and tail lamps, sb the far side of its stop
// switch, cb its battery; node 0 the motorhome's chassis.
package wiring

import (
	"pintail/api/rig"
)

// Feed is one of the conductors that carry lamp current to the car.
type Feed int

// The feeds.
const (
	Tail Feed = iota
	Left
	Right
	Stop // a stop feed of its own
	feeds
)

// Name is the feed's word in ids: tail, left, right, stop.
func (f Feed) Name() string { return [...]string{"tail", "left", "right", "stop"}[f] }

// letter is the feed's letter in the names of nodes and parts.
func (f Feed) letter() string { return "tlrs"[f : f+1] }

// The sides of the car, as indices.
const (
	LeftSide = iota
	RightSide
)

// Harness is everything that decides what the lamps do, resolved from a rig:
// every choice made and every resistance known, as a template where nobody
// entered it. A caller may change any of it before Build.
type Harness struct {
	Electric
	// Values lists what was resolved, field by field.
	Values []Value
}

// Electric is what a Harness does, whoever said so: two that are equal are the
// same network, with the same faults.
type Electric struct {
	Signals   rig.Signals
	Approach  rig.Approach
	RearLamps rig.RearLamps
	Converter rig.Converter
	Logic     rig.ConverterLogic
	// HazardAndBrake is the template where HazardRecorded is false: then both
	// are to be accepted.
	HazardAndBrake rig.HazardAndBrake
	HazardRecorded bool

	// Wires are the conductors that run from the socket to the car, Ground
	// whether one of them is a ground.
	Wires  [feeds]bool
	Ground bool
	// TailLamps, StopLamps, TurnLamps and Clearance are the lamps connected, by
	// side; Plate is the plate lamp. Jumper carries the tail feed to the right.
	TailLamps, StopLamps, TurnLamps, Clearance [2]bool
	Plate, Jumper                              bool

	DiodeKind rig.DiodeKind
	// FeedDiodes and CarDiodes are the diodes fitted, by feed.
	FeedDiodes, CarDiodes [feeds]bool

	SupplyV, CarSupplyV, ConverterDropV float64
	// Tapped are the branches spliced to the motorhome's own lamps, OwnLampsA
	// what those draw at their design voltage, FuseA the fuse of each.
	Tapped           [feeds]bool
	OwnLampsA, FuseA [feeds]float64

	TailBulb, StopBulb, TurnBulb, PlateBulb Bulb
	HighStopA, ParkLampsA                   float64
	SidesTied                               bool

	// Interrupted is whether the car's stop switch is cut off while towed,
	// InterrupterFailSafe whether that ends with the umbilical unplugged.
	Interrupted, InterrupterFailSafe bool
	// CarBattery is whether the car's battery is connected, CarStopLive whether
	// its stop lamps have current when it has gone to sleep as well.
	CarBattery, CarStopLive bool
	// UnitPresses is whether the brake unit moves the pedal, UnitFollows whether
	// it does so whenever the motorhome brakes, parked as well.
	UnitPresses, UnitFollows bool

	Runs Runs
	Ohms Ohms
}

// Bulb is the light source of a lamp.
type Bulb struct {
	ID rig.BulbID
	// Volts and Amps are its design point.
	Volts, Amps float64
	LED         bool
}

// Run is one run of conductors.
type Run struct {
	AWG       int
	Conductor rig.Conductor
	FT        float64
}

// Runs are the runs of the harness, at one temperature in °C.
type Runs struct {
	Umbilical, UmbilicalGround, Car, CarGround, Jumper Run
	Celsius                                            float64
}

// Ohms are the resistances of the circuit, in ohms.
type Ohms struct {
	// Source is from the supply to the socket, by feed.
	Source [feeds]float64
	// Umbilical and Car are one feed's run with its contacts.
	Umbilical, Car float64
	// Chassis, UmbilicalGround and CarGround are the way back, in order from the
	// motorhome; Hitch is the by-path, 0 for none; Damp is what is always there.
	Chassis, UmbilicalGround, CarGround, Hitch, Damp float64
	Housing                                          [2]float64
	Jumper                                           float64
	// Splice joins a feed to a lamp, CarSplice the car's wire to it, Tie each
	// side to the car's stop wire.
	Splice, CarSplice, Tie float64
	CarStop                float64
}

// How says how a value came to be known.
type How string

// The ways.
const (
	Template How = "template" // typical; nobody entered it
	Entered  How = "entered"  // recorded in the rig
	Measured How = "measured" // from a survey of this vehicle
)

// Values lists the ways.
func (How) Values() []string { return []string{"template", "entered", "measured"} }

// Value is one value the circuit rests on: a number with its unit, or a word.
type Value struct {
	// Field points into the rig.
	Field string `json:"field"`
	How   How    `json:"how"`
	// Word is a choice, yes or no; Number and Unit a figure.
	Word   string   `json:"word,omitzero"`
	Number *float64 `json:"number,omitzero"`
	Unit   string   `json:"unit,omitzero"`
	// Low and High bound a typical value.
	Low  *float64 `json:"low,omitzero"`
	High *float64 `json:"high,omitzero"`
}

// Arrangement of the lamps that the harness lights.

// Added reports whether the harness lights lamps that are not the car's own.
func (h *Harness) Added() bool {
	return h.Approach == rig.SeparateBulbs || h.Approach == rig.RemovableLamps
}

// Combines and Splits report what the converter does to the signals.
func (h *Harness) Combines() bool {
	return h.Converter == rig.CombinesSignals && h.Signals == rig.SeparateSignals
}

// Splits reports whether the converter tells stop and turn apart.
func (h *Harness) Splits() bool {
	return h.Converter == rig.SeparatesSignals && h.Signals == rig.CombinedSignals && h.Apart()
}

// Unfit reports a converter that cannot do what it is recorded to do with these
// signals and lamps. It is taken as none.
func (h *Harness) Unfit() bool {
	return h.Converter == rig.CombinesSignals && !h.Combines() || h.Converter == rig.SeparatesSignals && !h.Splits()
}

// Apart reports whether stop and turn have lamps of their own.
func (h *Harness) Apart() bool {
	if h.Added() {
		return h.Signals == rig.SeparateSignals && !h.Combines() || h.Signals == rig.CombinedSignals && h.Converter == rig.SeparatesSignals
	}
	return h.RearLamps != rig.CombinedLamps
}

// ThreeFeeds reports whether stop reaches the car's lamps on a feed of its own.
func (h *Harness) ThreeFeeds() bool {
	return h.Splits() || h.Wires[Stop] && !h.Combines()
}
