package rig

import "pintail/api/unit"

// Signals is how a motorhome's socket carries stop and turn.
type Signals string

// The two ways.
const (
	CombinedSignals Signals = "combined" // stop and turn on the same two feeds
	SeparateSignals Signals = "separate" // a stop feed of its own
)

// Values lists the ways.
func (Signals) Values() []string { return []string{"combined", "separate"} }

// Approach is how the motorhome's feeds reach the car's rear lamps.
type Approach string

// The approaches.
const (
	SteeringDiodes Approach = "steering_diodes" // into the factory lamps through diodes
	SeparateBulbs  Approach = "separate_bulbs"  // bulbs of their own inside the housings
	RemovableLamps Approach = "removable_lamps" // a lamp bar laid on the car
	RelayBypass    Approach = "relay_bypass"    // relays that switch the lamps over
	SplicedOn      Approach = "spliced_on"      // spliced to the factory wires, nothing against back-feed
)

// Values lists the approaches.
func (Approach) Values() []string {
	return []string{"steering_diodes", "separate_bulbs", "removable_lamps", "relay_bypass", "spliced_on"}
}

// Converter turns one arrangement of stop and turn into the other.
type Converter string

// The kinds of converter.
const (
	NoConverter      Converter = "none"
	CombinesSignals  Converter = "separate_to_combined"
	SeparatesSignals Converter = "combined_to_separate"
)

// Values lists the kinds.
func (Converter) Values() []string {
	return []string{"none", "separate_to_combined", "combined_to_separate"}
}

// Feeds says which conductors run from the motorhome's socket to the car. An
// absent answer is not known.
type Feeds struct {
	Tail   *bool `json:"tail,omitzero"`
	Left   *bool `json:"left,omitzero"`
	Right  *bool `json:"right,omitzero"`
	Brake  *bool `json:"brake,omitzero"`
	Ground *bool `json:"ground,omitzero"`
}

// Pair is a pair of lamps or lamp wires, left and right. True is fitted and
// connected.
type Pair struct {
	Left  *bool `json:"left,omitzero"`
	Right *bool `json:"right,omitzero"`
}

// LampSet says which lamps at the rear of the car the harness is connected to.
type LampSet struct {
	Tail  Pair  `json:"tail,omitzero"`
	Stop  Pair  `json:"stop,omitzero"`
	Turn  Pair  `json:"turn,omitzero"`
	Plate *bool `json:"plate,omitzero"`
	// Clearance are the lamps that wide vehicles carry.
	Clearance Pair `json:"clearance,omitzero"`
	// Reflectors is the number of red reflectors at the rear of the car.
	Reflectors *int `json:"reflectors,omitzero"`
}

// ChargeLine is a line that charges a battery in the car from the motorhome.
type ChargeLine struct {
	Fitted *bool         `json:"fitted,omitzero"`
	To     ChargedSource `json:"to,omitzero"`
	// SourceV is the voltage at the motorhome's end while its engine runs; HaltV
	// at a halt, absent where nothing flows then.
	SourceV  *float64 `json:"source_v,omitzero"`
	HaltV    *float64 `json:"halt_v,omitzero"`
	Isolator Isolator `json:"isolator,omitzero"`
	// Wire is the whole way from source to battery, its length one way; the way
	// back is taken to be the same. Contacts are the mated contacts both ways.
	Wire     Wire `json:"wire,omitzero"`
	Contacts *int `json:"contacts,omitzero"`
	// LimitA is what a current limiter lets through.
	LimitA *float64 `json:"limit_a,omitzero"`
	// FuseTowingA and FuseTowedA are the fuses at the two ends, ConnectorA what
	// the umbilical's contact may carry.
	FuseTowingA *float64 `json:"fuse_towing_a,omitzero"`
	FuseTowedA  *float64 `json:"fuse_towed_a,omitzero"`
	ConnectorA  *float64 `json:"connector_a,omitzero"`
}

func (l ChargeLine) check(c Checker) {
	Choice(c, "to", l.To)
	c.Number("source_v", l.SourceV, 10, 16)
	c.Number("halt_v", l.HaltV, 10, 16)
	Choice(c, "isolator", l.Isolator)
	l.Wire.check(c.In("wire"))
	c.Count("contacts", l.Contacts, 0, 60)
	c.Number("limit_a", l.LimitA, 0.1, 100)
	c.Number("fuse_towing_a", l.FuseTowingA, 1, 100)
	c.Number("fuse_towed_a", l.FuseTowedA, 1, 100)
	c.Number("connector_a", l.ConnectorA, 1, 100)
}

// Isolator is what keeps the two vehicles' batteries apart.
type Isolator string

