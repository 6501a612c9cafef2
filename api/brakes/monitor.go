package brakes

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// MonitorPlace is a place where the cab monitor may take its signal.
type MonitorPlace struct {
	Tap  rig.MonitorTap `json:"tap"`
	Fit  Fit            `json:"fit"`
	Says finding.Text   `json:"says"`
}

// monitorPlaces judges each place for a rig: a monitor must see that the car
// brakes, and nothing else.
func monitorPlaces(r rig.Rig) []MonitorPlace {
	var all []MonitorPlace
	for _, t := range []rig.MonitorTap{rig.TapUnit, rig.TapPedal, rig.TapStopSwitch, rig.TapStopLamp} {
		fit, reason := monitorAt(r, t)
		all = append(all, MonitorPlace{Tap: t, Fit: fit, Says: finding.Say("brakes.tap_at."+reason, nil)})
	}
	return all
}

func monitorAt(r rig.Rig, t rig.MonitorTap) (Fit, string) {
	h := r.Harness
	still := (r.BrakeUnit.Actuation != "" || r.BrakeUnit.PressesPedal != nil) && !pressesPedal(r.BrakeUnit)
	switch {
	case t == rig.TapUnit:
		return Suits, "unit"
	case still:
		return RuledOut, "pedal_still"
	case t == rig.TapPedal:
		return Suits, "pedal"
	case off(r):
		return RuledOut, "dead"
	case t == rig.TapStopSwitch:
		return SuitsIf, "switch"
	case rig.Is(h.StopSwitchInterrupted, true):
		return RuledOut, "cut"
	case rig.Is(h.CarStopLampsLive, false):
		return RuledOut, "dead"
	case h.Approach == rig.SteeringDiodes || h.Approach == rig.SplicedOn:
		return RuledOut, "shared"
	case h.CarStopLampsLive == nil || h.StopSwitchInterrupted == nil || h.Approach == "":
		return NotKnown, "lamp_open"
	}
	return SuitsIf, "lamp"
}
