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
	CarByWire        Actuation = "car_by_wire"         // the car's own brake-by-wire, commanded over its data bus
	AnotherActuation Actuation = "another_not_in_list" // anything else
)

// Values lists the types.
func (Actuation) Values() []string {
	return []string{"portable_inertia", "signal_triggered", "own_vacuum", "built_in_electric", "air_on_pedal", "air_behind_booster", "hydraulic_sensing", "surge", "car_by_wire", "another_not_in_list"}
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

// Controller is what the driver has in the cab to work or set the car's brakes.
type Controller string

// The kinds of controller, by what the car's braking follows.
const (
	NoController   Controller = "none"           // nothing in the cab
	FollowsInertia Controller = "inertia"        // in proportion to deceleration
	FollowsBrakes  Controller = "brake_pressure" // in proportion to the motorhome's brake pressure
	Timed          Controller = "timed"          // a set force, at once or rising with time
	FollowsPush    Controller = "push"           // in proportion to the push on the coupling
)

// Values lists the kinds.
func (Controller) Values() []string {
	return []string{"none", "inertia", "brake_pressure", "timed", "push"}
}

// MonitorTap is where the cab monitor takes its signal.
type MonitorTap string

// The places.
const (
	TapUnit       MonitorTap = "brake_unit"   // the unit's own output, or pressure at its cylinder
	TapPedal      MonitorTap = "pedal_switch" // a switch of its own at the car's pedal
	TapStopSwitch MonitorTap = "stop_switch"  // the car's stop switch, before any interrupter
	TapStopLamp   MonitorTap = "stop_lamp"    // the wire of the car's stop lamp
)

// Values lists the places.
func (MonitorTap) Values() []string {
	return []string{"brake_unit", "pedal_switch", "stop_switch", "stop_lamp"}
}

// SetUpTest is one test of a brake unit after it was fitted or changed.
type SetUpTest struct {
	Passed *bool     `json:"passed,omitzero"`
	On     unit.Date `json:"on,omitzero"`
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
	Controller     Controller `json:"controller,omitzero"`
	MonitorTap     MonitorTap `json:"monitor_tap,omitzero"`
	// CarSharePct is the deceleration the unit gives the car by itself, per cent
	// of the motorhome's: 100 is a car that brakes as hard as the motorhome.
	CarSharePct *float64 `json:"car_share_pct,omitzero"`
	// WorkA and IdleA are what it draws while it works and between, amperes;
	// LeastV is the voltage at which it gives up.
	WorkA  *float64 `json:"work_a,omitzero"`
	IdleA  *float64 `json:"idle_a,omitzero"`
	LeastV *float64 `json:"least_v,omitzero"`
	// SetUp are the set-up tests done, by the ids of brakes/choice.
	SetUp map[string]SetUpTest `json:"set_up,omitzero"`
}

func (b BrakeUnit) check(c Checker) {
	Choice(c, "actuation", b.Actuation)
	Choice(c, "powered_from", b.PoweredFrom)
	c.Mass("max_towed_weight", b.MaxTowedWeight, 100, 100_000)
	Choice(c, "controller", b.Controller)
	Choice(c, "monitor_tap", b.MonitorTap)
	c.Number("car_share_pct", b.CarSharePct, 0, 200)
	c.Number("work_a", b.WorkA, 0.01, 100)
	c.Number("idle_a", b.IdleA, 0, 20)
	c.Number("least_v", b.LeastV, 6, 13)
	entries(c, "set_up", b.SetUp, func(c Checker, t SetUpTest) { c.Date("on", t.On) })
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

// StoredPower is a 12 V lead-acid battery: the breakaway kit's or the car's.
type StoredPower struct {
	// RatedAh is the label's ampere-hours at the RatedH-hour rate.
	RatedAh *float64 `json:"rated_ah,omitzero"`
	RatedH  *float64 `json:"rated_h,omitzero"`
	// ReserveMin is the label's reserve capacity: minutes at 25 A (SAE J537).
	ReserveMin *float64  `json:"reserve_min,omitzero"`
	Chemistry  Chemistry `json:"chemistry,omitzero"`
	// RestedV is its voltage after hours without charge or load.
	RestedV   *float64    `json:"rested_v,omitzero"`
	AgeYears  *float64    `json:"age_years,omitzero"`
	ChargedBy PowerSource `json:"charged_by,omitzero"`
	// ChargeA is the current that charges it, amperes.
	ChargeA *float64 `json:"charge_a,omitzero"`
}

func (s StoredPower) check(c Checker) {
	c.Number("rated_ah", s.RatedAh, 0.5, 400)
	c.Number("rated_h", s.RatedH, 0.1, 100)
	c.Number("reserve_min", s.ReserveMin, 5, 600)
	Choice(c, "chemistry", s.Chemistry)
	c.Number("rested_v", s.RestedV, 0, 16)
	c.Number("age_years", s.AgeYears, 0, 40)
	Choice(c, "charged_by", s.ChargedBy)
	c.Number("charge_a", s.ChargeA, 0.01, 100)
}

// Breakaway is the switch, lanyard and battery that put the car's brakes on
// when it parts. Fitted absent is not known.
type Breakaway struct {
	Fitted       *bool       `json:"fitted,omitzero"`
	PoweredFrom  PowerSource `json:"powered_from,omitzero"`
	Battery      StoredPower `json:"battery,omitzero"`
	HoldCurrentA *float64    `json:"hold_current_a,omitzero"`
	// PumpCurrentA is drawn for PumpS seconds first, while it builds pressure.
	PumpCurrentA *float64 `json:"pump_current_a,omitzero"`
	PumpS        *float64 `json:"pump_s,omitzero"`
	// LeastV is the voltage at the actuator below which it lets go; CutOffV the
	// voltage at the battery at which the kit shuts itself off.
	LeastV  *float64 `json:"least_v,omitzero"`
	CutOffV *float64 `json:"cut_off_v,omitzero"`
	// Wire runs from battery to actuator, its length one way; Contacts are the
	// mated contacts in both directions.
	Wire          Wire         `json:"wire,omitzero"`
	Contacts      *int         `json:"contacts,omitzero"`
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
	c.Number("pump_current_a", b.PumpCurrentA, 0.01, 200)
	c.Number("pump_s", b.PumpS, 0, 600)
	c.Number("least_v", b.LeastV, 6, 13)
	c.Number("cut_off_v", b.CutOffV, 6, 13)
	b.Wire.check(c.In("wire"))
	c.Count("contacts", b.Contacts, 0, 60)
	Choice(c, "switch_on", b.SwitchOn)
	Choice(c, "lanyard_on", b.LanyardOn)
	c.Length("lanyard_length", b.LanyardLength, 0.5, 20)
	c.Number("measured_hold_min", b.MeasuredHoldMin, 0, 1440)
	c.Date("measured_on", b.MeasuredOn)
}