// The kinds.
const (
	RelayIsolator   Isolator = "relay"   // a contact, no drop
	DiodeIsolator   Isolator = "diode"   // loses a diode's drop
	CurrentLimiter  Isolator = "limiter" // lets through what it is set to, one way
	WithoutIsolator Isolator = "none"
)

// Values lists the kinds.
func (Isolator) Values() []string { return []string{"relay", "diode", "limiter", "none"} }

// ChargedSource is the battery a charge line feeds.
type ChargedSource string

// The batteries.
const (
	ToCarBattery       ChargedSource = "car_battery"
	ToBreakawayBattery ChargedSource = "breakaway_battery"
	ToBrakeUnitBattery ChargedSource = "brake_unit_battery"
)

// Values lists the batteries.
func (ChargedSource) Values() []string {
	return []string{"car_battery", "breakaway_battery", "brake_unit_battery"}
}

// Harness is the conductors, diodes, connectors, lamps and grounds that light
// the car's rear.
type Harness struct {
	Signals   Signals   `json:"signals,omitzero"`
	Approach  Approach  `json:"approach,omitzero"`
	Converter Converter `json:"converter,omitzero"`
	Feeds     Feeds     `json:"feeds,omitzero"`
	Lamps     LampSet   `json:"lamps,omitzero"`
	// CarStopLampsLive is whether the car's own stop lamps light when its pedal
	// is pressed in the state in which it is towed.
	CarStopLampsLive *bool `json:"car_stop_lamps_live,omitzero"`
	// StopSwitchInterrupted is whether the car's stop switch is cut off from the
	// lamps while towed.
	StopSwitchInterrupted *bool `json:"stop_switch_interrupted,omitzero"`
	// InterrupterFailSafe is whether what cuts it off lets go by itself when the
	// umbilical is unplugged.
	InterrupterFailSafe *bool        `json:"interrupter_fail_safe,omitzero"`
	UmbilicalLength     *unit.Length `json:"umbilical_length,omitzero"`
	ChargeLine          ChargeLine   `json:"charge_line,omitzero"`

	// What follows are the figures of the circuit. Absent, a typical value is
	// taken and marked so.
	Connector      Connector      `json:"connector,omitzero"`
	ConverterLogic ConverterLogic `json:"converter_logic,omitzero"`
	// ConverterDropV is the voltage a converter keeps for itself.
	ConverterDropV *float64 `json:"converter_drop_v,omitzero"`
	// ConverterPowered is whether the converter takes its lamp current from a
	// line of its own and only senses the motorhome's feeds.
	ConverterPowered *bool         `json:"converter_powered,omitzero"`
	UmbilicalWire    UmbilicalWire `json:"umbilical_wire,omitzero"`
	// CarWire runs from the car's connector to its lamps.
	CarWire Wire   `json:"car_wire,omitzero"`
	Diodes  Diodes `json:"diodes,omitzero"`
	// FarSideJumper is whether the tail feed goes on from the left lamp to the
	// right one over a jumper, JumperWire.
	FarSideJumper *bool  `json:"far_side_jumper,omitzero"`
	JumperWire    Wire   `json:"jumper_wire,omitzero"`
	Ground        Ground `json:"ground,omitzero"`
	Bulbs         Bulbs  `json:"bulbs,omitzero"`
	// WireTemperature is how warm the conductors are, InsulationC the degrees
	// Celsius that their insulation is made for.
	WireTemperature *unit.Temperature `json:"wire_temperature,omitzero"`
	InsulationC     *int              `json:"insulation_c,omitzero"`
}

func (h Harness) check(c Checker) {
	Choice(c, "signals", h.Signals)
	Choice(c, "approach", h.Approach)
	Choice(c, "converter", h.Converter)
	c.In("lamps").Count("reflectors", h.Lamps.Reflectors, 0, 20)
	c.Length("umbilical_length", h.UmbilicalLength, 1, 40)
	h.ChargeLine.check(c.In("charge_line"))
	h.checkCircuit(c)
}

func (h Harness) checkCircuit(c Checker) {
	h.Connector.check(c.In("connector"))
	Choice(c, "converter_logic", h.ConverterLogic)
	c.Number("converter_drop_v", h.ConverterDropV, 0, 5)
	h.UmbilicalWire.check(c.In("umbilical_wire"))
	h.CarWire.check(c.In("car_wire"))
	Choice(c.In("diodes"), "kind", h.Diodes.Kind)
	h.JumperWire.check(c.In("jumper_wire"))
	h.Ground.check(c.In("ground"))
	h.Bulbs.check(c.In("bulbs"))
	c.Temperature("wire_temperature", h.WireTemperature)
	c.Count("insulation_c", h.InsulationC, 60, 200)
}
