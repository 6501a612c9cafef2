package pictures

import (
	"pintail/api/lamps/wiring"
	"pintail/api/unit"
)

// Pattern is how the light of a lamp goes with time.
type Pattern string

// The patterns.
const (
	Steady   Pattern = "steady"
	Flashing Pattern = "flashing" // dark in between
	Pulsing  Pattern = "pulsing"  // brighter and dimmer, never dark
)

// Values lists the patterns.
func (Pattern) Values() []string { return []string{"steady", "flashing", "pulsing"} }

// Phase is how a lamp that flashes or pulses goes with the motorhome's turn
// signal.
type Phase string

// The phases.
const (
	InStep  Phase = "in_step"
	Opposed Phase = "opposed" // bright while the motorhome's is dark
)

// Values lists the phases.
func (Phase) Values() []string { return []string{"in_step", "opposed"} }

// Look is what a person sees of one lamp in one step. What is dark has no
// pattern, what is steady no phase.
type Look struct {
	// Glow is that of the brighter half.
	Glow    wiring.Glow `json:"glow"`
	Pattern Pattern     `json:"pattern,omitzero"`
	Phase   Phase       `json:"phase,omitzero"`
}

// steadyShare is what of its light a lamp may lose in one half and still look
// steady. Judgement: a change of a quarter is seen at once when it repeats.
const steadyShare = 0.75

// LookOf is the look of a lamp with these lights in the two halves of the
// flash, 1 being its design light.
func LookOf(lit, dark float64) Look {
	high, low := max(lit, dark), min(lit, dark)
	l := Look{Glow: wiring.GlowOf(high)}
	if l.Glow == wiring.IsDark {
		return l
	}
	l.Pattern = Steady
	if unit.Round9(low) >= unit.Round9(steadyShare*high) {
		return l
	}
	l.Pattern, l.Phase = Pulsing, InStep
	if wiring.GlowOf(low) == wiring.IsDark {
		l.Pattern = Flashing
	}
	if dark > lit {
		l.Phase = Opposed
	}
	return l
}

// Word is the id of the look in the catalogue.
func (l Look) Word() string {
	id := "look." + string(l.Glow)
	if l.Pattern != "" {
		id += "_" + string(l.Pattern)
	}
	if l.Phase == Opposed && l.Pattern != Steady {
		id += "_opposed"
	}
	return id
}
