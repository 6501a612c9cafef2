package plan

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// Report is the answer of lamps/plan.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	// Points and Links are the wiring map: what is joined, and by what. Links in
	// their order are the connection list.
	Points []Point `json:"points"`
	Links  []Link  `json:"links"`
	Lamps  []Lit   `json:"lamps"`
	// Lighting is what every lamp gets in every step of a light test.
	Lighting  []Lighting  `json:"lighting"`
	Diodes    []Heat      `json:"diodes"`
	Fuses     []Fusing    `json:"fuses"`
	Materials []Material  `json:"materials"`
	Work      []WorkPoint `json:"work"`
	// Fixes are what would make it better, each really solved, best first.
	Fixes []Fix `json:"fixes"`
	// Values are the values the circuit rests on, recorded or typical.
	Values []wiring.Value `json:"values"`
}

// PointKind is what stands at a point of the map.
type PointKind string

// The kinds of point.
const (
	SupplyPoint    PointKind = "supply"
	FusePoint      PointKind = "fuse"
	ConverterPoint PointKind = "converter"
	ConnectorPoint PointKind = "connector"
	SplicePoint    PointKind = "splice"
	DiodePoint     PointKind = "diode"
	RelayPoint     PointKind = "relay"
	LampPoint      PointKind = "lamp"
	GroundPoint    PointKind = "ground"
	CarPoint       PointKind = "car_circuit" // the car's own switch and lamps
)

// Values lists the kinds.
func (PointKind) Values() []string {
	return []string{"supply", "fuse", "converter", "connector", "splice", "diode", "relay", "lamp", "ground", "car_circuit"}
}

// Zone is where along the rig something is, from the front backwards.
type Zone string

// The zones.
const (
	InMotorhome Zone = "motorhome"
	Between     Zone = "umbilical"
	CarFront    Zone = "car_front"
	CarBody     Zone = "car_body"
	CarRear     Zone = "car_rear"
)

// Values lists the zones, from the front backwards.
func (Zone) Values() []string {
	return []string{"motorhome", "umbilical", "car_front", "car_body", "car_rear"}
}

// Side is where across the car something is, as seen from behind it.
type Side string

// The sides.
const (
	OnLeft  Side = "left"
	Centre  Side = "centre"
	OnRight Side = "right"
)

// Values lists the sides.
func (Side) Values() []string { return []string{"left", "centre", "right"} }

// Point is one place where wires end.
type Point struct {
	// ID is unique in the plan and the same for the same harness.
	ID   string       `json:"id"`
	Kind PointKind    `json:"kind"`
	Zone Zone         `json:"zone"`
	Side Side         `json:"side"`
	Name finding.Text `json:"name"`
	// Node is the node of the circuit here, as lamps/netlist names it; absent
	// where a part lies between two nodes, or several meet.
	Node string `json:"node,omitzero"`
}

// Function is what a wire is for.
type Function string

// The functions.
const (
	TailFeed   Function = "tail"
	LeftFeed   Function = "left"
	RightFeed  Function = "right"
	StopFeed   Function = "stop"
	GroundWire Function = "ground"
	OwnWire    Function = "car_own" // the car's own wire, stop switch or park lamps
)

// Values lists the functions.
func (Function) Values() []string {
	return []string{"tail", "left", "right", "stop", "ground", "car_own"}
}

// order is a function's place in the connection list.
func (f Function) order() int { return slices.Index(f.Values(), string(f)) }

// Link is one wire, or the way through a part, from one point to another in the
// direction in which the current is meant to run.
type Link struct {
	ID       string   `json:"id"`
	Function Function `json:"function"`
	Zone     Zone     `json:"zone"`
	From     string   `json:"from"`
	To       string   `json:"to"`
	// Colour is the colour of the function: that of the connector's standard in
	// the umbilical, that of North American light vehicles in the car; absent for
	// a wire of the vehicle, which is found by testing.
	Colour string `json:"colour,omitzero"`
	// Contact is the number of the connector's contact that it passes.
	Contact string `json:"contact,omitzero"`
	// New is true for a wire to fit, false for one that a vehicle brings.
	New       bool          `json:"new"`
	AWG       *int          `json:"awg,omitzero"`
	Conductor rig.Conductor `json:"conductor,omitzero"`
	LengthFT  *float64      `json:"length_ft,omitzero"`
	// How says whether the length is entered or typical.
	How wiring.How `json:"how,omitzero"`
	// Ohm is its resistance with the contacts it passes; A the most it carries in
	// any step; LimitA the most it may, absent where not known.
	Ohm    float64  `json:"ohm"`
	A      float64  `json:"a"`
	LimitA *float64 `json:"limit_a,omitzero"`
}

