package rig

import "pintail/api/unit"

// Bounds of what a person can mean, in pounds. Outside them a figure is a slip
// of the finger, not a vehicle.
const (
	lightestMotorhome, heaviestMotorhome = 2_000, 150_000
	lightestCar, heaviestCar             = 400, 20_000
	lightestAxle, heaviestAxle           = 200, 60_000
)

// HowKnown says how a weight is known.
type HowKnown string

// How a weight may be known.
const (
	Scale    HowKnown = "scale"    // a scale ticket, loaded as it travels
	Label    HowKnown = "label"    // a label or certificate
	Brochure HowKnown = "brochure" // a maker's or dealer's sheet
	Estimate HowKnown = "estimate"
)

// Values lists the ways.
func (HowKnown) Values() []string { return []string{"scale", "label", "brochure", "estimate"} }

// Weight is an actual weight, with when and how it was found.
type Weight struct {
	Weight *unit.Mass `json:"weight,omitzero"`
	How    HowKnown   `json:"how,omitzero"`
	On     unit.Date  `json:"on,omitzero"`
}

func (w Weight) check(c Checker, lightest, heaviest float64) {
	c.Mass("weight", w.Weight, lightest, heaviest)
	Choice(c, "how", w.How)
	c.Date("on", w.On)
}

// Axle is one axle's rating (GAWR) and what it carries.
type Axle struct {
	Rating *unit.Mass `json:"rating,omitzero"`
	Actual *unit.Mass `json:"actual,omitzero"`
}

func (a Axle) check(c Checker) {
	c.Mass("rating", a.Rating, lightestAxle, heaviestAxle)
	c.Mass("actual", a.Actual, lightestAxle, heaviestAxle)
}

// BrakeKind is how a motorhome's service brakes work.
type BrakeKind string

// The kinds of service brake.
const (
	AirBrakes        BrakeKind = "air"
	HydraulicBrakes  BrakeKind = "hydraulic"
	AirOverHydraulic BrakeKind = "air_over_hydraulic"
	BrakeByWire      BrakeKind = "by_wire"
)

// Values lists the kinds.
func (BrakeKind) Values() []string {
	return []string{"air", "hydraulic", "air_over_hydraulic", "by_wire"}
}

// Towing is the motorhome.
type Towing struct {
	Description string `json:"description,omitzero"`
	// GVWR is the most the motorhome itself may weigh, GCWR the most both may
	// weigh together.
	GVWR *unit.Mass `json:"gvwr,omitzero"`
	GCWR *unit.Mass `json:"gcwr,omitzero"`
	// Empty is its weight without load, which a few laws ask for.
	Empty     *unit.Mass `json:"empty,omitzero"`
	Actual    Weight     `json:"actual,omitzero"`
	FrontAxle Axle       `json:"front_axle,omitzero"`
	RearAxle  Axle       `json:"rear_axle,omitzero"`
	TagAxle   Axle       `json:"tag_axle,omitzero"`
	BrakeKind BrakeKind  `json:"brake_kind,omitzero"`
	// TowLimitBraked and TowLimitUnbraked are the chassis maker's greatest towed
	// weight with and without working brakes on what is towed.
	TowLimitBraked   *unit.Mass   `json:"tow_limit_braked,omitzero"`
	TowLimitUnbraked *unit.Mass   `json:"tow_limit_unbraked,omitzero"`
	Length           *unit.Length `json:"length,omitzero"`
	// TapAllowed is whether the chassis maker lets anything be connected into its
	// service brakes.
	TapAllowed *bool `json:"tap_allowed,omitzero"`
	// EngineBrake is whether it has an exhaust brake, engine brake or retarder;
	// EngineBrakeKW the braking power that holds at the speed driven, and
	// EngineBrakeLightsStop whether it lights the stop lamps.
	EngineBrake           *bool    `json:"engine_brake,omitzero"`
	EngineBrakeKW         *float64 `json:"engine_brake_kw,omitzero"`
	EngineBrakeLightsStop *bool    `json:"engine_brake_lights_stop,omitzero"`
	// Circuits are its lamp circuits.
	Circuits TowingCircuits `json:"circuits,omitzero"`
}

func (t Towing) check(c Checker) {
	c.Text("description", t.Description, 200)
	c.Mass("gvwr", t.GVWR, lightestMotorhome, heaviestMotorhome)
	c.Mass("gcwr", t.GCWR, lightestMotorhome, heaviestMotorhome)
	c.Mass("empty", t.Empty, lightestMotorhome, heaviestMotorhome)
	t.Actual.check(c.In("actual"), lightestMotorhome, heaviestMotorhome)
	t.FrontAxle.check(c.In("front_axle"))
	t.RearAxle.check(c.In("rear_axle"))
	t.TagAxle.check(c.In("tag_axle"))
	Choice(c, "brake_kind", t.BrakeKind)
	c.Mass("tow_limit_braked", t.TowLimitBraked, 0, heaviestCar)
	c.Mass("tow_limit_unbraked", t.TowLimitUnbraked, 0, heaviestCar)
	c.Length("length", t.Length, 10, 65)
	c.Number("engine_brake_kw", t.EngineBrakeKW, 0, 1_000)
	t.Circuits.check(c.In("circuits"))
}

// Booster is what helps the driver's foot in the towed car.
type Booster string

// The kinds of brake booster.
const (
	VacuumBooster   Booster = "vacuum"
	VacuumElectric  Booster = "vacuum_electric_pump"
	Hydroboost      Booster = "hydroboost"
	ElectricBooster Booster = "electric"
	NoBooster       Booster = "none"
)

