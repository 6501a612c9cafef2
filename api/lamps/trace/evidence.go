// Package trace works back from what a person sees and measures at the lamps to
// what is wrong: it weighs every modelled cause by the likelihood of the
// evidence, groups those that give it alike, and says what to look at or measure
// next.
package trace

import (
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
)

// Trust is how sure a person is of what was seen.
type Trust string

// The degrees of trust.
const (
	Sure     Trust = "sure"
	Doubtful Trust = "doubtful"
	CantTell Trust = "cant_tell" // kept, and says nothing
)

// Values lists the degrees of trust.
func (Trust) Values() []string { return []string{"sure", "doubtful", "cant_tell"} }

// Picture is what one lamp does in one step, as a person saw it. What was not
// seen is left out.
type Picture struct {
	Step wiring.Step `json:"step"`
	// Lamp is the id of a lamp of this harness, for example stop_left.
	Lamp string `json:"lamp"`
	// Glow is the brightest the lamp gets in the step.
	Glow    wiring.Glow      `json:"glow,omitzero"`
	Pattern pictures.Pattern `json:"pattern,omitzero"`
	Phase   pictures.Phase   `json:"phase,omitzero"`
	Trust   Trust            `json:"trust,omitzero"`
}

// Brighter is which of two lamps is the brighter one.
type Brighter string

// The outcomes of a comparison.
const (
	LeftBrighter  Brighter = "left"
	RightBrighter Brighter = "right"
	Alike         Brighter = "alike"
)

// Values lists the outcomes.
func (Brighter) Values() []string { return []string{"left", "right", "alike"} }

// Comparison is a left lamp beside its right one in one step.
type Comparison struct {
	Step wiring.Step `json:"step"`
	// Lamp is the id of the pair without its side: tail, stop or turn.
	Lamp     string   `json:"lamp"`
	Brighter Brighter `json:"brighter"`
}

// Reading is what a meter or a test lamp shows at one point in one step.
type Reading struct {
	Step  wiring.Step `json:"step"`
	Half  wiring.Half `json:"half,omitzero"` // lit where it is left out
	Point string      `json:"point"`
	// One of the three. A test lamp is Lit or not. The sign of V and A is not
	// judged: leads and clamps get turned round.
	V   *float64 `json:"v,omitzero"`
	A   *float64 `json:"a,omitzero"`
	Lit *bool    `json:"lit,omitzero"`
}

// Intermittent is what comes and goes when something is moved. The pictures are
// those of the bad moment.
type Intermittent struct {
	// Place is where something was moved.
	Place wiring.Place `json:"place"`
	// Step and Lamp are what then came and went, where it was a lamp.
	Step wiring.Step `json:"step,omitzero"`
	Lamp string      `json:"lamp,omitzero"`
}

// Evidence is all that is known of how the lamps behave.
type Evidence struct {
	Pictures    []Picture    `json:"pictures,omitzero"`
	Comparisons []Comparison `json:"comparisons,omitzero"`
	Readings    []Reading    `json:"readings,omitzero"`
	// Intermittents raise the causes that can be loose in a place.
	Intermittents []Intermittent `json:"intermittents,omitzero"`
}
