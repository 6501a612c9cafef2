package rig

import "pintail/api/unit"

// Actuation is how a supplemental brake works the car's brakes.
type Actuation string

// The actuation types.
const (
	PortableInertia  Actuation = "portable_inertia"    // a box that pushes the pedal, sensing deceleration
	SignalTriggered  Actuation = "signal_triggered"    // pushes the pedal when the stop signal comes on
	OwnVacuum        Actuation = "own_vacuum"          // built in, keeps the car's vacuum booster alive
	BuiltInElectric  Actuation = "built_in_electric"   // built in, pulls the pedal, no vacuum
	AirOnPedal       Actuation = "air_on_pedal"        // cylinder on the pedal, fed by the motorhome's air
	AirBehindBooster Actuation = "air_behind_booster"  // cylinder between booster and master cylinder
	HydraulicSensing Actuation = "hydraulic_sensing"   // follows the motorhome's hydraulic pressure
	SurgeOnCoupling  Actuation = "surge"               // the push on the coupling pulls the pedal
	AnotherActuation Actuation = "another_not_in_list" // anything else
)

// Values lists the types.
func (Actuation) Values() []string {
	return []string{"portable_inertia", "signal_triggered", "own_vacuum", "built_in_electric", "air_on_pedal", "air_behind_booster", "hydraulic_sensing", "surge", "another_not_in_list"}
}

// PowerSource is what feeds a brake unit or a breakaway kit.
type PowerSource string

// The sources.
const (
	FromCarBattery PowerSource = "car_battery"
	FromOwnBattery PowerSource = "own_battery"
	FromMotorhome  PowerSource = "motorhome"
	NoPowerNeeded  PowerSource = "none"
)

// Values lists the sources.
func (PowerSource) Values() []string {
	return []string{"car_battery", "own_battery", "motorhome", "none"}
}

// BrakeUnit is the supplemental brake. Fitted absent is not known.
type BrakeUnit struct {
	Fitted      *bool       `json:"fitted,omitzero"`
	Actuation   Actuation   `json:"actuation,omitzero"`
	PoweredFrom PowerSource `json:"powered_from,omitzero"`
	// PressesPedal is whether the car's brake pedal moves when the unit works.
	PressesPedal *bool `json:"presses_pedal,omitzero"`
	// CabMonitor is whether the driver sees that the unit works.
	CabMonitor *bool `json:"cab_monitor,omitzero"`
	// MaxTowedWeight is the heaviest car on the unit's label.
	MaxTowedWeight *unit.Mass `json:"max_towed_weight,omitzero"`
}

func (b BrakeUnit) check(c Checker) {
	Choice(c, "actuation", b.Actuation)
	Choice(c, "powered_from", b.PoweredFrom)
	c.Mass("max_towed_weight", b.MaxTowedWeight, 100, 100_000)
}

// Chemistry is a kind of lead-acid battery.
type Chemistry string

// The kinds.
const (
	Flooded Chemistry = "flooded"
	Gel     Chemistry = "gel"
	AGM     Chemistry = "agm"
)

// Values lists the kinds.
func (Chemistry) Values() []string { return []string{"flooded", "gel", "agm"} }

// StoredPower is the battery behind a breakaway kit.
type StoredPower struct {
	// RatedAh is the label's ampere-hours at the RatedH-hour rate.
	RatedAh   *float64  `json:"rated_ah,omitzero"`
	RatedH    *float64  `json:"rated_h,omitzero"`
	Chemistry Chemistry `json:"chemistry,omitzero"`
	// RestedV is its voltage after hours without charge or load.
	RestedV   *float64    `json:"rested_v,omitzero"`
	AgeYears  *float64    `json:"age_years,omitzero"`
	ChargedBy PowerSource `json:"charged_by,omitzero"`
}

func (s StoredPower) check(c Checker) {
	c.Number("rated_ah", s.RatedAh, 0.5, 400)
	c.Number("rated_h", s.RatedH, 0.1, 100)
	Choice(c, "chemistry", s.Chemistry)
	c.Number("rested_v", s.RestedV, 0, 16)
	c.Number("age_years", s.AgeYears, 0, 40)
	Choice(c, "charged_by", s.ChargedBy)
}

// Breakaway is the switch, lanyard and battery that put the car's brakes on
// when it parts. Fitted absent is not known.
type Breakaway struct {
	Fitted        *bool        `json:"fitted,omitzero"`
	PoweredFrom   PowerSource  `json:"powered_from,omitzero"`
	Battery       StoredPower  `json:"battery,omitzero"`
	HoldCurrentA  *float64     `json:"hold_current_a,omitzero"`
	SwitchOn      AnchorPlace  `json:"switch_on,omitzero"`
	LanyardOn     AnchorPlace  `json:"lanyard_on,omitzero"`
	LanyardLength *unit.Length `json:"lanyard_length,omitzero"`
	// MeasuredHoldMin is how long the brakes were seen to hold, minutes, on
	// MeasuredOn.
	MeasuredHoldMin *float64  `json:"measured_hold_min,omitzero"`
	MeasuredOn      unit.Date `json:"measured_on,omitzero"`
}

// Check records every value of the kit that is not possible.
func (b Breakaway) Check(c Checker) {
	Choice(c, "powered_from", b.PoweredFrom)
	b.Battery.check(c.In("battery"))
	c.Number("hold_current_a", b.HoldCurrentA, 0.01, 100)
	Choice(c, "switch_on", b.SwitchOn)
	Choice(c, "lanyard_on", b.LanyardOn)
	c.Length("lanyard_length", b.LanyardLength, 0.5, 20)
	c.Number("measured_hold_min", b.MeasuredHoldMin, 0, 1440)
	c.Date("measured_on", b.MeasuredOn)
}

// Stopping is a measured stop of the pair. Only a measured stop or a maker's
// figure tells how a pair stops.
type Stopping struct {
	// PairFrom20MPH is the distance in which motorhome and car together stopped
	// from 20 mph, from first pedal movement, on hard, level, dry pavement.
	PairFrom20MPH *unit.Length `json:"pair_from_20_mph,omitzero"`
	On            unit.Date    `json:"on,omitzero"`
}

func (s Stopping) check(c Checker) {
	c.Length("pair_from_20_mph", s.PairFrom20MPH, 5, 500)
	c.Date("on", s.On)
}
