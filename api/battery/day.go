package battery

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/supply"
	"pintail/api/unit"
)

// DayState is what the rig does for a while.
type DayState string

// The states.
const (
	Driving   DayState = "drive"      // the motorhome's engine runs, the car is towed
	Halted    DayState = "halt"       // the motorhome's engine is off
	EngineRun DayState = "engine_run" // the car's own engine runs
)

// Values lists the states.
func (DayState) Values() []string { return []string{"drive", "halt", "engine_run"} }

// Segment is a part of the day. Each begins where the one before ends.
type Segment struct {
	State DayState `json:"state"`
	Hours float64  `json:"hours"`
	// StartsH is the hour at which it begins. It need not be given; where it is,
	// a gap or an overlap is refused.
	StartsH *float64 `json:"starts_h,omitzero"`
	// Terrain sets how often the brake unit works, UnitDutyPct says it.
	Terrain     rig.Terrain `json:"terrain,omitzero"`
	UnitDutyPct *float64    `json:"unit_duty_pct,omitzero"`
	Dark        *bool       `json:"dark,omitzero"`
}

// DayInput is the input of battery/day.
type DayInput struct {
	Rig *rig.Rig `json:"rig"`
	// Day is the day in order.
	Day []Segment `json:"day,omitzero"`
	// Temperature is that of the battery.
	Temperature *unit.Temperature `json:"temperature,omitzero"`
}

// maxSegments and longestDay, hours, bound a day.
const (
	maxSegments = 48
	longestDay  = 24 * maxSegments
)

// Validate returns what is not possible in the input, nil if nothing.
func (in DayInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	c.Temperature("temperature", in.Temperature)
	day := c.In("day")
	if len(in.Day) > maxSegments {
		day.Bad("%d parts, at most %d", len(in.Day), maxSegments)
		return c.Err()
	}
	at := 0.0
	for i, s := range in.Day {
		s.check(day.Index(i))
		if i > 0 && s.StartsH != nil {
			follows(day.Index(i).In("starts_h"), *s.StartsH, at)
		} else if s.StartsH != nil {
			at = *s.StartsH
		}
		at = unit.Round9(at + s.Hours)
	}
	return c.Err()
}

func (s Segment) check(c rig.Checker) {
	if s.State == "" {
		c.In("state").Bad("missing")
	}
	rig.Choice(c, "state", s.State)
	c.Number("hours", &s.Hours, 0.01, 24)
	c.Number("starts_h", s.StartsH, 0, longestDay)
	rig.Choice(c, "terrain", s.Terrain)
	c.Number("unit_duty_pct", s.UnitDutyPct, 0, 100)
}

// follows refuses a part that does not begin where the one before ends.
func follows(c rig.Checker, starts, ends float64) {
	switch starts = unit.Round9(starts); {
	case starts > ends:
		c.Bad("a gap: the part before ends at %g h", ends)
	case starts < ends:
		c.Bad("an overlap: the part before ends at %g h", ends)
	}
}

// LineState is what the charge line does to the battery.
type LineState string

// The states of a battery with a charge line or an engine behind it.
const (
	Charging LineState = "charging"
	Holding  LineState = "holding"  // the loads are carried, the battery gets nothing
	Draining LineState = "draining" // the loads take more than comes
	Flat     LineState = "flat"
)

// Values lists the states, best first.
func (LineState) Values() []string { return []string{"charging", "holding", "draining", "flat"} }

// DayPoint is one moment of the day: the worse and the better end of what the
// figures allow.
type DayPoint struct {
	H       float64 `json:"h"`
	LowPct  float64 `json:"low_pct"`
	HighPct float64 `json:"high_pct"`
	LowV    float64 `json:"low_v"`
	HighV   float64 `json:"high_v"`
	// LowLineA and HighLineA come in from the motorhome or the car's engine.
	LowLineA  float64 `json:"low_line_a"`
	HighLineA float64 `json:"high_line_a"`
}

// SegmentResult is what a part of the day did.
type SegmentResult struct {
	StartsH float64  `json:"starts_h"`
	EndsH   float64  `json:"ends_h"`
	State   DayState `json:"state"`
	// LowLoadA and HighLoadA are the mean load.
	LowLoadA  float64   `json:"low_load_a"`
	HighLoadA float64   `json:"high_load_a"`
	Worst     LineState `json:"worst"`
	Best      LineState `json:"best"`
}

// DayEvent is something that a falling battery brings.
type DayEvent string

// The events.
const (
	UnitStops       DayEvent = "unit_stops"
	SteeringMayLock DayEvent = "steering_may_lock"
	WillNotStart    DayEvent = "engine_will_not_start"
)

// Values lists the events.
func (DayEvent) Values() []string {
	return []string{"unit_stops", "steering_may_lock", "engine_will_not_start"}
}

// Until is how long it takes to an event, hours from the start of the day; an end
// at which the event does not come within the day is left out.
type Until struct {
	Event DayEvent `json:"event"`
	LowH  *float64 `json:"low_h,omitzero"`
	HighH *float64 `json:"high_h,omitzero"`
}

