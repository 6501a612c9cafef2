package wiring

import (
	"pintail/api/lamps/parts"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Typical values. Lengths, contacts and the motorhome's lamps are choices of the
// model; the lamps' currents are those of the bulbs' table.
const (
	typicalSupply = 13.5 // engine running, and the test voltage of UN lamps
	// lowSupply and highSupply bound a motorhome's supply with the engine running.
	lowSupply, highSupply = 13.5, 14.5
	typicalCarSupply      = 12.6  // a charged battery at rest
	typicalSource         = 0.131 // 40 ft of 14 AWG, switch and fuse
	typicalContact        = 0.010 // one clean mated contact
	typicalUmbilicalFT    = 8.0   // connector to connector
	typicalCarFT          = 20.0  // connector to rear lamps
	typicalGroundFT       = 3.0   // connector to the car's body
	typicalJumperFT       = 3.0   // lamp to lamp
	typicalAWG            = 16.0  // the thinnest a single conductor may be by 33 CFR 183.425
	typicalChassis        = 0.010 // socket to the motorhome's own ground
	typicalTerminal       = 0.005 // ring terminal on clean metal
	typicalHousing        = 0.010 // lamp housing on the body
	typicalTie            = 0.030 // the car's turn switch, each side
	typicalCarStop        = 0.150 // the car's stop switch, fuse and wire
	typicalCelsius        = 20.0  // of the conductors
	typicalDrop           = 0.5   // a converter with transistors at 2 A
	typicalFuse           = 10.0  // a lamp branch
	splice                = 0.001 // a crimp
	carSplice             = 0.010 // a tap into the car's wire, or a relay's contact
	damp                  = 1e6   // dirt and damp between the car's body and the motorhome
)

// Typical lamps: one dual bulb a side, tail and marker lamps of the motorhome,
// a high stop lamp of two small bulbs, park and dash lamps of the car.
const (
	typicalDual      rig.BulbID = "1157"
	typicalTurn      rig.BulbID = "1156"
	typicalPlate     rig.BulbID = "168"
	typicalOwnTurn              = 2.10
	typicalOwnTail              = 3.23
	typicalOwnStop              = 4.20
	typicalHighStop             = 0.54
	typicalParkLamps            = 1.08
)

// Describe resolves a rig's harness: what is recorded as it is, what is not as
// a template. What a survey of the vehicle gave is marked as measured. The rig has
// been checked.
func Describe(r rig.Rig) Harness {
	d := describer{rig: r}
	d.h.Values = make([]Value, 0, usualValues)
	d.choices()
	d.conductors()
	d.lamps()
	d.diodes()
	d.sources()
	d.resistances()
	d.pedal()
	return d.h
}

// usualValues is room for the values of a usual harness in one piece.
const usualValues = 72

type describer struct {
	rig rig.Rig
	h   Harness
}

func (d *describer) choices() {
	h, in := &d.h, d.rig.Harness
	h.Signals = rig.Signals(d.word("/harness/signals", string(in.Signals), string(rig.CombinedSignals)))
	h.Approach = rig.Approach(d.word("/harness/approach", string(in.Approach), string(rig.SteeringDiodes)))
	h.RearLamps = rig.RearLamps(d.word("/towed/rear_lamps", string(d.rig.Towed.RearLamps), string(rig.CombinedLamps)))
	h.Converter = rig.Converter(d.word("/harness/converter", string(in.Converter), string(d.likelyConverter())))
	if h.Combines() {
		h.Logic = rig.ConverterLogic(d.word("/harness/converter_logic", string(in.ConverterLogic), string(rig.ConverterXOR)))
	}
	if h.Combines() || h.Splits() {
		d.number(&h.ConverterDropV, "/harness/converter_drop_v", in.ConverterDropV, typicalDrop, "V")
	}
	precedence := d.rig.Towing.Circuits.HazardAndBrake
	h.HazardAndBrake, h.HazardRecorded = rig.HazardFlashes, precedence != ""
	if h.Signals == rig.CombinedSignals {
		h.HazardAndBrake = rig.HazardAndBrake(d.word("/towing/circuits/hazard_and_brake", string(precedence), string(rig.HazardFlashes)))
	} else {
		h.HazardRecorded = true // separate signals do not meet
	}
}

// likelyConverter is none, but for separate signals on lamps that are stop and
// turn at once: those need one.
func (d *describer) likelyConverter() rig.Converter {
	if d.h.Signals == rig.SeparateSignals && !d.h.Apart() {
		return rig.CombinesSignals
	}
	return rig.NoConverter
}

func (d *describer) conductors() {
	h, in := &d.h, d.rig.Harness
	f := in.Feeds
	d.yes(&h.Wires[Tail], "/harness/feeds/tail", f.Tail, true)
	d.yes(&h.Wires[Left], "/harness/feeds/left", f.Left, true)
	d.yes(&h.Wires[Right], "/harness/feeds/right", f.Right, true)
	d.yes(&h.Wires[Stop], "/harness/feeds/brake", f.Brake, h.Signals == rig.SeparateSignals && !h.Combines())
	d.yes(&h.Ground, "/harness/feeds/ground", f.Ground, true)

	celsius := typicalCelsius
	how := Template
	if t := in.WireTemperature; t != nil {
		celsius, how = t.In("c"), Entered
	}
	h.Runs.Celsius = celsius
	d.add(Value{Field: "/harness/wire_temperature", How: how, Number: &celsius, Unit: "c"})

	u := in.UmbilicalWire
	h.Runs.Umbilical = d.run("/harness/umbilical_wire", rig.Wire{AWG: u.AWG, Conductor: u.Conductor}, typicalAWG)
	d.length(&h.Runs.Umbilical.FT, "/harness/umbilical_length", in.UmbilicalLength, typicalUmbilicalFT)
	h.Runs.UmbilicalGround = h.Runs.Umbilical
	d.count(&h.Runs.UmbilicalGround.AWG, "/harness/umbilical_wire/ground_awg", u.GroundAWG, h.Runs.Umbilical.AWG)
	h.Runs.Car = d.run("/harness/car_wire", in.CarWire, typicalAWG)
	d.length(&h.Runs.Car.FT, "/harness/car_wire/length", in.CarWire.Length, typicalCarFT)
	h.Runs.CarGround = d.run("/harness/ground/wire", in.Ground.Wire, float64(h.Runs.Car.AWG))
	d.length(&h.Runs.CarGround.FT, "/harness/ground/wire/length", in.Ground.Wire.Length, typicalGroundFT)
	d.yes(&h.Jumper, "/harness/far_side_jumper", in.FarSideJumper, true)
	h.Runs.Jumper = d.run("/harness/jumper_wire", in.JumperWire, float64(h.Runs.Car.AWG))
	d.length(&h.Runs.Jumper.FT, "/harness/jumper_wire/length", in.JumperWire.Length, typicalJumperFT)
}

func (d *describer) run(field string, w rig.Wire, awg float64) Run {
	var r Run
	d.count(&r.AWG, field+"/awg", w.AWG, int(awg))
	r.Conductor = rig.Conductor(d.word(field+"/conductor", string(w.Conductor), string(rig.Stranded)))
	return r
}

func (d *describer) lamps() {
	h, in := &d.h, d.rig.Harness.Lamps
	d.pair(&h.TailLamps, "/harness/lamps/tail", in.Tail, true)
	d.pair(&h.StopLamps, "/harness/lamps/stop", in.Stop, true)
	if h.Apart() {
		d.pair(&h.TurnLamps, "/harness/lamps/turn", in.Turn, h.ThreeFeeds())
	}
	d.pair(&h.Clearance, "/harness/lamps/clearance", in.Clearance, false)
	d.yes(&h.Plate, "/harness/lamps/plate", in.Plate, false)

	b := d.rig.Harness.Bulbs
	h.TailBulb = d.bulb("/harness/bulbs/tail", b.Tail, typicalDual, parts.Bulb.Dim)
	h.StopBulb = d.bulb("/harness/bulbs/stop", b.Stop, typicalDual, parts.Bulb.Bright)
	if h.Apart() {
		h.TurnBulb = d.bulb("/harness/bulbs/turn", b.Turn, typicalTurn, parts.Bulb.Bright)
	}
	if h.Plate {
		h.PlateBulb = d.bulb("/harness/bulbs/plate", b.Plate, typicalPlate, parts.Bulb.Dim)
	}
	c := d.rig.Towed.Circuits
	d.number(&h.HighStopA, "/towed/circuits/high_stop_a", c.HighStopA, typicalHighStop, "A")
	d.number(&h.ParkLampsA, "/towed/circuits/park_lamps_a", c.ParkLampsA, typicalParkLamps, "A")
	d.yes(&h.SidesTied, "/towed/circuits/sides_tied", c.SidesTied, true)
}

// bulb resolves one bulb; source picks the filament that does this lamp's work.
func (d *describer) bulb(field string, b rig.Bulb, typical rig.BulbID, source func(parts.Bulb) parts.Element) Bulb {
	id := rig.BulbID(d.word(field+"/id", string(b.ID), string(typical)))
	known, ok := parts.FindBulb(string(id))
	if !ok {
		known, _ = parts.FindBulb(string(typical)) // a test holds the rig's ids to the table's
	}
	e := source(known)
	bulb := Bulb{ID: id, Volts: e.Volts, LED: e.Name == parts.LED}
	d.number(&bulb.Amps, field+"/a", b.A, e.Amps, "A")
	return bulb
}

func (d *describer) diodes() {
	h, in := &d.h, d.rig.Harness.Diodes
	if h.Approach != rig.SteeringDiodes {
		return
	}
	h.DiodeKind = rig.DiodeKind(d.word("/harness/diodes/kind", string(in.Kind), string(rig.Silicon)))
	for f, p := range []rig.SteeringPair{in.Tail, in.Left, in.Right, in.Stop} {
		if Feed(f) == Stop && !h.ThreeFeeds() {
			continue
		}
		at := "/harness/diodes/" + Feed(f).Name()
		d.yes(&h.FeedDiodes[f], at+"/feed", p.Feed, true)
		d.yes(&h.CarDiodes[f], at+"/car", p.Car, true)
	}
}

func (d *describer) sources() {
	h, in := &d.h, d.rig.Towing.Circuits
	d.number(&h.SupplyV, "/towing/circuits/supply_v", in.SupplyV, typicalSupply, "V")
	if v := &h.Values[len(h.Values)-1]; v.How == Template {
		low, high := float64(lowSupply), float64(highSupply)
		v.Low, v.High = &low, &high
	}
	d.number(&h.CarSupplyV, "/towed/circuits/supply_v", d.rig.Towed.Circuits.SupplyV, typicalCarSupply, "V")
	own := [feeds]float64{typicalOwnTail, typicalOwnTurn, typicalOwnTurn, typicalOwnStop}
	for f, b := range []rig.Branch{in.Tail, in.Left, in.Right, in.Stop} {
		if Feed(f) == Stop && !h.ThreeFeeds() {
			continue
		}
		at := "/towing/circuits/" + Feed(f).Name()
		d.yes(&h.Tapped[f], at+"/tapped", b.Tapped, false)
		if h.Tapped[f] {
			d.number(&h.OwnLampsA[f], at+"/own_lamps_a", b.OwnLampsA, own[f], "A")
		}
		d.number(&h.Ohms.Source[f], at+"/ohm", b.Ohm, typicalSource, "ohm")
		d.number(&h.FuseA[f], at+"/fuse_a", b.FuseA, typicalFuse, "A")
	}
}

func (d *describer) resistances() {
	h, in, o := &d.h, d.rig.Harness, &d.h.Ohms
	var contact float64
	var contacts int
	d.number(&contact, "/harness/connector/contact_ohm", in.Connector.ContactOhm, typicalContact, "ohm")
	d.count(&contacts, "/harness/connector/contacts", in.Connector.Contacts, 2)
	// The first contact is the motorhome's socket, the others the car's end.
	atCar := float64(contacts-1) * contact
	o.Umbilical = contact + h.Runs.Umbilical.ohm(h.Runs.Celsius)
	o.Car = atCar + h.Runs.Car.ohm(h.Runs.Celsius)
	o.Jumper = h.Runs.Jumper.ohm(h.Runs.Celsius)
	o.UmbilicalGround = contact + h.Runs.UmbilicalGround.ohm(h.Runs.Celsius)

	g := in.Ground
	var terminal float64
	d.number(&o.Chassis, "/harness/ground/chassis_ohm", g.ChassisOhm, typicalChassis, "ohm")
	d.number(&terminal, "/harness/ground/terminal_ohm", g.TerminalOhm, typicalTerminal, "ohm")
	o.CarGround = atCar + h.Runs.CarGround.ohm(h.Runs.Celsius) + terminal
	d.number(&o.Housing[LeftSide], "/harness/ground/housing_ohm", g.HousingOhm, typicalHousing, "ohm")
	o.Housing[RightSide] = o.Housing[LeftSide]
	if g.HitchOhm != nil {
		d.number(&o.Hitch, "/harness/ground/hitch_ohm", g.HitchOhm, 0, "ohm")
	}
	o.Damp = damp
	o.Splice, o.CarSplice, o.Tie = splice, carSplice, typicalTie
	if h.Approach == rig.RelayBypass {
		o.Splice = carSplice
	}
	d.number(&o.CarStop, "/towed/circuits/stop_ohm", d.rig.Towed.Circuits.StopOhm, typicalCarStop, "ohm")
}

// ohm is the resistance of one conductor of the run at a temperature in °C.
func (r Run) ohm(celsius float64) float64 {
	return r.FT * parts.OhmPerFoot(r.AWG, parts.Conductor(r.Conductor), celsius)
}

func (d *describer) pedal() {
	h, in := &d.h, d.rig
	d.yes(&h.Interrupted, "/harness/stop_switch_interrupted", in.Harness.StopSwitchInterrupted, false)
	if h.Interrupted {
		d.yes(&h.InterrupterFailSafe, "/harness/interrupter_fail_safe", in.Harness.InterrupterFailSafe, true)
	}
	battery := d.word("/towed/battery", string(in.Towed.Battery), string(rig.BatteryConnected))
	h.CarBattery = rig.BatteryState(battery) != rig.BatteryDisconnected
	d.yes(&h.CarStopLive, "/harness/car_stop_lamps_live", in.Harness.CarStopLampsLive, true)
	if rig.Is(in.BrakeUnit.Fitted, false) {
		return
	}
	d.yes(&h.UnitPresses, "/brake_unit/presses_pedal", in.BrakeUnit.PressesPedal, true)
	switch in.BrakeUnit.Actuation {
	case rig.SignalTriggered, rig.AirOnPedal, rig.HydraulicSensing:
		h.UnitFollows = h.UnitPresses
	}
}

func howEntered(entered bool) How {
	if entered {
		return Entered
	}
	return Template
}

// add takes a value down, as measured where a survey gave exactly that.
func (d *describer) add(v Value) {
	if v.How == Entered {
		for _, m := range d.rig.Measured {
			if m.Says(v.Field, v.Number, v.Word) {
				v.How = Measured
				break
			}
		}
	}
	d.h.Values = append(d.h.Values, v)
}

func (d *describer) word(field, entered, template string) string {
	how := howEntered(entered != "")
	if how == Template {
		entered = template
	}
	d.add(Value{Field: field, How: how, Word: entered})
	return entered
}

func (d *describer) yes(into *bool, field string, entered *bool, template bool) {
	*into = template
	if entered != nil {
		*into = *entered
	}
	word := "no"
	if *into {
		word = "yes"
	}
	d.add(Value{Field: field, How: howEntered(entered != nil), Word: word})
}

func (d *describer) pair(into *[2]bool, field string, p rig.Pair, template bool) {
	d.yes(&into[LeftSide], field+"/left", p.Left, template)
	d.yes(&into[RightSide], field+"/right", p.Right, template)
}

func (d *describer) number(into *float64, field string, entered *float64, template float64, unitName string) {
	*into = template
	if entered != nil {
		*into = *entered
	}
	v := unit.Round9(*into)
	d.add(Value{Field: field, How: howEntered(entered != nil), Number: &v, Unit: unitName})
}

func (d *describer) count(into *int, field string, entered *int, template int) {
	*into = template
	if entered != nil {
		*into = *entered
	}
	v := float64(*into)
	d.add(Value{Field: field, How: howEntered(entered != nil), Number: &v})
}

func (d *describer) length(into *float64, field string, entered *unit.Length, template float64) {
	*into = template
	if entered != nil {
		*into = entered.In("ft")
	}
	v := unit.Round9(*into)
	d.add(Value{Field: field, How: howEntered(entered != nil), Number: &v, Unit: "ft"})
}