// Lit is one light source that the plan gives figures for.
type Lit struct {
	ID   string      `json:"id"`
	Lens wiring.Lens `json:"lens"`
	Job  wiring.Job  `json:"job"`
	// Point is where it is on the map, absent for the motorhome's own lamps.
	Point string     `json:"point,omitzero"`
	Bulb  rig.BulbID `json:"bulb,omitzero"`
	// DesignV and DesignA are its design point.
	DesignV float64 `json:"design_v"`
	DesignA float64 `json:"design_a"`
	// LowestV is the least voltage it gets in a step in which it should be lit,
	// LowestPct that in per cent of its design voltage, LowestLightPct the light
	// then, in per cent of its design light.
	LowestV        *float64 `json:"lowest_v,omitzero"`
	LowestPct      *float64 `json:"lowest_pct,omitzero"`
	LowestLightPct *float64 `json:"lowest_light_pct,omitzero"`
}

// Lighting is one step of a light test.
type Lighting struct {
	Step     wiring.Step `json:"step"`
	Readings []Reading   `json:"readings"`
}

// Reading is one lamp in one step. A step that flashes has an off half.
type Reading struct {
	Lamp string `json:"lamp"`
	Gets `json:",inline"`
	Off  *Gets `json:"off,omitzero"`
}

// Gets is what a lamp gets: its voltage, its light in per cent of the design
// light, and how that looks.
type Gets struct {
	V        float64     `json:"v"`
	LightPct float64     `json:"light_pct"`
	Glow     wiring.Glow `json:"glow"`
}

// Heat is one steering diode at work.
type Heat struct {
	// Point is its place on the map. Its current runs From To.
	Point string        `json:"point"`
	Kind  rig.DiodeKind `json:"kind"`
	// Step is the one that heats it most, AverageW the heat then, averaged over
	// the flash; A and DropV its current and voltage while lit.
	Step     wiring.Step `json:"step"`
	A        float64     `json:"a"`
	DropV    float64     `json:"drop_v"`
	AverageW float64     `json:"average_w"`
	// JunctionC is the temperature of its junction in air of AirC on its leads
	// alone, LimitC the hottest it may be.
	AirC      float64 `json:"air_c"`
	JunctionC float64 `json:"junction_c"`
	LimitC    float64 `json:"limit_c"`
}

// Fusing is one fuse of the motorhome against its load and its wire.
type Fusing struct {
	Point    string     `json:"point"`
	Function Function   `json:"function"`
	RatingA  float64    `json:"rating_a"`
	How      wiring.How `json:"how"`
	// LoadA is the most that runs through it, the motorhome's own lamps on the
	// branch included.
	LoadA float64 `json:"load_a"`
	// LeastA is the least rating for that load, MostA the most that conductor and
	// contact allow, absent where that is not known.
	LeastA float64  `json:"least_a"`
	MostA  *float64 `json:"most_a,omitzero"`
	// FitA is the blade fuse that fits between, absent where none does.
	FitA *float64 `json:"fit_a,omitzero"`
	// ShortA is the current of a short at the car's lamp before the fuse opens;
	// OpensLeastS and OpensMostS how long it may take, absent where it may hold.
	ShortA      float64  `json:"short_a"`
	OpensLeastS *float64 `json:"opens_least_s,omitzero"`
	OpensMostS  *float64 `json:"opens_most_s,omitzero"`
}

// MaterialKind is what a line of the list of materials is.
type MaterialKind string