// Energy is what became of the energy over the day, watt-hours.
type Energy struct {
	SourceWh   float64 `json:"source_wh"`    // out of the motorhome
	EngineWh   float64 `json:"engine_wh"`    // out of the car's own alternator
	LoadsWh    float64 `json:"loads_wh"`     // into the loads
	WireWh     float64 `json:"wire_wh"`      // lost in wire and contacts
	IsolatorWh float64 `json:"isolator_wh"`  // lost in diode or limiter
	BatteryWh  float64 `json:"battery_wh"`   // lost in the battery
	StoredWh   float64 `json:"stored_wh"`    // more in the battery at the end, or less
	OpenPct    float64 `json:"unclosed_pct"` // what does not add up, per cent of what moved
}

// DayReport is the answer of battery/day.
type DayReport struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Curve and Segments are empty, and Until and the energies absent, where a
	// figure is missing.
	Curve      []DayPoint      `json:"curve"`
	Segments   []SegmentResult `json:"segments"`
	Until      []Until         `json:"until"`
	LowEnergy  *Energy         `json:"low_energy,omitzero"`
	HighEnergy *Energy         `json:"high_energy,omitzero"`
	// Would is the charge line that would do, absent where nothing says how long
	// it must be.
	Would *LineAdvice `json:"would,omitzero"`
}

// Day follows the car's battery through a day: what it feeds, what feeds it, and
// when the brake unit stops, the steering may lock or the engine will not start.
// Every uncertain figure is a band, so it is followed twice.
func Day(in DayInput) DayReport {
	r := DayReport{Findings: []finding.Finding{}, Curve: []DayPoint{}, Segments: []SegmentResult{}, Until: []Until{}}
	p := newPlan(in)
	if fields := p.missing(); fields != nil {
		f := dayFinding("day", finding.FindOut, finding.Say("battery.day_missing", nil))
		f.Decides, f.Fields, f.Remedy = true, fields, finding.Advise("battery.day_missing.remedy", nil)
		r.Findings = append(r.Findings, f)
	} else {
		low, high := p.follow(worse), p.follow(better)
		r.Curve, r.Segments, r.Until = together(low, high), p.segments(low, high), untils(low, high)
		r.LowEnergy, r.HighEnergy = low.energy(), high.energy()
		r.Would = p.advice(low, high)
		r.Findings = append(p.findings(low, high), p.line(low, high, r.Would)...)
	}
	finding.Sort(r.Findings)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

// plan is a day with what it turns on read once.
type plan struct {
	DayInput
	// off is whether the battery's cable is off while the car is towed, unit
	// whether the brake unit lives on the battery, fed whether a charge line
	// feeds it.
	off, unit, fed bool
}

func newPlan(in DayInput) *plan {
	p := &plan{DayInput: in, off: in.Rig.BatteryWhileTowed() == rig.BatteryDisconnected}
	p.unit = rig.Is(in.Rig.BrakeUnit.Fitted, true) && in.Rig.BrakeUnit.PoweredFrom == rig.FromCarBattery && !p.off
	p.fed = charges(in.Rig.Harness.ChargeLine) && !p.off
	return p
}

// missing lists what must be entered before a day can be followed.
func (in *plan) missing() []string {
	var fields []string
	need := func(is bool, field string) {
		if !is {
			fields = append(fields, field)
		}
	}
	t, b, line := in.Rig.Towed, in.Rig.BrakeUnit, in.Rig.Harness.ChargeLine
	need(len(in.Day) > 0, "/day")
	need(in.Temperature != nil, "/temperature")
	if _, _, ok := supply.Rating(t.CarBattery); !ok {
		need(t.CarBattery.RatedAh != nil, "/towed/car_battery/rated_ah")
		need(t.CarBattery.RatedH != nil, "/towed/car_battery/rated_h")
	}
	need(in.Rig.BatteryWhileTowed() != "", "/towed/battery")
	need(t.Draw.AwakeA != nil || in.off, "/towed/draw/awake_a")
	need(b.Fitted != nil, "/brake_unit/fitted")
	if rig.Is(b.Fitted, true) {
		need(b.PoweredFrom != "", "/brake_unit/powered_from")
	}
	if in.unit {
		need(b.WorkA != nil, "/brake_unit/work_a")
		need(b.IdleA != nil, "/brake_unit/idle_a")
	}
	for _, s := range in.Day {
		if rig.Is(s.Dark, true) && t.Draw.LampsA == nil && !in.off {
			need(false, "/towed/draw/lamps_a")
			break
		}
	}
	need(line.Fitted != nil, "/harness/charge_line/fitted")
	if rig.Is(line.Fitted, true) {
		need(line.To != "", "/harness/charge_line/to")
	}
	if in.fed {
		need(line.SourceV != nil, "/harness/charge_line/source_v")
		need(line.Isolator != "", "/harness/charge_line/isolator")
		need(line.Isolator != rig.CurrentLimiter || line.LimitA != nil, "/harness/charge_line/limit_a")
		need(line.Wire.AWG != nil, "/harness/charge_line/wire/awg")
		need(line.Wire.Length != nil, "/harness/charge_line/wire/length")
	}
	return fields
}
