package parts

import (
	"math"
	"sync"
)

// ElementName tells the light sources of one bulb apart.
type ElementName string

// The light sources of bulbs.
const (
	Major  ElementName = "major"  // the bright filament: stop and turn
	Minor  ElementName = "minor"  // the dim filament: tail
	Single ElementName = "single" // the only filament
	LED    ElementName = "led"    // a string of light-emitting diodes
)

// Bulb is one bulb by its US trade number or UN category.
type Bulb struct {
	ID string
	// Cap is the cap that fits the socket, for example BAY15d.
	Cap      string
	elements []Element
}

// Element is one light source of a bulb at its design or test voltage.
type Element struct {
	Name  ElementName
	Volts float64
	Amps  float64
	// Lumens is 0 where nobody recorded the light.
	Lumens float64
	Origin Origin
}

// FindBulb returns the bulb of that id. An id nobody recorded is not found.
func FindBulb(id string) (Bulb, bool) {
	b, ok := bulbTable().byID[id]
	return b, ok
}

// BulbIDs lists the bulbs recorded, in the order of their table.
func BulbIDs() []string {
	return append([]string(nil), bulbTable().ids...)
}

// Element returns the light source of that name.
func (b Bulb) Element(name ElementName) (Element, bool) {
	for _, e := range b.elements {
		if e.Name == name {
			return e, true
		}
	}
	return Element{}, false
}

// Bright is the light source for a stop or turn signal: the major filament, or
// the only one.
func (b Bulb) Bright() Element { return b.elements[0] }

// Dim is the light source for a tail lamp: the minor filament, or the only one.
func (b Bulb) Dim() Element { return b.elements[len(b.elements)-1] }

// Light is the light of a filament at a voltage, 1 at its design voltage:
// (volts/design)^3.4, whichever way the current runs. Source: Fink and Beaty,
// Standard Handbook for Electrical Engineers, 11th ed., p. 22-8, as cited in
// public articles.
func Light(volts, design float64) float64 {
	return math.Pow(math.Abs(volts)/design, 3.4)
}

// YardStick is the share of its design voltage that a lamp should get.
// California Vehicle Code 24252(b) asks for 85 % at tail, stop, plate, side
// marker and clearance lamps with the engine running; it is a rule of
// California, not a federal one.
const YardStick = 0.85

// MSCP is the mean spherical candlepower: lumens over 4 pi.
func (e Element) MSCP() float64 { return e.Lumens / (4 * math.Pi) }

type bulbFile struct {
	Sources []string  `json:"sources"`
	Bulbs   []bulbRow `json:"bulbs"`
}

type bulbRow struct {
	ID       string       `json:"id"`
	Cap      string       `json:"cap"`
	Elements []elementRow `json:"elements"`
}

// elementRow holds the light as its source prints it: candlepower or lumens.
type elementRow struct {
	Name   ElementName `json:"name"`
	Volts  float64     `json:"volts"`
	Amps   float64     `json:"amps"`
	MSCP   float64     `json:"mscp,omitzero"`
	Lumens float64     `json:"lumens,omitzero"`
	origin `json:",inline"`
}

type bulbs struct {
	ids  []string
	byID map[string]Bulb
}

var bulbTable = sync.OnceValue(func() bulbs {
	var f bulbFile
	read("bulbs", &f)
	t := bulbs{byID: map[string]Bulb{}}
	for _, r := range f.Bulbs {
		b := Bulb{ID: r.ID, Cap: r.Cap}
		for _, e := range r.Elements {
			b.elements = append(b.elements, e.element(f.Sources))
		}
		t.ids, t.byID[r.ID] = append(t.ids, r.ID), b
	}
	return t
})

func (r elementRow) element(sources []string) Element {
	lumens := r.Lumens
	if r.MSCP != 0 {
		lumens = 4 * math.Pi * r.MSCP
	}
	return Element{Name: r.Name, Volts: r.Volts, Amps: r.Amps, Lumens: lumens, Origin: r.of(sources)}
}