// Values lists the kinds.
func (Booster) Values() []string {
	return []string{"vacuum", "vacuum_electric_pump", "hydroboost", "electric", "none"}
}

// BatteryState is what the owner's manual wants of the car's battery while it
// is towed.
type BatteryState string

// What a manual may want.
const (
	BatteryConnected    BatteryState = "connected"
	BatteryDisconnected BatteryState = "disconnected"
	FuseRemoved         BatteryState = "fuse_removed"
)

// Values lists the states.
func (BatteryState) Values() []string { return []string{"connected", "disconnected", "fuse_removed"} }

// Ignition is the position of the car's ignition while it is towed.
type Ignition string

// The positions.
const (
	IgnitionOff       Ignition = "off"
	IgnitionAccessory Ignition = "accessory"
	IgnitionOn        Ignition = "on"
)

// Values lists the positions.
func (Ignition) Values() []string { return []string{"off", "accessory", "on"} }

// RearLamps is how a car's rear stop and turn lamps are made.
type RearLamps string

// The arrangements.
const (
	CombinedLamps RearLamps = "combined"       // one red lamp a side for stop and turn
	AmberTurn     RearLamps = "separate_amber" // red stop, amber turn
	RedTurn       RearLamps = "separate_red"   // red stop, red turn of its own
)

// Values lists the arrangements.
func (RearLamps) Values() []string { return []string{"combined", "separate_amber", "separate_red"} }

// Variant is what makes a car exactly this car for its owner's manual.
type Variant struct {
	Year       *int   `json:"year,omitzero"`
	Engine     string `json:"engine,omitzero"`
	Gearbox    string `json:"gearbox,omitzero"`
	Drivetrain string `json:"drivetrain,omitzero"`
}

func (v Variant) check(c Checker) {
	c.Count("year", v.Year, 1900, 2100)
	c.Text("engine", v.Engine, 80)
	c.Text("gearbox", v.Gearbox, 80)
	c.Text("drivetrain", v.Drivetrain, 80)
}

// Towed is the towed car.
type Towed struct {
	Description string  `json:"description,omitzero"`
	Variant     Variant `json:"variant,omitzero"`
	// Curb is the maker's figure without people or load. It never stands in for
	// Actual, which includes base plate, brake gear and cargo.
	Curb      *unit.Mass   `json:"curb,omitzero"`
	Actual    Weight       `json:"actual,omitzero"`
	GVWR      *unit.Mass   `json:"gvwr,omitzero"`
	FrontAxle Axle         `json:"front_axle,omitzero"`
	RearAxle  Axle         `json:"rear_axle,omitzero"`
	Booster   Booster      `json:"booster,omitzero"`
	Ignition  Ignition     `json:"ignition,omitzero"`
	Battery   BatteryState `json:"battery,omitzero"`
	RearLamps RearLamps    `json:"rear_lamps,omitzero"`
	Length    *unit.Length `json:"length,omitzero"`
	Width     *unit.Length `json:"width,omitzero"`
	// ABSAsleep is whether the car's anti-lock brakes do nothing while it is
	// towed.
	ABSAsleep *bool `json:"abs_asleep,omitzero"`
	// CarBattery is the car's own battery, Draw what the car takes from it while
	// it is towed.
	CarBattery StoredPower `json:"car_battery,omitzero"`
	Draw       Draw        `json:"draw,omitzero"`
	// SteeringMayLock is whether the steering locks when the car loses its power.
	SteeringMayLock *bool `json:"steering_may_lock,omitzero"`
	// Circuits are its own lamp circuits.
	Circuits TowedCircuits `json:"circuits,omitzero"`
}

// Draw is the current that the car takes from its battery while it is towed,
// brake unit and breakaway kit apart, amperes.
type Draw struct {
	// AwakeA is taken with the ignition in the towing position; after AwakeMin
	// minutes it falls to AsleepA. Without both it never falls.
	AwakeA   *float64 `json:"awake_a,omitzero"`
	AwakeMin *float64 `json:"awake_min,omitzero"`
	AsleepA  *float64 `json:"asleep_a,omitzero"`
	// LampsA is what lamps take from the car's own battery in the dark, 0 where
	// the motorhome feeds them all.
	LampsA *float64 `json:"lamps_a,omitzero"`
}

func (d Draw) check(c Checker) {
	c.Number("awake_a", d.AwakeA, 0, 60)
	c.Number("awake_min", d.AwakeMin, 0, 1_440)
	c.Number("asleep_a", d.AsleepA, 0, 60)
	c.Number("lamps_a", d.LampsA, 0, 60)
}

func (t Towed) check(c Checker) {
	c.Text("description", t.Description, 200)
	t.Variant.check(c.In("variant"))
	c.Mass("curb", t.Curb, lightestCar, heaviestCar)
	t.Actual.check(c.In("actual"), lightestCar, heaviestCar)
	c.Mass("gvwr", t.GVWR, lightestCar, heaviestCar)
	t.FrontAxle.check(c.In("front_axle"))
	t.RearAxle.check(c.In("rear_axle"))
	Choice(c, "booster", t.Booster)
	Choice(c, "ignition", t.Ignition)
	Choice(c, "battery", t.Battery)
	Choice(c, "rear_lamps", t.RearLamps)
	c.Length("length", t.Length, 4, 30)
	c.Length("width", t.Width, 3, 9)
	t.CarBattery.check(c.In("car_battery"))
	t.Draw.check(c.In("draw"))
	t.Circuits.check(c.In("circuits"))
}
