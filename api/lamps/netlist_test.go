package lamps

import (
	"math"
	"strings"
	"testing"

	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// TestNetlistBadInput: what cannot be is refused at its place.
func TestNetlistBadInput(t *testing.T) {
	rigWith := func(change func(*rig.Rig)) NetlistInput {
		r := wired()
		change(&r)
		return NetlistInput{Rig: &r, Step: wiring.StepTail}
	}
	for name, c := range map[string]struct {
		in   NetlistInput
		want string
	}{
		"no rig":           {NetlistInput{Step: wiring.StepTail}, "/rig"},
		"no step":          {NetlistInput{Rig: ptr(wired())}, "/step"},
		"unknown step":     {NetlistInput{Rig: ptr(wired()), Step: "dance"}, "/step"},
		"unknown half":     {NetlistInput{Rig: ptr(wired()), Step: wiring.StepTail, Half: "third"}, "/half"},
		"gauge too thin":   {rigWith(func(r *rig.Rig) { r.Harness.CarWire.AWG = ptr(40) }), "/rig/harness/car_wire/awg"},
		"gauge below zero": {rigWith(func(r *rig.Rig) { r.Harness.UmbilicalWire.AWG = ptr(-2) }), "/rig/harness/umbilical_wire/awg"},
		"no length":        {rigWith(func(r *rig.Rig) { r.Harness.CarWire.Length = ptr(unit.FT(0)) }), "/rig/harness/car_wire/length"},
		"endless":          {rigWith(func(r *rig.Rig) { r.Harness.CarWire.Length = ptr(unit.FT(400_000)) }), "/rig/harness/car_wire/length"},
		"unknown bulb":     {rigWith(func(r *rig.Rig) { r.Harness.Bulbs.Stop.ID = "9999" }), "/rig/harness/bulbs/stop/id"},
		"too cold":         {rigWith(func(r *rig.Rig) { r.Harness.WireTemperature = ptr(unit.C(-60)) }), "/rig/harness/wire_temperature"},
		"no volts":         {rigWith(func(r *rig.Rig) { r.Towing.Circuits.SupplyV = ptr(0.0) }), "/rig/towing/circuits/supply_v"},
		"48 volts":         {rigWith(func(r *rig.Rig) { r.Towing.Circuits.SupplyV = ptr(48.0) }), "/rig/towing/circuits/supply_v"},
		"not a number":     {rigWith(func(r *rig.Rig) { r.Towing.Circuits.SupplyV = ptr(math.NaN()) }), "/rig/towing/circuits/supply_v"},
		"unknown fault":    {NetlistInput{Rig: ptr(wired()), Step: wiring.StepTail, Faults: []string{"open_left", "gremlins"}}, "/faults/1"},
		"no LED to turn":   {NetlistInput{Rig: ptr(wired()), Step: wiring.StepTail, Faults: []string{"led_reversed_stop_left"}}, "/faults/0"},
		"three faults":     {NetlistInput{Rig: ptr(wired()), Step: wiring.StepTail, Faults: []string{"open_left", "open_tail", "open_right"}}, "/faults"},
	} {
		err := c.in.Validate()
		if err == nil || err.Problems[0].Pointer != c.want {
			t.Errorf("%s: %v, want a problem at %s", name, err, c.want)
		}
	}
}

// An LED lamp connected the wrong way round is dark and harms nothing; a lamp no
// feed reaches, and a converter that fits nothing, are said.
func TestNetlistHonest(t *testing.T) {
	led := wired()
	led.Harness.Bulbs.Stop.ID = "LED-STOP"
	in := NetlistInput{Rig: &led, Step: wiring.StepBrake, Faults: []string{"led_reversed_stop_left"}}
	if err := in.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, l := range Netlist(in).Lamps {
		want := map[string]wiring.Glow{"stop_left": wiring.IsDark, "stop_right": wiring.IsFull}[l.ID]
		if want != "" && l.Glow != want {
			t.Errorf("%s is %s, want %s", l.ID, l.Glow, want)
		}
	}
	cut := wired()
	cut.Harness.Feeds.Tail, cut.Harness.Converter = no, rig.CombinesSignals
	var ids []string
	for _, f := range Netlist(NetlistInput{Rig: &cut, Step: wiring.StepTail}).Findings {
		ids = append(ids, f.ID)
	}
	for _, want := range []string{"wiring.converter-unfit", "wiring.lamp-unfed.tail_left", "wiring.lamp-unfed.tail_right", "wiring.lamp-unfed.plate"} {
		if !strings.Contains(strings.Join(ids, " "), want) {
			t.Errorf("no %s in %v", want, ids)
		}
	}
	if fs := Netlist(NetlistInput{Rig: ptr(wired()), Step: wiring.StepTail}).Findings; len(fs) > 0 {
		t.Errorf("a whole rig has %v", fs)
	}
}
