package survey

import (
	"math"
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// CarLamp is one of the car's lamps, at whose wire is measured.
type CarLamp string

// The lamps.
const (
	CarTail      CarLamp = "tail" // one rear tail lamp
	CarStopLeft  CarLamp = "stop_left"
	CarStopRight CarLamp = "stop_right"
	CarTurnLeft  CarLamp = "turn_left" // a turn lamp of its own
	CarTurnRight CarLamp = "turn_right"
	CarPlate     CarLamp = "plate"
	CarHighStop  CarLamp = "high_stop"
	CarParks     CarLamp = "park_lamps" // park and dash lamps on the tail wire
)

// Values lists the lamps.
func (CarLamp) Values() []string {
	return []string{"tail", "stop_left", "stop_right", "turn_left", "turn_right", "plate", "high_stop", "park_lamps"}
}

// Car is a survey of the car's own lamps, worked by its own switches.
type Car struct {
	// BatteryV is the car's battery at rest.
	BatteryV *float64 `json:"battery_v,omitzero"`
	Meter    Meter    `json:"meter,omitzero"`
	// Bus is whether a module orders the lamps over a data bus, SidesTied whether
	// 12 V on the left stop wire light the right stop lamp too.
	Bus       *bool     `json:"bus,omitzero"`
	SidesTied *bool     `json:"sides_tied,omitzero"`
	Wires     []CarWire `json:"wires,omitzero"`
}

// CarWire is what was measured at the wire of one lamp, against the car's body.
// The sign of volts and amperes is not judged.
type CarWire struct {
	Lamp CarLamp `json:"lamp"`
	// OnV and OffV are the wire's volts with the lamp on and off, A the amperes of
	// the lamp.
	OnV  *float64 `json:"on_v,omitzero"`
	OffV *float64 `json:"off_v,omitzero"`
	A    *float64 `json:"a,omitzero"`
	// LitBy are the switches of the car that light the lamp.
	LitBy []wiring.CarSwitch `json:"lit_by,omitzero"`
	// Amber is whether a turn lamp is amber.
	Amber *bool `json:"amber,omitzero"`
	// PWM is whether the voltage is switched fast, as a meter with a frequency range
	// or an oscilloscope shows.
	PWM *bool `json:"pwm,omitzero"`
	// LitAsleep is whether its switch lights it when the car has gone to sleep as it
	// is towed.
	LitAsleep *bool `json:"lit_asleep,omitzero"`
	// Warns is whether the car reports the lamp when it is unplugged.
	Warns *bool `json:"warns,omitzero"`
}

const maxWires = 20

// Check records everything in the survey that no car could give.
func (s *Car) Check(c rig.Checker) {
	c.Number("battery_v", s.BatteryV, -highestV, highestV)
	meter := c.In("meter")
	meter.Number("pct", s.Meter.Pct, 0, 10)
	meter.Number("v", s.Meter.V, 0, 1)
	list := c.In("wires")
	if len(s.Wires) > maxWires {
		list.Bad("%d entries, at most %d", len(s.Wires), maxWires)
		return
	}
	for i := range s.Wires {
		s.Wires[i].check(list.Index(i))
	}
}

func (x *CarWire) check(c rig.Checker) {
	rig.Needed(c, "lamp", x.Lamp)
	c.Number("on_v", x.OnV, -highestV, highestV)
	c.Number("off_v", x.OffV, -highestV, highestV)
	c.Number("a", x.A, -highestA, highestA)
	list := c.In("lit_by")
	if most := len(wiring.CarSwitch("").Values()); len(x.LitBy) > most {
		list.Bad("%d entries, at most %d", len(x.LitBy), most)
		return
	}
	for i, s := range x.LitBy {
		if s == "" {
			list.Index(i).Bad("missing")
		}
		if s != "" && !slices.Contains(s.Values(), string(s)) {
			list.Index(i).Bad("%q is not known", s)
		}
	}
}

// car works out a survey of the car's lamps.
func (w *worker) car(s *Car) {
	w.twice(s)
	t := func(r *rig.Rig) *rig.TowedCircuits { return &r.Towed.Circuits }
	if v := s.BatteryV; v != nil && math.Abs(*v) >= lowestSupply && math.Abs(*v) <= highestSupply {
		w.number("/towed/circuits/supply_v", "V", math.Abs(*v), "survey.why.battery", func(r *rig.Rig) **float64 { return &t(r).SupplyV })
	}
	w.arrangement(s)
	w.flag("/towed/circuits/sides_tied", s.SidesTied, "survey.why.told", func(r *rig.Rig) **bool { return &t(r).SidesTied })
	w.flag("/towed/circuits/bus", s.Bus, "survey.why.told", func(r *rig.Rig) **bool { return &t(r).Bus })
	w.flag("/towed/circuits/pwm", w.any(s, func(x *CarWire) *bool { return x.PWM }), "survey.why.pwm", func(r *rig.Rig) **bool { return &t(r).PWM })
	w.flag("/towed/circuits/monitored", w.any(s, func(x *CarWire) *bool { return x.Warns }), "survey.why.warns", func(r *rig.Rig) **bool { return &t(r).Monitored })
	w.flag("/towed/circuits/ground_switched", w.any(s, func(x *CarWire) *bool { return w.polarity(s, x) }), "survey.why.polarity", func(r *rig.Rig) **bool { return &t(r).GroundSwitched })
	w.flag("/harness/car_stop_lamps_live", w.any(s, func(x *CarWire) *bool {
		if x.Lamp != CarStopLeft && x.Lamp != CarStopRight {
			return nil
		}
		return x.LitAsleep
	}), "survey.why.asleep", func(r *rig.Rig) **bool { return &r.Harness.CarStopLampsLive })
	w.amperes(s)
	w.unsuited()
	w.open("survey.car-open", "/towed/rear_lamps", "/towed/circuits/sides_tied", "/towed/circuits/pwm", "/towed/circuits/bus",
		"/towed/circuits/ground_switched", "/towed/circuits/monitored", "/towed/circuits/supply_v", "/harness/car_stop_lamps_live")
}

// twice reports a lamp that stands in the survey more than once.
func (w *worker) twice(s *Car) {
	for i := range s.Wires {
		if slices.ContainsFunc(s.Wires[:i], func(x CarWire) bool { return x.Lamp == s.Wires[i].Lamp }) {
			w.contradiction("survey.clash_lamp", finding.Params{"lamp": finding.Word("survey.lamp." + string(s.Wires[i].Lamp))})
		}
	}
}

func (w *worker) flag(field string, v *bool, why string, into func(*rig.Rig) **bool) {
	if v != nil {
		w.yes(field, *v, why, into)
	}
}

// any is true where one wire says so, false where one says no and none yes, nil
// where none says.
func (w *worker) any(s *Car, of func(*CarWire) *bool) *bool {
	var found *bool
	for i := range s.Wires {
		if v := of(&s.Wires[i]); v != nil && (found == nil || *v) {
			found = v
		}
	}
	return found
}

// polarity is whether a lamp is switched on its ground side: its wire then has the
// battery's voltage while the lamp is off and next to none while it is on. A lamp
// switched on its live side has it the other way round.
func (w *worker) polarity(s *Car, x *CarWire) *bool {
	if x.OnV == nil || x.OffV == nil {
		return nil
	}
	on, off := math.Abs(*x.OnV) >= fed, math.Abs(*x.OffV) >= fed
	if on == off {
		w.contradiction("survey.clash_polarity", finding.Params{"lamp": finding.Word("survey.lamp." + string(x.Lamp))})
		return nil
	}
	return &off
}

// arrangement decides from what the switches light whether stop and turn share a
// lamp.
func (w *worker) arrangement(s *Car) {
	var shared, stopOnly, turn bool
	var amber *bool
	for i := range s.Wires {
		x := &s.Wires[i]
		lit := func(s wiring.CarSwitch) bool { return slices.Contains(x.LitBy, s) }
		signals := lit(wiring.CarLeftTurn) || lit(wiring.CarRightTurn)
		switch x.Lamp {
		case CarStopLeft, CarStopRight:
			shared = shared || lit(wiring.CarStopSwitch) && signals
			stopOnly = stopOnly || lit(wiring.CarStopSwitch) && !signals
		case CarTurnLeft, CarTurnRight:
			turn = turn || signals
			if x.Amber != nil {
				amber = x.Amber
			}
		}
	}
	var found rig.RearLamps
	switch {
	case shared && (stopOnly || turn):
		w.contradiction("survey.clash_lamps", nil)
		return
	case shared:
		found = rig.CombinedLamps
	case stopOnly && turn && rig.Is(amber, true):
		found = rig.AmberTurn
	case stopOnly && turn && rig.Is(amber, false):
		found = rig.RedTurn
	default:
		return
	}
	word(w, "/towed/rear_lamps", found, "survey.why.rear_lamps", func(r *rig.Rig) *rig.RearLamps { return &r.Towed.RearLamps })
}

// amperes gives what the lamps draw. Figures of added bulbs are not the car's.
func (w *worker) amperes(s *Car) {
	fields := map[CarLamp]struct {
		field         string
		lowest, above float64
		added         bool
		into          func(*rig.Rig) **float64
	}{
		CarTail:      {"/harness/bulbs/tail/a", 0.005, 10, true, func(r *rig.Rig) **float64 { return &r.Harness.Bulbs.Tail.A }},
		CarStopLeft:  {"/harness/bulbs/stop/a", 0.005, 10, true, func(r *rig.Rig) **float64 { return &r.Harness.Bulbs.Stop.A }},
		CarStopRight: {"/harness/bulbs/stop/a", 0.005, 10, true, func(r *rig.Rig) **float64 { return &r.Harness.Bulbs.Stop.A }},
		CarTurnLeft:  {"/harness/bulbs/turn/a", 0.005, 10, true, func(r *rig.Rig) **float64 { return &r.Harness.Bulbs.Turn.A }},
		CarTurnRight: {"/harness/bulbs/turn/a", 0.005, 10, true, func(r *rig.Rig) **float64 { return &r.Harness.Bulbs.Turn.A }},
		CarPlate:     {"/harness/bulbs/plate/a", 0.005, 10, true, func(r *rig.Rig) **float64 { return &r.Harness.Bulbs.Plate.A }},
		CarHighStop:  {"/towed/circuits/high_stop_a", 0.01, 5, false, func(r *rig.Rig) **float64 { return &r.Towed.Circuits.HighStopA }},
		CarParks:     {"/towed/circuits/park_lamps_a", 0.01, 20, false, func(r *rig.Rig) **float64 { return &r.Towed.Circuits.ParkLampsA }},
	}
	for i := range s.Wires {
		x := &s.Wires[i]
		f := fields[x.Lamp]
		if x.A == nil || w.given(f.field) || f.added && w.was.Added() {
			continue
		}
		if a := math.Abs(*x.A); a >= f.lowest && a <= f.above {
			w.number(f.field, "A", a, "survey.why.amps", f.into)
		}
	}
}

// unsuited holds what was found at the car's lamps against feeding them.
func (w *worker) unsuited() {
	r := w.applied()
	if w.was.Added() {
		return
	}
	c := &r.Towed.Circuits
	for _, x := range [...]struct {
		is          *bool
		field, says string
		verdict     finding.Verdict
		relays      bool // whether relays that hand the lamp over mind it
	}{
		{c.GroundSwitched, "/towed/circuits/ground_switched", "plan.unsuited_ground", finding.NoGo, true},
		{c.Bus, "/towed/circuits/bus", "plan.unsuited_bus", finding.NoGo, false},
		{c.PWM, "/towed/circuits/pwm", "plan.unsuited_pwm", finding.NoGo, false},
		{c.Monitored, "/towed/circuits/monitored", "plan.unsuited_monitored", finding.Mind, true},
	} {
		if !rig.Is(x.is, true) || r.Harness.Approach == rig.RelayBypass && !x.relays {
			continue
		}
		v := x.verdict
		if r.Harness.Approach == "" && v == finding.NoGo {
			v = finding.Mind // nothing feeds these lamps yet: it rules a way out
		}
		f := w.find("survey.unsuited", v, true, finding.Say(x.says, nil))
		f.Fields, f.Remedy = []string{x.field, "/harness/approach"}, finding.Advise("plan.unsuited.remedy", nil)
	}
}
