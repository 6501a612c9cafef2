package parts

import (
	"slices"
	"sync"
)

// Use is what a contact of a connector carries.
type Use string

// The uses of contacts.
const (
	Ground         Use = "ground"
	Tail           Use = "tail"
	Left           Use = "left"  // left turn; with combined signals stop as well
	Right          Use = "right" // right turn; with combined signals stop as well
	Stop           Use = "stop"
	TailLeft       Use = "tail_left"
	TailRight      Use = "tail_right"
	Clearance      Use = "clearance"
	BrakeControl   Use = "brake_control"
	Power          Use = "power"
	Ignition       Use = "ignition"
	Reverse        Use = "reverse"
	Fog            Use = "fog"
	GroundPower    Use = "ground_power"
	GroundIgnition Use = "ground_ignition"
	Reserved       Use = "reserved"
	// Unsettled is a contact with several uses in circulation; see Also.
	Unsettled Use = "unsettled"
)

// Connector is one kind of connector between the vehicles.
type Connector struct {
	ID string
	// Standard is the standard it follows, "" for none.
	Standard string
	contacts []Contact
	Origin   Origin
}

// Contact is one contact of a connector.
type Contact struct {
	Number string
	Use    Use
	// Also lists the uses in circulation of an unsettled contact.
	Also []Use
	// Colour is the wire's colour by the standard, Older the one found in older
	// wiring where it differs. Sources differ and wires differ more: every wire is
	// tested before it is connected.
	Colour, Older string
	// Amps is the most it may carry, 0 where nobody recorded it. ConductorAWG and
	// ConductorMM2 are the conductor the standard wants, 0 where not recorded.
	Amps         float64
	ConductorAWG int
	ConductorMM2 float64
	Origin       Origin
}

// FindConnector returns the connector of that id. An id nobody recorded is not
// found.
func FindConnector(id string) (Connector, bool) {
	c, ok := connectorTable().byID[id]
	return c, ok
}

// ConnectorIDs lists the connectors recorded.
func ConnectorIDs() []string { return slices.Clone(connectorTable().ids) }

// Contacts lists the contacts in order.
func (c Connector) Contacts() []Contact { return slices.Clone(c.contacts) }

// For returns the contact for a use. An unsettled contact is for none.
func (c Connector) For(u Use) (Contact, bool) {
	for _, contact := range c.contacts {
		if contact.Use == u {
			return contact, true
		}
	}
	return Contact{}, false
}

// SplitsTail reports whether left and right tail lamps have contacts of their
// own, which must not be joined on the towing vehicle's side.
func (c Connector) SplitsTail() bool {
	_, split := c.For(TailLeft)
	return split
}

// FunctionColour is the colour by function of North American light vehicles,
// which the car's side of a harness keeps whatever the connector; "" for a use
// that has none. No standard holds everywhere; test each wire.
func FunctionColour(u Use) string {
	switch u {
	case Ground, GroundPower, GroundIgnition:
		return "white"
	case Tail, TailLeft, TailRight, Clearance:
		return "brown"
	case Left:
		return "yellow"
	case Right:
		return "green"
	case Stop:
		return "red"
	case BrakeControl:
		return "blue"
	case Power:
		return "black"
	case Reverse:
		return "purple"
	}
	return ""
}

type connectorFile struct {
	Sources    []string       `json:"sources"`
	Connectors []connectorRow `json:"connectors"`
}

type connectorRow struct {
	ID       string `json:"id"`
	Standard string `json:"standard,omitzero"`
	origin   `json:",inline"`
	Contacts []contactRow `json:"contacts"`
}

// contactRow has a source of its own where that differs from the connector's.
type contactRow struct {
	Number string  `json:"number"`
	Use    Use     `json:"does"`
	Also   []Use   `json:"also,omitzero"`
	Colour string  `json:"colour,omitzero"`
	Older  string  `json:"older,omitzero"`
	Amps   float64 `json:"amps,omitzero"`
	AWG    int     `json:"awg,omitzero"`
	MM2    float64 `json:"mm2,omitzero"`
	Source *int    `json:"source,omitzero"`
}

type connectors struct {
	ids  []string
	byID map[string]Connector
}

var connectorTable = sync.OnceValue(func() connectors {
	var f connectorFile
	read("connectors", &f)
	t := connectors{byID: map[string]Connector{}}
	for _, r := range f.Connectors {
		c := Connector{ID: r.ID, Standard: r.Standard, Origin: r.of(f.Sources)}
		for _, row := range r.Contacts {
			c.contacts = append(c.contacts, row.contact(c.Origin, f.Sources))
		}
		t.ids, t.byID[r.ID] = append(t.ids, r.ID), c
	}
	return t
})

func (r contactRow) contact(whole Origin, sources []string) Contact {
	if r.Source != nil {
		whole.Source = sources[*r.Source]
	}
	return Contact{
		Number: r.Number, Use: r.Use, Also: r.Also, Colour: r.Colour, Older: r.Older,
		Amps: r.Amps, ConductorAWG: r.AWG, ConductorMM2: r.MM2, Origin: whole,
	}
}
