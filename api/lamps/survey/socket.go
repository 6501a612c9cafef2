package survey

import (
	"slices"

	"pintail/api/lamps/parts"
	"pintail/api/rig"
)

// Pin is a contact of the motorhome's socket by what it carries.
type Pin string

// The pins. Supply is no contact: it is the source of the lamp circuits, at the
// battery or the fuse box.
const (
	TailPin   Pin = "tail"
	LeftPin   Pin = "left"
	RightPin  Pin = "right"
	StopPin   Pin = "stop"
	ChargePin Pin = "charge"
	SupplyPin Pin = "supply"
)

// Values lists the pins.
func (Pin) Values() []string { return []string{"tail", "left", "right", "stop", "charge", "supply"} }

// Switches is what is switched on in the motorhome during a reading.
type Switches string

// The states of the switches.
const (
	AllOff      Switches = "off"
	Tail        Switches = "tail"
	Left        Switches = "left"
	Right       Switches = "right"
	Brake       Switches = "brake"
	Hazard      Switches = "hazard"
	BrakeLeft   Switches = "brake_left"
	BrakeRight  Switches = "brake_right"
	TailBrake   Switches = "tail_brake"
	TailLeft    Switches = "tail_left"
	TailRight   Switches = "tail_right"
	HazardBrake Switches = "hazard_brake"
)

// Values lists the states.
func (Switches) Values() []string {
	return []string{"off", "tail", "left", "right", "brake", "hazard", "brake_left", "brake_right", "tail_brake", "tail_left", "tail_right", "hazard_brake"}
}

// Socket is a survey of the motorhome's socket, with nothing plugged in.
type Socket struct {
	// Load is the test load, a lamp of 2 A at 12.8 V where nobody says otherwise.
	Load  Load  `json:"load,omitzero"`
	Meter Meter `json:"meter,omitzero"`
	// Converter is what the motorhome has before its socket, as somebody who looked
	// says: no reading shows it.
	Converter rig.Converter   `json:"converter,omitzero"`
	Readings  []SocketReading `json:"readings,omitzero"`
}

// Load is a filament lamp as a test load: amperes at its design voltage.
type Load struct {
	A *float64 `json:"a,omitzero"`
	V *float64 `json:"v,omitzero"`
}

// Meter is how far a meter may be off: per cent of the reading, and volts for its
// last digits.
type Meter struct {
	Pct *float64 `json:"pct,omitzero"`
	V   *float64 `json:"v,omitzero"`
}

// SocketReading is one pin in one state of the switches. Volts are against the
// socket's ground contact; of a flashing pin those while it is lit. Signs are not
// judged, for leads and clamps get turned round.
type SocketReading struct {
	Pin   Pin      `json:"pin"`
	State Switches `json:"state"`
	// Engine is whether the engine runs, Key whether the ignition is on.
	Engine *bool `json:"engine,omitzero"`
	Key    *bool `json:"key,omitzero"`
	// OpenV is without load, LoadedV with the test load, LoadA the amperes it then
	// draws where they were measured.
	OpenV   *float64 `json:"open_v,omitzero"`
	LoadedV *float64 `json:"loaded_v,omitzero"`
	LoadA   *float64 `json:"load_a,omitzero"`
	// GroundV is between the socket's ground contact and clean metal of the chassis
	// under that load.
	GroundV *float64 `json:"ground_v,omitzero"`
	// RestOhm is from the pin to ground with everything off.
	RestOhm  *float64 `json:"rest_ohm,omitzero"`
	Flashing *bool    `json:"flashing,omitzero"`
}

const (
	maxReadings = 200
	highestV    = 60
	highestA    = 100
)

// Check records everything in the survey that no motorhome could give.
func (s *Socket) Check(c rig.Checker) {
	load, meter := c.In("load"), c.In("meter")
	load.Number("a", s.Load.A, 0.1, 20)
	load.Number("v", s.Load.V, 10, 16)
	meter.Number("pct", s.Meter.Pct, 0, 10)
	meter.Number("v", s.Meter.V, 0, 1)
	rig.Choice(c, "converter", s.Converter)
	list := c.In("readings")
	if len(s.Readings) > maxReadings {
		list.Bad("%d entries, at most %d", len(s.Readings), maxReadings)
		return
	}
	for i := range s.Readings {
		s.Readings[i].check(list.Index(i))
	}
}

func (r *SocketReading) check(c rig.Checker) {
	rig.Needed(c, "pin", r.Pin)
	rig.Needed(c, "state", r.State)
	c.Number("open_v", r.OpenV, -highestV, highestV)
	c.Number("loaded_v", r.LoadedV, -highestV, highestV)
	c.Number("load_a", r.LoadA, -highestA, highestA)
	c.Number("ground_v", r.GroundV, -highestV, highestV)
	c.Number("rest_ohm", r.RestOhm, 0, 1e9)
}

// uses are the contacts that carry a pin.
var uses = map[Pin][]parts.Use{
	TailPin: {parts.Tail, parts.TailLeft, parts.TailRight}, LeftPin: {parts.Left}, RightPin: {parts.Right},
	StopPin: {parts.Stop}, ChargePin: {parts.Power, parts.Ignition},
}

// CheckAgainst refuses pins that the connector lacks.
func (s *Socket) CheckAgainst(c rig.Checker, kind rig.ConnectorKind) {
	connector, known := parts.FindConnector(string(kind))
	list := c.In("readings")
	for i := range s.Readings {
		r := &s.Readings[i]
		if known && r.Pin != SupplyPin && !carries(connector, uses[r.Pin]) {
			list.Index(i).In("pin").Bad("the connector %s has no contact for %s", kind, r.Pin)
		}
	}
}

func carries(c parts.Connector, uses []parts.Use) bool {
	return slices.ContainsFunc(c.Contacts(), func(k parts.Contact) bool {
		return slices.ContainsFunc(uses, func(u parts.Use) bool { return k.Use == u || slices.Contains(k.Also, u) })
	})
}

// same reports whether two readings are of one pin in one state.
func (r *SocketReading) same(o *SocketReading) bool {
	alike := func(a, b *bool) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }
	return r.Pin == o.Pin && r.State == o.State && alike(r.Engine, o.Engine) && alike(r.Key, o.Key)
}
