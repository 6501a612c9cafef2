package rig

import (
	"cmp"
	"slices"

	"pintail/api/sorting"
	"pintail/api/unit"
)

// PartKind is a kind of part in the coupling chain.
type PartKind string

// The kinds of part, from the motorhome to the car.
const (
	Receiver        PartKind = "receiver"
	Extension       PartKind = "extension"
	Adapter         PartKind = "adapter" // a drop or a rise
	TowBar          PartKind = "tow_bar"
	QuickDisconnect PartKind = "quick_disconnect"
	BasePlate       PartKind = "base_plate"
)

// Values lists the kinds, from the motorhome to the car.
func (PartKind) Values() []string {
	return []string{"receiver", "extension", "adapter", "tow_bar", "quick_disconnect", "base_plate"}
}

// StrengthKind says what a strength on a label means.
type StrengthKind string

// The two strengths, which are never compared with each other.
const (
	WorkingLoad      StrengthKind = "working_load"
	BreakingStrength StrengthKind = "breaking_strength"
)

// Values lists the kinds of strength.
func (StrengthKind) Values() []string { return []string{"working_load", "breaking_strength"} }

// Part is one part that carries the pull.
type Part struct {
	Kind PartKind `json:"kind"`
	// Order places the part in the chain among others of its kind.
	Order int `json:"order,omitzero"`
	// Rating is the greatest towed weight on the part's label.
	Rating     *unit.Mass   `json:"rating,omitzero"`
	RatingKind StrengthKind `json:"rating_kind,omitzero"`
	// HitchClass is 1 to 4 where the receiver is marked with a class of SAE J684
	// instead of a figure.
	HitchClass *int `json:"hitch_class,omitzero"`
	// Offset is how far an adapter lifts (positive) or drops (negative) the bar,
	// or how long an extension is.
	Offset *unit.Length `json:"offset,omitzero"`
	// Pins and Clips are what a person counts on this part.
	Pins  *int `json:"pins,omitzero"`
	Clips *int `json:"clips,omitzero"`
}

func (p Part) check(c Checker) {
	if p.Kind == "" {
		c.In("kind").Bad("missing")
	}
	Choice(c, "kind", p.Kind)
	c.Count("order", &p.Order, 0, 1000)
	c.Mass("rating", p.Rating, 100, 100_000)
	Choice(c, "rating_kind", p.RatingKind)
	c.Count("hitch_class", p.HitchClass, 1, 4)
	c.Length("offset", p.Offset, -2, 5)
	c.Count("pins", p.Pins, 0, 12)
	c.Count("clips", p.Clips, 0, 12)
}

// AnchorPlace is where a cable, lanyard or switch is fastened.
type AnchorPlace string

// The places.
const (
	Frame         AnchorPlace = "frame"        // the vehicle's own frame or structure
	ReceiverPoint AnchorPlace = "receiver"     // a rated point of the receiver
	OnTowBar      AnchorPlace = "tow_bar"      // the bar or its arms
	OnBasePlate   AnchorPlace = "base_plate"   // the base plate or a part that comes off with it
	OnBumper      AnchorPlace = "bumper"       // the bumper
	OnCable       AnchorPlace = "safety_cable" // the same link as a safety cable
	OtherPlace    AnchorPlace = "other"        // somewhere else
)

// Values lists the places.
func (AnchorPlace) Values() []string {
	return []string{"frame", "receiver", "tow_bar", "base_plate", "bumper", "safety_cable", "other"}
}

// Cable is one safety cable or chain.
type Cable struct {
	Order    int          `json:"order,omitzero"`
	Strength *unit.Mass   `json:"strength,omitzero"`
	Kind     StrengthKind `json:"kind,omitzero"`
	Length   *unit.Length `json:"length,omitzero"`
	// TowingPoint and TowedPoint are where its ends are fastened, PointRating the
	// lower of the ratings of the two points where they are marked.
	TowingPoint AnchorPlace `json:"towing_point,omitzero"`
	TowedPoint  AnchorPlace `json:"towed_point,omitzero"`
	PointRating *unit.Mass  `json:"point_rating,omitzero"`
}

