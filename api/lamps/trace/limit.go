package trace

import (
	"slices"
	"strings"

	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
)

// weak is the light from which those behind see a lamp by day, 1 being its
// design light. It is where dim begins.
const weak = 0.2

// limit is how far a rig may go with a cause. Judgement, from what is left of the
// signals: without stop lamps, without tail lamps, without any turn signal, with
// one on the wrong side, with a wire on metal or the car's brakes held on it does
// not move; with a lamp out, weak or unsteady it goes to the next safe place.
func (t *tracer) limit(cause int) Limit {
	c := &t.p.Causes[cause]
	if slices.ContainsFunc(c.Faults, func(f *wiring.Fault) bool { return f.OpensFuse || f.Kind() == "pedal_held" }) {
		return DoNotMove
	}
	if c.Sound() {
		return MayGoOn
	}
	s := signals{p: t.p, cause: cause}
	switch {
	case s.none(wiring.StepBrake), s.none(wiring.StepTailBrake), s.noTail(), s.noTurn(), s.wrongSide():
		return DoNotMove
	case s.unlike():
		return SafePlace
	}
	return MayGoOn
}

// signals is what those behind the car see of a cause.
type signals struct {
	p     *pictures.Pictures
	cause int
}

// sideOf is the side of a lamp at the rear that the harness lights, "" for others.
func sideOf(l *wiring.Lamp) string {
	switch l.Lens {
	case wiring.LeftRear, wiring.LeftTurn:
		return "left"
	case wiring.RightRear, wiring.RightTurn:
		return "right"
	}
	return ""
}

// none reports whether no stop lamp is left that a sound harness lights.
func (s *signals) none(step wiring.Step) bool {
	at, meant := s.p.Step(step), false
	for i := range s.p.Network.Lamps() {
		l := &s.p.Network.Lamps()[i]
		if !l.Connected || sideOf(l) == "" || l.Job != wiring.StopJob && l.Job != wiring.StopTurnJob || s.p.Brightest(0, at, 0, i) < weak {
			continue
		}
		meant = true
		if s.p.Brightest(s.cause, at, 0, i) >= weak {
			return false
		}
	}
	return meant
}

func (s *signals) noTail() bool {
	at, meant := s.p.Step(wiring.StepTail), false
	for i := range s.p.Network.Lamps() {
		l := &s.p.Network.Lamps()[i]
		if !l.Connected || sideOf(l) == "" || l.Job != wiring.TailJob || s.p.Brightest(0, at, 0, i) < weak {
			continue
		}
		meant = true
		if s.p.Brightest(s.cause, at, 0, i) >= weak {
			return false
		}
	}
	return meant
}

// flashes reports whether a lamp of that side flashes for all to see.
func (s *signals) flashes(cause int, step wiring.Step, side string) bool {
	at := s.p.Step(step)
	for i := range s.p.Network.Lamps() {
		l := &s.p.Network.Lamps()[i]
		lit, dark := s.p.Light(cause, at, 0, wiring.Lit, i), s.p.Light(cause, at, 0, wiring.Dark, i)
		if l.Connected && sideOf(l) == side && l.Job != wiring.TailJob && max(lit, dark) >= weak && min(lit, dark) < max(lit, dark)/2 {
			return true
		}
	}
	return false
}

var turns = [...]struct {
	step        wiring.Step
	side, other string
}{{wiring.StepLeft, "left", "right"}, {wiring.StepRight, "right", "left"}}

func (s *signals) noTurn() bool {
	for _, turn := range turns {
		if !s.flashes(0, turn.step, turn.side) || s.flashes(s.cause, turn.step, turn.side) {
			return false
		}
	}
	return true
}

func (s *signals) wrongSide() bool {
	for _, turn := range turns {
		if !s.flashes(s.cause, turn.step, turn.side) && s.flashes(s.cause, turn.step, turn.other) && !s.flashes(0, turn.step, turn.other) {
			return true
		}
	}
	return false
}

// unlike reports whether any lamp of the car's rear looks otherwise than it
// should in any step.
func (s *signals) unlike() bool {
	for step := range s.p.Steps {
		for i := range s.p.Network.Lamps() {
			l := &s.p.Network.Lamps()[i]
			if l.Connected && !strings.HasPrefix(string(l.Lens), "motorhome_") && !s.p.Hidden(step, 0, i) && s.p.Look(s.cause, step, 0, i) != s.p.Look(0, step, 0, i) {
				return true
			}
		}
	}
	return false
}

// fix is what to do about a fault.
func fix(f *wiring.Fault) finding.Text {
	return f.Say("trace.fix." + fixes[f.Kind()])
}

// fixes is the remedy of each kind of fault.
var fixes = map[string]string{
	"fuse_tail": "fuse", "fuse_turn": "fuse", "fuse_stop": "fuse", "flasher_dead": "flasher", "flasher_steady": "flasher", "stop_switch_dead": "stop_switch",
	"source_open": "source", "source": "source", "stop_branch": "stop_branch", "stuck_on": "stuck_on", "chassis_open": "chassis", "chassis": "chassis",
	"socket_swap_left_right": "socket_swap", "socket_swap_tail": "socket_swap", "converter_dead": "converter_dead", "converter_or": "converter", "converter_inhibit": "converter",
	"unplugged": "unplugged", "open": "open", "contact": "contact", "ground_open": "open_ground", "ground": "contact_ground", "short": "short",
	"bridge_tail": "bridge", "bridge_left_right": "bridge", "car_open": "car_wire", "car_contact": "car_wire", "car_short": "short",
	"swap_left_right": "swap", "swap_tail": "swap", "swap_stop": "swap", "swap_stop_tail": "swap", "drop_open": "drop_open",
	"diode_reversed": "diode", "diode_missing": "diode", "car_diode_missing": "diode", "car_diode_reversed": "diode", "pair_missing": "diode", "no_diodes": "no_diodes",
	"relay_stuck": "relay", "relay_welded": "relay", "jumper_open": "jumper", "lamp_out": "lamp_out", "touching": "touching", "socket_turned": "socket_turned", "led_reversed": "socket_turned",
	"housing_open": "housing", "housing": "housing", "body_open": "body", "body": "body", "pedal_held": "pedal_held", "interrupter_failed": "interrupter",
}
