package survey_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/lamps/survey"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

func ptr[T any](v T) *T { return &v }

func read(pin survey.Pin, state survey.Switches, open, loaded float64) survey.SocketReading {
	r := survey.SocketReading{Pin: pin, State: state, Engine: ptr(true)}
	if open >= 0 {
		r.OpenV = &open
	}
	if loaded >= 0 {
		r.LoadedV = &loaded
	}
	return r
}

const none = -1

func mustMake(t *testing.T, in survey.Input) survey.Report {
	t.Helper()
	if in.Rig == nil {
		in.Rig = &rig.Rig{}
	}
	if err := in.Validate(); err != nil {
		t.Fatal(err)
	}
	return survey.Make(in)
}

func socket(t *testing.T, readings ...survey.SocketReading) survey.Report {
	t.Helper()
	return mustMake(t, survey.Input{Socket: &survey.Socket{Readings: readings}})
}

// entry is an edit as text, "" where the survey does not give it.
func entry(r survey.Report, field string) string {
	for _, e := range r.Edits {
		if e.Field == field {
			switch {
			case e.Number != nil:
				return fmt.Sprint(*e.Number)
			case e.Yes != nil:
				return fmt.Sprint(*e.Yes)
			}
			return e.Word
		}
	}
	return ""
}

func says(r survey.Report, id string) bool {
	return slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return f.Says.ID == id })
}

// A socket pin with 13.1 V loaded on turn and 7.0 V loaded on brake has its fault
// in the motorhome's stop branch. By hand: a lamp of 2 A at 12.8 V draws
// 2 (7.0/12.8)^0.55 = 1.435 A at 7.0 V and 2.026 A at 13.1 V (Fink and Beaty,
// exponent 0.55). With 13.5 V open: (13.5-7.0)/1.435 - (13.5-13.1)/2.026 = 4.33 Ω.
// Without it at least 6.1 V are lost at 1.435 A more than through the other way:
// 4.25 Ω, less what lamp and meter may be off.
func TestStopBranch(t *testing.T) {
	for _, c := range []struct {
		name            string
		readings        []survey.SocketReading
		ohm, low, least float64
	}{
		{"open and loaded", []survey.SocketReading{read(survey.LeftPin, survey.Left, 13.5, 13.1), read(survey.LeftPin, survey.Brake, 13.5, 7.0)}, 4.33, 3.7, 0},
		{"loaded only", []survey.SocketReading{read(survey.LeftPin, survey.Left, none, 13.1), read(survey.LeftPin, survey.Brake, none, 7.0)}, 0, 0, 3.7},
		{"leads turned round", []survey.SocketReading{read(survey.LeftPin, survey.Left, 13.5, 13.1), {Pin: survey.LeftPin, State: survey.Brake, Engine: ptr(true), OpenV: ptr(-13.5), LoadedV: ptr(-7.0)}}, 4.33, 3.7, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := socket(t, c.readings...)
			if len(r.Faults) != 1 || r.Faults[0].Where != survey.AtStop {
				t.Fatalf("faults %+v", r.Faults)
			}
			f := r.Faults[0]
			switch {
			case c.ohm > 0 && (f.Ohm == nil || *f.Ohm < c.ohm-0.02 || *f.Ohm > c.ohm+0.02 || *f.LowOhm < c.low || *f.HighOhm > 5):
				t.Errorf("%s", f.Says.Sentence)
			case c.ohm == 0 && (f.Ohm != nil || *f.LowOhm < c.least || *f.LowOhm > 4.25):
				t.Errorf("%s", f.Says.Sentence)
			}
			// A stop lamp behind it is next to dark, so the rig does not go like this.
			if len(f.Costs) != 1 || f.Costs[0].Step != wiring.StepBrake || f.Costs[0].Light > 0.15 || f.Costs[0].SoundLight < 0.6 || r.Verdict != finding.NoGo {
				t.Errorf("costs %+v, %s", f.Costs, r.Verdict)
			}
			if entry(r, "/harness/signals") != "combined" {
				t.Error("a turn pin that answers to the pedal carries combined signals")
			}
		})
	}
}

