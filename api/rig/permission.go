package rig

import "pintail/api/unit"

// ManualSays is what the owner's manual of exactly this car says about towing
// it on its four wheels.
type ManualSays string

// What a manual may say, and that nobody read it.
const (
	Allowed       ManualSays = "allowed"
	Forbidden     ManualSays = "forbidden"
	EmergencyOnly ManualSays = "emergency_only"
	Silent        ManualSays = "silent"
	NotRead       ManualSays = "not_read"
)

// Values lists what a manual may say.
func (ManualSays) Values() []string {
	return []string{"allowed", "forbidden", "emergency_only", "silent", "not_read"}
}

// Permission is what the owner's manual says, and the limits it sets.
type Permission struct {
	ManualSays ManualSays `json:"manual_says,omitzero"`
	// ReadFor is the car the page speaks of; it must be this car.
	ReadFor Variant   `json:"read_for,omitzero"`
	ReadBy  string    `json:"read_by,omitzero"`
	ReadOn  unit.Date `json:"read_on,omitzero"`
	Page    string    `json:"page,omitzero"`
	// PagePhotos are the photos taken of the page, by their ids; the photos
	// themselves stay on the phone that took them.
	PagePhotos map[string]PagePhoto `json:"page_photos,omitzero"`
	// Limits of the manual, absent where it sets none.
	MaxSpeed    *unit.Speed  `json:"max_speed,omitzero"`
	MaxDistance *unit.Length `json:"max_distance,omitzero"`
	// EngineRunEveryH is how often, in hours, the manual wants the engine run;
	// EngineRunMin for how many minutes.
	EngineRunEveryH *float64 `json:"engine_run_every_h,omitzero"`
	EngineRunMin    *float64 `json:"engine_run_min,omitzero"`
}

// PagePhoto is one photo of the manual's page.
type PagePhoto struct {
	// On is the day it was kept.
	On unit.Date `json:"on,omitzero"`
}

func (p Permission) check(c Checker) {
	Choice(c, "manual_says", p.ManualSays)
	p.ReadFor.check(c.In("read_for"))
	c.Text("read_by", p.ReadBy, 120)
	c.Date("read_on", p.ReadOn)
	c.Text("page", p.Page, 120)
	entries(c, "page_photos", p.PagePhotos, func(c Checker, photo PagePhoto) { c.Date("on", photo.On) })
	c.Speed("max_speed", p.MaxSpeed)
	c.Distance("max_distance", p.MaxDistance, 5000)
	c.Number("engine_run_every_h", p.EngineRunEveryH, 0.1, 100)
	c.Number("engine_run_min", p.EngineRunMin, 0.1, 120)
}
