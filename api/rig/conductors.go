package rig

import "pintail/api/unit"

// ConnectorKind is the connector between the vehicles, by its standard.
type ConnectorKind string

// Values lists the kinds.
func (ConnectorKind) Values() []string {
	return []string{"flat_4", "flat_5", "round_6", "blade_7", "round_7", "iso_1724", "iso_11446", "as_2513"}
}

// Connector is what joins motorhome, umbilical and car.
type Connector struct {
	Kind ConnectorKind `json:"kind,omitzero"`
	// Contacts is how many mated contacts each conductor passes: two where the
	// umbilical unplugs at both ends.
	Contacts *int `json:"contacts,omitzero"`
	// ContactOhm is the resistance of one mated contact, ContactA what one may
	// carry.
	ContactOhm *float64 `json:"contact_ohm,omitzero"`
	ContactA   *float64 `json:"contact_a,omitzero"`
}

func (k Connector) check(c Checker) {
	Choice(c, "kind", k.Kind)
	c.Count("contacts", k.Contacts, 1, 4)
	c.Number("contact_ohm", k.ContactOhm, 0.0001, 50)
	c.Number("contact_a", k.ContactA, 1, 100)
}

// Conductor is how a wire is made.
type Conductor string

// The ways of making a wire.
const (
	Solid    Conductor = "solid"
	Stranded Conductor = "stranded"
	Tinned   Conductor = "tinned"
	SAEWire  Conductor = "sae" // SAE sizes hold less copper than the AWG of the same number
)

// Values lists the ways.
func (Conductor) Values() []string { return []string{"solid", "stranded", "tinned", "sae"} }

// Wire is one run of conductors, all alike.
type Wire struct {
	AWG       *int         `json:"awg,omitzero"`
	Conductor Conductor    `json:"conductor,omitzero"`
	Length    *unit.Length `json:"length,omitzero"`
}

// The gauges a harness may be made of, thickest and thinnest.
const thickestAWG, thinnestAWG = 4, 22

// Known reports whether gauge and length are entered.
func (w Wire) Known() bool { return w.AWG != nil && w.Length != nil }

func (w Wire) check(c Checker) {
	c.Count("awg", w.AWG, thickestAWG, thinnestAWG)
	Choice(c, "conductor", w.Conductor)
	c.Length("length", w.Length, 0.5, 100)
}

// UmbilicalWire is the conductors inside the umbilical; its length is the
// umbilical's.
type UmbilicalWire struct {
	AWG       *int      `json:"awg,omitzero"`
	GroundAWG *int      `json:"ground_awg,omitzero"`
	Conductor Conductor `json:"conductor,omitzero"`
}

func (w UmbilicalWire) check(c Checker) {
	c.Count("awg", w.AWG, thickestAWG, thinnestAWG)
	c.Count("ground_awg", w.GroundAWG, thickestAWG, thinnestAWG)
	Choice(c, "conductor", w.Conductor)
}

// Ground is the way back from the car's lamps to the motorhome.
type Ground struct {
	// Wire is the conductor from the car's connector to its body.
	Wire Wire `json:"wire,omitzero"`
	// TerminalOhm is the ring terminal on the car's body, ChassisOhm the
	// motorhome's end, HousingOhm a lamp housing against the body.
	TerminalOhm *float64 `json:"terminal_ohm,omitzero"`
	ChassisOhm  *float64 `json:"chassis_ohm,omitzero"`
	HousingOhm  *float64 `json:"housing_ohm,omitzero"`
	// HitchOhm is the resistance of the by-path through tow bar and hitch, where
	// it was measured.
	HitchOhm *float64 `json:"hitch_ohm,omitzero"`
}

func (g Ground) check(c Checker) {
	g.Wire.check(c.In("wire"))
	c.Number("terminal_ohm", g.TerminalOhm, 0.0001, 50)
	c.Number("chassis_ohm", g.ChassisOhm, 0.0001, 50)
	c.Number("housing_ohm", g.HousingOhm, 0.0001, 50)
	c.Number("hitch_ohm", g.HitchOhm, 0.01, 10_000)
}

// DiodeKind is the kind of steering diode.
type DiodeKind string

// The kinds.
const (
	Silicon  DiodeKind = "silicon"
	Schottky DiodeKind = "schottky"
)

// Values lists the kinds.
func (DiodeKind) Values() []string { return []string{"silicon", "schottky"} }

// SteeringPair is the two diodes that meet at one lamp: one keeps the car's
// current out of the motorhome, the other the motorhome's out of the car.
type SteeringPair struct {
	Feed *bool `json:"feed,omitzero"`
	Car  *bool `json:"car,omitzero"`
}

// Diodes are the steering diodes of a harness. Left and Right are those of the
// turn feeds, Stop those of a stop feed of its own.
type Diodes struct {
	Kind  DiodeKind    `json:"kind,omitzero"`
	Tail  SteeringPair `json:"tail,omitzero"`
	Left  SteeringPair `json:"left,omitzero"`
	Right SteeringPair `json:"right,omitzero"`
	Stop  SteeringPair `json:"stop,omitzero"`
}

// ConverterLogic is what a combining converter makes of brake and turn on one
// side.
type ConverterLogic string

// The ways.
const (
	ConverterXOR     ConverterLogic = "xor"     // the turn signal shows under braking, out of phase
	ConverterOR      ConverterLogic = "or"      // the brake hides the turn signal
	ConverterInhibit ConverterLogic = "inhibit" // no brake on a side that signals
)

// Values lists the ways.
func (ConverterLogic) Values() []string { return []string{"xor", "or", "inhibit"} }