func (k Cable) check(c Checker) {
	c.Count("order", &k.Order, 0, 1000)
	c.Mass("strength", k.Strength, 100, 200_000)
	Choice(c, "kind", k.Kind)
	c.Length("length", k.Length, 0.5, 20)
	Choice(c, "towing_point", k.TowingPoint)
	Choice(c, "towed_point", k.TowedPoint)
	c.Mass("point_rating", k.PointRating, 100, 200_000)
}

// Geometry is measured on level ground, the motorhome at travel height.
type Geometry struct {
	// TowingPinHeight is from the ground to the centre of the pin the bar hangs
	// on at the motorhome, with the adapter in place; TowedPinHeight the same at
	// the base plate.
	TowingPinHeight *unit.Length `json:"towing_pin_height,omitzero"`
	TowedPinHeight  *unit.Length `json:"towed_pin_height,omitzero"`
	// ArmLength is from pin centre to pin centre along the bar, locked.
	ArmLength *unit.Length `json:"arm_length,omitzero"`
	// Gap is between the rearmost point of the motorhome and the car's front.
	Gap *unit.Length `json:"gap,omitzero"`
	// PivotBehindAnchors is from the line through the motorhome's cable points
	// back to the point the bar swings about.
	PivotBehindAnchors *unit.Length `json:"pivot_behind_anchors,omitzero"`
	// TowingSpread and TowedSpread are between the left and right cable points.
	TowingSpread *unit.Length `json:"towing_spread,omitzero"`
	TowedSpread  *unit.Length `json:"towed_spread,omitzero"`
	// FullLockDeg is the greatest angle between motorhome and car in the
	// tightest turn, degrees.
	FullLockDeg *float64 `json:"full_lock_deg,omitzero"`
	// CableHeight is the lower of the heights of the cable points.
	CableHeight *unit.Length `json:"cable_height,omitzero"`
}

func (g Geometry) check(c Checker) {
	c.Length("towing_pin_height", g.TowingPinHeight, 0.25, 5)
	c.Length("towed_pin_height", g.TowedPinHeight, 0.25, 5)
	c.Length("arm_length", g.ArmLength, 1, 12)
	c.Length("gap", g.Gap, 0, 40)
	c.Length("pivot_behind_anchors", g.PivotBehindAnchors, 0, 5)
	c.Length("towing_spread", g.TowingSpread, 0, 8)
	c.Length("towed_spread", g.TowedSpread, 0, 8)
	c.Number("full_lock_deg", g.FullLockDeg, 1, 110)
	c.Length("cable_height", g.CableHeight, 0.1, 5)
}

// Coupling is the coupling chain, the safety cables and the geometry.
type Coupling struct {
	Parts         map[string]Part  `json:"parts,omitzero"`
	Cables        map[string]Cable `json:"cables,omitzero"`
	CablesCrossed *bool            `json:"cables_crossed,omitzero"`
	Geometry      Geometry         `json:"geometry,omitzero"`
}

func (k Coupling) check(c Checker) {
	entries(c, "parts", k.Parts, func(c Checker, p Part) { p.check(c) })
	entries(c, "cables", k.Cables, func(c Checker, p Cable) { p.check(c) })
	k.Geometry.check(c.In("geometry"))
}

// Chain returns the ids of the parts from the motorhome to the car.
func (k Coupling) Chain() []string {
	ids := Keys(k.Parts)
	rank := func(id string) int { return slices.Index(PartKind("").Values(), string(k.Parts[id].Kind)) }
	sorting.By(ids, func(a, b string) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(k.Parts[a].Order, k.Parts[b].Order))
	})
	return ids
}

// CableOrder returns the ids of the cables in order.
func (k Coupling) CableOrder() []string {
	ids := Keys(k.Cables)
	sorting.By(ids, func(a, b string) int { return cmp.Compare(k.Cables[a].Order, k.Cables[b].Order) })
	return ids
}
