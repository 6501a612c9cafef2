// Package rig is the vocabulary of a rig as plain data: the motorhome, the
// towed car, and everything between them.
//
// Every figure may be absent: a nil pointer, an empty word or an empty map
// means that nobody entered it, never zero. Things a person adds freely (parts
// of the coupling chain, cables, the manual's steps) are maps keyed by id with
// an order, so that two phones can edit them and meet later.
package rig

import "pintail/api/finding"

// Rig is one motorhome, one towed car, and everything between them.
type Rig struct {
	Name       string     `json:"name,omitzero"`
	Towing     Towing     `json:"towing,omitzero"`
	Towed      Towed      `json:"towed,omitzero"`
	Permission Permission `json:"permission,omitzero"`
	Coupling   Coupling   `json:"coupling,omitzero"`
	Harness    Harness    `json:"harness,omitzero"`
	BrakeUnit  BrakeUnit  `json:"brake_unit,omitzero"`
	Breakaway  Breakaway  `json:"breakaway,omitzero"`
	Stopping   Stopping   `json:"stopping,omitzero"`
	Manual     Manual     `json:"manual,omitzero"`
	// Measured marks entries of the rig that a survey of the vehicle gave.
	Measured map[string]Measurement `json:"measured,omitzero"`
}

// Check records every value of the rig that is not possible.
func (r Rig) Check(c Checker) {
	c.Text("name", r.Name, 120)
	r.Towing.check(c.In("towing"))
	r.Towed.check(c.In("towed"))
	r.Permission.check(c.In("permission"))
	r.Coupling.check(c.In("coupling"))
	r.Harness.check(c.In("harness"))
	r.BrakeUnit.check(c.In("brake_unit"))
	r.Breakaway.Check(c.In("breakaway"))
	r.Stopping.check(c.In("stopping"))
	r.Manual.check(c.In("manual"))
	entries(c, "measured", r.Measured, func(c Checker, m Measurement) { m.check(c) })
}

// Required records every value of a rig that is not possible, or that there is
// no rig at all.
func Required(c Checker, r *Rig) {
	if r == nil {
		c.Bad("missing")
		return
	}
	r.Check(c)
}

// Input is the input of every operation that needs nothing but a rig.
type Input struct {
	Rig *Rig `json:"rig"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := NewChecker()
	Required(c.In("rig"), in.Rig)
	return c.Err()
}