func TestFaultPlaces(t *testing.T) {
	sound := []survey.SocketReading{
		read(survey.TailPin, survey.Tail, 13.6, 13.3), read(survey.LeftPin, survey.Left, 13.6, 13.3), read(survey.RightPin, survey.Right, 13.6, 13.3),
		read(survey.LeftPin, survey.Brake, 13.6, 13.3), read(survey.RightPin, survey.Brake, 13.6, 13.3),
	}
	for _, c := range []struct {
		name    string
		loaded  [5]float64
		ground  float64
		want    []survey.Where
		verdict finding.Verdict
	}{
		{"OK", [5]float64{13.3, 13.3, 13.3, 13.3, 13.3}, 0, nil, finding.OK},
		{"stop", [5]float64{13.3, 13.3, 13.3, 10, 10}, 0, []survey.Where{survey.AtStop}, finding.Mind},
		{"turn", [5]float64{13.3, 10, 10, 13.3, 13.3}, 0, []survey.Where{survey.AtTurn}, finding.Mind},
		{"the switch's left stop contact", [5]float64{13.3, 13.3, 13.3, 10, 13.3}, 0, []survey.Where{survey.AtLeftStop}, finding.Mind},
		{"the switch's right turn contact", [5]float64{13.3, 13.3, 10, 13.3, 13.3}, 0, []survey.Where{survey.AtRightTurn}, finding.Mind},
		{"the right pin's wire", [5]float64{13.3, 13.3, 10, 13.3, 10}, 0, []survey.Where{survey.AtRight}, finding.Mind},
		{"tail", [5]float64{9, 13.3, 13.3, 13.3, 13.3}, 0, []survey.Where{survey.AtTail}, finding.Mind},
		{"all alike", [5]float64{10, 10, 10, 10, 10}, 0, []survey.Where{survey.AtCommon}, finding.Mind},
		// With 1 Ω more in the ground tail and brake together leave 19 % of the stop
		// light (solved fault catalogue, common ground).
		{"all alike, and the ground shows it", [5]float64{10, 10, 10, 10, 10}, 3, []survey.Where{survey.AtGround}, finding.NoGo},
		{"dead on brake", [5]float64{13.3, 13.3, 13.3, 0, 0}, 0, nil, finding.FindOut},
		{"one side dead on brake", [5]float64{13.3, 13.3, 13.3, 13.3, 0}, 0, []survey.Where{survey.AtRightStop}, finding.NoGo},
		{"left pin dead", [5]float64{13.3, 0, 13.3, 0, 13.3}, 0, []survey.Where{survey.AtLeft}, finding.NoGo},
		{"turn dead", [5]float64{13.3, 0, 0, 13.3, 13.3}, 0, []survey.Where{survey.AtTurn}, finding.NoGo},
	} {
		t.Run(c.name, func(t *testing.T) {
			readings := slices.Clone(sound)
			for i, v := range c.loaded {
				readings[i].LoadedV = &v
				if v == 0 {
					readings[i].OpenV = &v
				}
				if c.ground > 0 {
					readings[i].GroundV = &c.ground
				}
			}
			r := socket(t, readings...)
			var got []survey.Where
			for _, f := range r.Faults {
				got = append(got, f.Where)
			}
			if !slices.Equal(got, c.want) || r.Verdict != c.verdict {
				t.Errorf("%v %s, want %v %s", got, r.Verdict, c.want, c.verdict)
			}
		})
	}
}

