package walkround

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Quantity is something a person reads at a step.
type Quantity string

// The quantities.
const (
	BatteryVolts   Quantity = "battery_volts"   // the car's battery, as it stands
	HubTemperature Quantity = "hub_temperature" // the hottest wheel hub of the car
)

// Values lists the quantities.
func (Quantity) Values() []string { return []string{"battery_volts", "hub_temperature"} }

// Range is what a reading is judged by.
type Range struct {
	Of     Quantity          `json:"of"`
	LeastV *float64          `json:"least_v,omitzero"`
	Most   *unit.Temperature `json:"most,omitzero"`
	Basis  finding.Basis     `json:"basis"`
}

// span is a Range as the data files hold it.
type span struct {
	Of     Quantity          `json:"of"`
	LeastV *float64          `json:"least_v,omitzero"`
	Most   *unit.Temperature `json:"most,omitzero"`
	// Source is where the figure is from: all of them are from memory.
	Source string `json:"source"`
}

func (s *span) forPeople() *Range {
	if s == nil {
		return nil
	}
	return &Range{Of: s.Of, LeastV: s.LeastV, Most: s.Most, Basis: finding.Basis{Kind: finding.Memory, Reference: s.Source}}
}

// Taken is a reading as a person took it: a voltage or a temperature.
type Taken struct {
	Volts       *float64          `json:"volts,omitzero"`
	Temperature *unit.Temperature `json:"temperature,omitzero"`
}

func (t Taken) check(c rig.Checker) {
	c.Number("volts", t.Volts, 0, 60)
	if q := t.Temperature; q != nil && (unit.F(-60).Over(*q) || q.Over(unit.F(2_000))) {
		c.In("temperature").Bad("%s is not possible here, want -60 to 2000 °F", q)
	}
}

// judge returns the verdict on a reading and whether it is one of the quantity
// asked for. A figure from memory is never more than something to mind or to
// find out.
func (r *Range) judge(t Taken) (v finding.Verdict, asked bool) {
	switch {
	case r == nil:
		return "", false
	case r.Of == BatteryVolts && t.Volts != nil:
		if unit.Round9(*t.Volts) < *r.LeastV {
			return finding.Mind, true
		}
	case r.Of == HubTemperature && t.Temperature != nil:
		if t.Temperature.Over(*r.Most) {
			return finding.FindOut, true
		}
	default:
		return "", false
	}
	return finding.OK, true
}

// outside notes what an outlying reading means.
func (r *Range) outside(n *notes, t Taken, v finding.Verdict) {
	switch r.Of {
	case BatteryVolts:
		f := n.add("battery_low", v, finding.Params{"read": finding.Num(*t.Volts, "V"), "least": finding.Num(*r.LeastV, "V")})
		f.Area, f.Remedy = finding.Battery, finding.Advise("walkround.battery_low_remedy", nil)
		f.Basis = []finding.Basis{r.Basis}
	case HubTemperature:
		f := n.add("hub_hot", v, finding.Params{"read": finding.TemperatureOf(*t.Temperature), "most": finding.TemperatureOf(*r.Most)})
		f.Area, f.Remedy = finding.Brakes, finding.Advise("walkround.hub_hot_remedy", nil)
		f.Basis = []finding.Basis{r.Basis}
	}
}