// The kinds of material.
const (
	WireOf      MaterialKind = "wire"
	UmbilicalOf MaterialKind = "umbilical"
	DiodeOf     MaterialKind = "diode"
	ConnectorOf MaterialKind = "connector"
	CrimpOf     MaterialKind = "crimp"
	RingOf      MaterialKind = "ring_terminal"
	TieOf       MaterialKind = "tie"
	LoomOf      MaterialKind = "loom"
	GrommetOf   MaterialKind = "grommet"
	FuseOf      MaterialKind = "fuse"
	BulbOf      MaterialKind = "bulb"
	SocketOf    MaterialKind = "socket"
	RelayOf     MaterialKind = "relay"
	LampBarOf   MaterialKind = "lamp_bar"
	ConverterOf MaterialKind = "converter"
)

// Values lists the kinds.
func (MaterialKind) Values() []string {
	return []string{"wire", "umbilical", "diode", "connector", "crimp", "ring_terminal", "tie", "loom", "grommet", "fuse", "bulb", "socket", "relay", "lamp_bar", "converter"}
}

// Material is one line of what to buy.
type Material struct {
	Kind MaterialKind `json:"kind"`
	Name finding.Text `json:"name"`
	// Count is how many; LengthFT how much, slack included, of what is sold by
	// length.
	Count    int      `json:"count,omitzero"`
	LengthFT *float64 `json:"length_ft,omitzero"`
	Colour   string   `json:"colour,omitzero"`
	AWG      *int     `json:"awg,omitzero"`
	// How is template where the amount rests on a typical length.
	How wiring.How `json:"how"`
}

// Stage is when a point of the work is due.
type Stage string

// The stages, in order.
const (
	Before  Stage = "before"
	Routing Stage = "route"
	Joining Stage = "join"
	Closing Stage = "close"
	Proving Stage = "prove"
)

// Values lists the stages in order.
func (Stage) Values() []string { return []string{"before", "route", "join", "close", "prove"} }

// WorkPoint is one point of the work.
type WorkPoint struct {
	ID    string       `json:"id"`
	Stage Stage        `json:"stage"`
	Says  finding.Text `json:"says"`
	// Hold is true where the work waits until somebody has looked: afterwards it
	// is covered or cannot be seen.
	Hold bool `json:"hold"`
}

// Effort is how much work a change is.
type Effort string

// The efforts, from the least.
const (
	Little Effort = "little" // a part swapped, a wire joined: within an hour or so
	Some   Effort = "some"   // several joints or one new run: half a day
	Much   Effort = "much"   // the harness laid anew or the approach changed: a day
)

// Values lists the efforts.
func (Effort) Values() []string { return []string{"little", "some", "much"} }

// Fix is one change that was solved.
type Fix struct {
	ID     string       `json:"id"`
	Says   finding.Text `json:"says"`
	Effort Effort       `json:"effort"`
	// Changes are what to change in the rig.
	Changes []FieldChange `json:"changes"`
	Before  Standing      `json:"before"`
	After   Standing      `json:"after"`
	// Clears are the ids of the findings that go away, Raises those that come.
	Clears []string `json:"clears"`
	Raises []string `json:"raises"`
}

// FieldChange is one field of the rig and its new value: exactly one of Word,
// Is, Number and Length is set.
type FieldChange struct {
	Field    string   `json:"field"`
	Word     string   `json:"word,omitzero"`
	Is       *bool    `json:"is,omitzero"`
	Number   *float64 `json:"number,omitzero"`
	LengthFT *float64 `json:"length_ft,omitzero"`
}

// Standing is how well a harness does with every lamp on, in the figures that
// fixes change.
type Standing struct {
	Verdict finding.Verdict `json:"verdict"`
	// WorstLamp is the lamp that gets the least of its design voltage, WorstPct
	// and LightPct that voltage and its light in per cent of the design.
	WorstLamp string  `json:"worst_lamp"`
	WorstV    float64 `json:"worst_v"`
	WorstPct  float64 `json:"worst_pct"`
	LightPct  float64 `json:"light_pct"`
	// JunctionC is the hottest diode's, absent without diodes.
	JunctionC *float64 `json:"junction_c,omitzero"`
}