func TestSocketDecides(t *testing.T) {
	flash := func(yes bool, pin survey.Pin) survey.SocketReading {
		r := read(pin, survey.HazardBrake, 13.5, none)
		r.Flashing = &yes
		return r
	}
	rest := func(ohm float64) survey.SocketReading {
		return survey.SocketReading{Pin: survey.TailPin, State: survey.AllOff, RestOhm: &ohm}
	}
	brake := read(survey.LeftPin, survey.Brake, 13.5, none)
	for _, c := range []struct {
		name     string
		readings []survey.SocketReading
		field    string
		want     string
	}{
		{"combined", []survey.SocketReading{brake}, "/harness/signals", "combined"},
		{"separate", []survey.SocketReading{read(survey.LeftPin, survey.Brake, 0, none), read(survey.StopPin, survey.Brake, 13.5, none)}, "/harness/signals", "separate"},
		{"not decided without the pedal", []survey.SocketReading{read(survey.LeftPin, survey.Left, 13.5, 13.2)}, "/harness/signals", ""},
		{"not decided where nothing answers to the pedal", []survey.SocketReading{read(survey.LeftPin, survey.Brake, 0, none)}, "/harness/signals", ""},
		{"hazard wins", []survey.SocketReading{brake, flash(true, survey.LeftPin)}, "/towing/circuits/hazard_and_brake", "hazard_flashes"},
		{"brake wins", []survey.SocketReading{brake, flash(false, survey.RightPin)}, "/towing/circuits/hazard_and_brake", "brake_steady"},
		{"hazard here, brake there", []survey.SocketReading{brake, flash(true, survey.LeftPin), flash(false, survey.RightPin)}, "/towing/circuits/hazard_and_brake", ""},
		{"cold filaments", []survey.SocketReading{rest(0.4)}, "/towing/circuits/tail/tapped", "true"},
		{"nothing on the pin", []survey.SocketReading{rest(2e6)}, "/towing/circuits/tail/tapped", "false"},
		{"between", []survey.SocketReading{rest(400)}, "/towing/circuits/tail/tapped", ""},
		{"volts missing with nothing connected", []survey.SocketReading{read(survey.SupplyPin, survey.Tail, 13.6, none), read(survey.TailPin, survey.Tail, 13.1, 12.8)}, "/towing/circuits/tail/tapped", "true"},
		{"no volts missing, and they would show", []survey.SocketReading{read(survey.SupplyPin, survey.Tail, 13.6, none), read(survey.TailPin, survey.Tail, 13.6, 13.3)}, "/towing/circuits/tail/tapped", "false"},
		{"no volts missing, and they would not show", []survey.SocketReading{read(survey.SupplyPin, survey.Tail, 13.6, none), read(survey.TailPin, survey.Tail, 13.6, 13.55)}, "/towing/circuits/tail/tapped", ""},
		{"supply", []survey.SocketReading{read(survey.SupplyPin, survey.Tail, 13.62, none)}, "/towing/circuits/supply_v", "13.62"},
		{"a supply that is none", []survey.SocketReading{read(survey.SupplyPin, survey.Tail, 2, none)}, "/towing/circuits/supply_v", ""},
		{"charge, engine running", []survey.SocketReading{read(survey.ChargePin, survey.AllOff, 13.9, 13.5)}, "/harness/charge_line/source_v", "13.9"},
		{"charge without the key", []survey.SocketReading{{Pin: survey.ChargePin, State: survey.AllOff, Key: ptr(false), OpenV: ptr(12.5)}}, "/harness/charge_line/halt_v", "12.5"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := entry(socket(t, c.readings...), c.field); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

func TestContradictions(t *testing.T) {
	for _, c := range []struct {
		want     string
		readings []survey.SocketReading
	}{
		{"survey.clash_loaded", []survey.SocketReading{read(survey.LeftPin, survey.Left, 12.0, 13.1)}},
		{"survey.clash_twice", []survey.SocketReading{read(survey.LeftPin, survey.Left, 13.5, 13.1), read(survey.LeftPin, survey.Left, 13.5, 9)}},
		{"survey.clash_ohm", []survey.SocketReading{read(survey.TailPin, survey.Tail, 13.5, 13.1), read(survey.TailPin, survey.TailLeft, 13.5, 9)}},
		{"survey.live_off", []survey.SocketReading{read(survey.TailPin, survey.AllOff, 12.4, none)}},
		{"survey.crossed", []survey.SocketReading{read(survey.LeftPin, survey.Left, 0, 0), read(survey.RightPin, survey.Left, 13.5, none)}},
		{"survey.both_sides", []survey.SocketReading{read(survey.LeftPin, survey.Left, 13.5, none), read(survey.RightPin, survey.Left, 13.5, none)}},
		{"survey.no_stop", []survey.SocketReading{read(survey.LeftPin, survey.Brake, 0.1, none)}},
	} {
		t.Run(c.want, func(t *testing.T) {
			r := socket(t, c.readings...)
			if !says(r, c.want) || r.Verdict == finding.OK {
				t.Errorf("%s: %+v", r.Verdict, r.Findings)
			}
			if strings.HasPrefix(c.want, "survey.clash_loaded") && len(r.Branches) > 0 {
				t.Error("a reading that cannot be was used")
			}
		})
	}
}

func TestCar(t *testing.T) {
	wire := func(lamp survey.CarLamp, lit ...wiring.CarSwitch) survey.CarWire {
		return survey.CarWire{Lamp: lamp, LitBy: lit}
	}
	amber := wire(survey.CarTurnLeft, wiring.CarLeftTurn)
	amber.Amber = ptr(true)
	ground := wire(survey.CarStopLeft, wiring.CarStopSwitch)
	ground.OnV, ground.OffV = ptr(0.2), ptr(12.4)
	dimmed := wire(survey.CarTail)
	dimmed.PWM, dimmed.A = ptr(true), ptr(-0.55)
	same := wire(survey.CarTail)
	same.OnV, same.OffV = ptr(12.0), ptr(12.1)
	warned := wire(survey.CarStopLeft)
	warned.Warns, warned.LitAsleep = ptr(true), ptr(false)
	diodes := rig.Rig{Harness: rig.Harness{Approach: rig.SteeringDiodes}}
	bulbs := rig.Rig{Harness: rig.Harness{Approach: rig.SeparateBulbs}}
	for _, c := range []struct {
		name    string
		rig     rig.Rig
		wires   []survey.CarWire
		field   string
		want    string
		says    string
		verdict finding.Verdict
	}{
		{"combined", rig.Rig{}, []survey.CarWire{wire(survey.CarStopLeft, wiring.CarStopSwitch, wiring.CarLeftTurn)}, "/towed/rear_lamps", "combined", "", finding.OK},
		{"amber turn lamps", rig.Rig{}, []survey.CarWire{wire(survey.CarStopLeft, wiring.CarStopSwitch), amber}, "/towed/rear_lamps", "separate_amber", "", finding.OK},
		{"colour not told", rig.Rig{}, []survey.CarWire{wire(survey.CarStopLeft, wiring.CarStopSwitch), wire(survey.CarTurnLeft, wiring.CarLeftTurn)}, "/towed/rear_lamps", "", "", finding.OK},
		{"both", rig.Rig{}, []survey.CarWire{wire(survey.CarStopLeft, wiring.CarStopSwitch, wiring.CarLeftTurn), amber}, "/towed/rear_lamps", "", "survey.clash_lamps", finding.FindOut},
		{"switched on the ground side", diodes, []survey.CarWire{ground}, "/towed/circuits/ground_switched", "true", "plan.unsuited_ground", finding.NoGo},
		{"the same without an approach", rig.Rig{}, []survey.CarWire{ground}, "/towed/circuits/ground_switched", "true", "plan.unsuited_ground", finding.Mind},
		{"the same with bulbs of their own", bulbs, []survey.CarWire{ground}, "/towed/circuits/ground_switched", "true", "", finding.OK},
		{"dimmed by switching", diodes, []survey.CarWire{dimmed}, "/towed/circuits/pwm", "true", "plan.unsuited_pwm", finding.NoGo},
		{"a clamp turned round", diodes, []survey.CarWire{dimmed}, "/harness/bulbs/tail/a", "0.55", "", finding.NoGo},
		{"amperes of lamps that the harness does not light", bulbs, []survey.CarWire{dimmed}, "/harness/bulbs/tail/a", "", "", finding.OK},
		{"the same on and off", rig.Rig{}, []survey.CarWire{same}, "/towed/circuits/ground_switched", "", "survey.clash_polarity", finding.FindOut},
		{"watched", diodes, []survey.CarWire{warned}, "/towed/circuits/monitored", "true", "plan.unsuited_monitored", finding.Mind},
		{"dark when asleep", diodes, []survey.CarWire{warned}, "/harness/car_stop_lamps_live", "false", "", finding.Mind},
		{"a lamp twice", rig.Rig{}, []survey.CarWire{wire(survey.CarTail), wire(survey.CarTail)}, "/towed/rear_lamps", "", "survey.clash_lamp", finding.FindOut},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := mustMake(t, survey.Input{Rig: &c.rig, Car: &survey.Car{Wires: c.wires}})
			if got := entry(r, c.field); got != c.want || r.Verdict != c.verdict || c.says != "" && !says(r, c.says) {
				t.Errorf("%q %s, want %q %s with %s: %+v", got, r.Verdict, c.want, c.verdict, c.says, r.Findings)
			}
		})
	}
}

// What nobody measured and nobody recorded is named; nothing measured is no
// survey.
func TestOpen(t *testing.T) {
	r := socket(t, read(survey.LeftPin, survey.Left, 13.5, 13.2))
	for _, field := range []string{"/harness/signals", "/towing/circuits/tail/ohm", "/towing/circuits/hazard_and_brake"} {
		if !slices.Contains(r.Open, field) {
			t.Errorf("%s is not open: %v", field, r.Open)
		}
	}
	if slices.Contains(r.Open, "/towing/circuits/left/ohm") || r.Verdict != finding.OK {
		t.Errorf("%s %v", r.Verdict, r.Open)
	}
	if empty := mustMake(t, survey.Input{}); empty.Verdict != finding.FindOut || !says(empty, "survey.nothing") {
		t.Errorf("%+v", empty)
	}
}

func TestBadSurveys(t *testing.T) {
	flat := rig.Rig{Harness: rig.Harness{Connector: rig.Connector{Kind: "flat_4"}}}
	for name, c := range map[string]struct {
		in   survey.Input
		want string
	}{
		"Err400V":            {survey.Input{Rig: &rig.Rig{}, Socket: &survey.Socket{Readings: []survey.SocketReading{read(survey.LeftPin, survey.Left, 400, none)}}}, "/socket/readings/0/open_v"},
		"ErrNoPin":           {survey.Input{Rig: &rig.Rig{}, Socket: &survey.Socket{Readings: []survey.SocketReading{{State: survey.Left}}}}, "/socket/readings/0/pin"},
		"ErrNoState":         {survey.Input{Rig: &rig.Rig{}, Socket: &survey.Socket{Readings: []survey.SocketReading{{Pin: survey.LeftPin}}}}, "/socket/readings/0/state"},
		"ErrNoSuchContact":   {survey.Input{Rig: &flat, Socket: &survey.Socket{Readings: []survey.SocketReading{read(survey.ChargePin, survey.AllOff, 12, none)}}}, "/socket/readings/0/pin"},
		"ErrNoRig":           {survey.Input{}, "/rig"},
		"ErrNoSuchLamp":      {survey.Input{Rig: &rig.Rig{}, Car: &survey.Car{Wires: []survey.CarWire{{Lamp: "bow"}}}}, "/car/wires/0/lamp"},
		"ErrNoSuchSwitch":    {survey.Input{Rig: &rig.Rig{}, Car: &survey.Car{Wires: []survey.CarWire{{Lamp: survey.CarTail, LitBy: []wiring.CarSwitch{"horn"}}}}}, "/car/wires/0/lit_by/0"},
		"ErrManyReadings":    {survey.Input{Rig: &rig.Rig{}, Socket: &survey.Socket{Readings: make([]survey.SocketReading, 201)}}, "/socket/readings"},
		"ErrMeterOfAQuarter": {survey.Input{Rig: &rig.Rig{}, Socket: &survey.Socket{Meter: survey.Meter{Pct: ptr(25.0)}}}, "/socket/meter/pct"},
	} {
		t.Run(name, func(t *testing.T) {
			if err := c.in.Validate(); err == nil || err.Problems[0].Pointer != c.want {
				t.Errorf("%v, want a problem at %s", err, c.want)
			}
		})
	}
}
