package rig

// HazardAndBrake is what a motorhome with combined signals does when the hazard
// lamps are on and the driver brakes.
type HazardAndBrake string

// The two ways.
const (
	HazardFlashes HazardAndBrake = "hazard_flashes" // both sides go on flashing
	BrakeSteady   HazardAndBrake = "brake_steady"   // both sides burn steadily
)

// Values lists the ways.
func (HazardAndBrake) Values() []string { return []string{"hazard_flashes", "brake_steady"} }

// Branch is one lamp circuit of the motorhome, from its supply to the socket.
type Branch struct {
	// Tapped is whether the socket's wire is spliced to the wire of the
	// motorhome's own lamps; false is a relay or module of its own.
	Tapped *bool `json:"tapped,omitzero"`
	// OwnLampsA are the amperes of the motorhome's own lamps on the branch.
	OwnLampsA *float64 `json:"own_lamps_a,omitzero"`
	// Ohm is the resistance from the supply to the socket, switch and fuse
	// included.
	Ohm   *float64 `json:"ohm,omitzero"`
	FuseA *float64 `json:"fuse_a,omitzero"`
}

func (b Branch) check(c Checker) {
	c.Number("own_lamps_a", b.OwnLampsA, 0.01, 20)
	c.Number("ohm", b.Ohm, 0.001, 50)
	c.Number("fuse_a", b.FuseA, 1, 40)
}

// TowingCircuits are the motorhome's lamp circuits as its socket carries them.
// Left and Right are the turn feeds, with combined signals stop as well; Stop is
// the stop feed of separate signals.
type TowingCircuits struct {
	// SupplyV is the voltage at the source of the lamp circuits, engine running.
	SupplyV        *float64       `json:"supply_v,omitzero"`
	HazardAndBrake HazardAndBrake `json:"hazard_and_brake,omitzero"`
	Tail           Branch         `json:"tail,omitzero"`
	Left           Branch         `json:"left,omitzero"`
	Right          Branch         `json:"right,omitzero"`
	Stop           Branch         `json:"stop,omitzero"`
}

// The voltages a 12-volt system can have while its lamps are on.
const lowestSupply, highestSupply = 9, 16

func (t TowingCircuits) check(c Checker) {
	c.Number("supply_v", t.SupplyV, lowestSupply, highestSupply)
	Choice(c, "hazard_and_brake", t.HazardAndBrake)
	t.Tail.check(c.In("tail"))
	t.Left.check(c.In("left"))
	t.Right.check(c.In("right"))
	t.Stop.check(c.In("stop"))
}

// TowedCircuits are the car's own lamp circuits.
type TowedCircuits struct {
	// SupplyV is the voltage of the car's battery while it is towed.
	SupplyV *float64 `json:"supply_v,omitzero"`
	// StopOhm is the resistance from the battery through the stop switch to the
	// stop lamps.
	StopOhm *float64 `json:"stop_ohm,omitzero"`
	// SidesTied is whether the left and the right stop lamp hang on one wire: in
	// a car with combined lamps through its turn switch at rest.
	SidesTied *bool `json:"sides_tied,omitzero"`
	// HighStopA are the amperes of the high stop lamp, ParkLampsA those of the
	// park and dash lamps on the tail wire.
	HighStopA  *float64 `json:"high_stop_a,omitzero"`
	ParkLampsA *float64 `json:"park_lamps_a,omitzero"`
	// PWM is whether the lamps are dimmed by switching them fast, Bus whether a
	// data bus orders them, GroundSwitched whether they are switched on their
	// ground side, Monitored whether the car watches their current.
	PWM            *bool `json:"pwm,omitzero"`
	Bus            *bool `json:"bus,omitzero"`
	GroundSwitched *bool `json:"ground_switched,omitzero"`
	Monitored      *bool `json:"monitored,omitzero"`
}

func (t TowedCircuits) check(c Checker) {
	c.Number("supply_v", t.SupplyV, lowestSupply, highestSupply)
	c.Number("stop_ohm", t.StopOhm, 0.001, 50)
	c.Number("high_stop_a", t.HighStopA, 0.01, 5)
	c.Number("park_lamps_a", t.ParkLampsA, 0.01, 20)
}
