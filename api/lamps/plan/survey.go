package plan

import (
	"math"
	"slices"
	"strings"

	"pintail/api/circuit"
	"pintail/api/lamps/wiring"
	"pintail/api/unit"
)

// standard are the steps of a light test that a plan is solved for. Those with
// the brake unit hold the pedal of the car down, the car being as it is towed.
var standard = []wiring.Step{
	wiring.StepTail, wiring.StepLeft, wiring.StepRight, wiring.StepBrake, wiring.StepHazard, wiring.StepBrakeLeft, wiring.StepBrakeRight,
	wiring.StepTailBrake, wiring.StepTailLeft, wiring.StepTailRight, wiring.StepUnitLeftAsleep, wiring.StepUnitRightAsleep,
}

// telling are the steps that tell whether a signal shows at all, and where else:
// each side's turn signal alone and under braking.
var telling = []wiring.Step{wiring.StepLeft, wiring.StepRight, wiring.StepBrakeLeft, wiring.StepBrakeRight}

// fullest are the steps with every lamp on, in which wires and diodes carry most
// and each lamp gets least; in the second the turn lamps of a car that keeps them
// apart.
var fullest = []wiring.Step{wiring.StepTailBrake, wiring.StepHazard}

// survey is a harness solved in some steps of a light test.
type survey struct {
	h     wiring.Harness
	net   *wiring.Network
	lamps []wiring.Lamp
	steps []wiring.Step
	// gets holds, by step, half and lamp, what the lamp gets, and volts, by step
	// and half, the voltages of the nodes.
	gets  []get
	volts [][]float64
	// like is a harness much like this one that has been solved, nil if none.
	like *survey
	// By part of the circuit: the most current in any step, the step that heats it
	// most, and the step at hand.
	amps      []float64
	most, now []work
	// back is the most current a part carries from its second end to its first,
	// pedal the same in the steps with the brake unit on the pedal.
	back, pedal []float64
	// full is the heat of each part in the first of the fullest steps.
	full []float64
}

type get struct{ volts, light float64 }

// work is what a part does in a step: its heat averaged over the flash, and
// current and voltage in the half with more current.
type work struct {
	step               wiring.Step
	watts, amps, volts float64
}

const lit, off = 0, 1

// solve solves a harness in the steps given, those of the brake unit only where
// it presses the pedal. It begins each near the answer of a harness like it, if
// one is given.
func solve(h wiring.Harness, steps []wiring.Step, like *survey) (*survey, error) {
	if !h.UnitPresses {
		steps = slices.DeleteFunc(slices.Clone(steps), wiring.Step.NeedsUnit)
	}
	net := wiring.Build(h)
	s := &survey{h: h, net: net, lamps: net.Lamps(), steps: steps, like: like}
	s.gets = make([]get, 2*len(steps)*len(s.lamps))
	s.volts = make([][]float64, 2*len(steps))
	n := net.Circuit().Parts()
	s.amps, s.back, s.pedal, s.full = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	s.most, s.now = make([]work, n), make([]work, n)
	for i, step := range steps {
		if err := s.step(i, step); err != nil {
			return nil, err
		}
	}
	return s, nil
}

func (s *survey) step(i int, step wiring.Step) error {
	halves := 1
	if step.Flashes() {
		halves = 2
	}
	for half := range halves {
		if half == off && !asksOf(step).steady() {
			break // nothing has current while the only signal is dark
		}
		s.net.Set(wiring.State{Step: step, Half: [...]wiring.Half{wiring.Lit, wiring.Dark}[half]})
		if err := s.near(i, half, step); err != nil {
			return err
		}
		for lamp := range s.lamps {
			g := get{s.net.Volts(lamp), s.net.Light(lamp)}
			*s.at(i, half, lamp) = g
			if halves == 1 {
				*s.at(i, off, lamp) = g
			}
		}
		s.load(halves, step.NeedsUnit())
	}
	s.close(step)
	return nil
}

// near solves a half of a step from the same one of the harness like it, or from
// the half before.
func (s *survey) near(i, half int, step wiring.Step) error {
	if s.like == nil {
		err := s.net.SolveWarm()
		s.volts[2*i+half] = s.net.AppendVoltages(nil)
		return err
	}
	if at := s.like.stepIndex(step); at >= 0 {
		return s.net.SolveNear(s.like.volts[2*at+half])
	}
	return s.net.SolveWarm()
}

// load adds what every part carries in a half of a step.
func (s *survey) load(halves int, pedal bool) {
	back := s.back
	if pedal {
		back = s.pedal
	}
	for p := range s.now {
		part, w := circuit.Part(p), &s.now[p]
		through, watts := s.net.Current(part), s.net.Power(part)
		amps := math.Abs(through)
		back[p] = max(back[p], -through)
		w.watts += watts / float64(halves)
		if amps > w.amps {
			w.amps, w.volts = amps, math.Abs(watts)/amps
		}
	}
}

// close keeps the step for the parts that it heats most, and makes ready for the
// next.
func (s *survey) close(step wiring.Step) {
	for p := range s.now {
		now, most := &s.now[p], &s.most[p]
		if step == fullest[0] {
			s.full[p] = now.watts
		}
		s.amps[p] = max(s.amps[p], now.amps)
		if now.watts > most.watts {
			*most = *now
			most.step = step
		}
		*now = work{}
	}
}

// at is what a lamp gets in a half of a step; in a step that does not flash both
// halves are alike.
func (s *survey) at(step, half, lamp int) *get {
	return &s.gets[(2*step+half)*len(s.lamps)+lamp]
}

// partAmps is the most that a part carries in any step, 0 where there is none.
func (s *survey) partAmps(name string) float64 {
	p, ok := s.net.Part(name)
	if !ok {
		return 0
	}
	return s.amps[p]
}

// stepIndex is where a step is, -1 where it was not solved.
func (s *survey) stepIndex(step wiring.Step) int {
	for i, t := range s.steps {
		if t == step {
			return i
		}
	}
	return -1
}

// lamp is where a lamp is, -1 where there is none or nothing leads to it.
func (s *survey) lamp(id string) int {
	for i := range s.lamps {
		if s.lamps[i].ID == id {
			return i
		}
	}
	return -1
}

// want is what a lamp should do in a step.
type want uint8

const (
	wantOff want = iota
	wantSteady
	wantFlash
	wantAny // nobody's business, or the motorhome's
)

// asks is what a step asks for.
type asks struct{ tail, brake, left, right, pedal bool }

// steady reports whether anything has current in the dark half of the flash.
func (a asks) steady() bool { return a.tail || a.brake || a.pedal }

func asksOf(step wiring.Step) asks {
	has := func(word string) bool { return strings.Contains(string(step), word) }
	hazard := has("hazard")
	return asks{tail: has("tail"), brake: has("brake"), left: has("left") || hazard, right: has("right") || hazard, pedal: step.NeedsUnit()}
}

// wants is what a lamp should do in a step.
func (s *survey) wants(step wiring.Step, lamp int) want {
	l, a := &s.lamps[lamp], asksOf(step)
	left := l.Lens == wiring.LeftRear || l.Lens == wiring.LeftTurn
	turns := left && a.left || !left && a.right
	switch {
	case !rear(l.Lens):
		return wantsElsewhere(l, a)
	case l.Job == wiring.TailJob || l.Job == wiring.PlateJob:
		return steadyIf(a.tail)
	case l.Job == wiring.TurnJob && s.guesses() && (step == wiring.StepHazard || a.brake):
		return wantAny
	case l.Job != wiring.StopJob && turns:
		if l.Connected || !s.turnsBeside(l, left) {
			return wantFlash
		}
		return wantOff
	case l.Job == wiring.TurnJob:
		return wantOff
	case a.pedal:
		return wantAny // the car's own stop switch lights it
	}
	return steadyIf(a.brake)
}

// wantsElsewhere is for the lamps that the harness is not to light.
func wantsElsewhere(l *wiring.Lamp, a asks) want {
	switch l.Lens {
	case wiring.HighStop, wiring.CarLeft, wiring.CarRight:
		if a.pedal || a.brake {
			return wantAny
		}
		return wantOff
	case wiring.CarPark:
		return wantOff
	}
	return wantAny
}

func steadyIf(yes bool) want {
	if yes {
		return wantSteady
	}
	return wantOff
}

// guesses reports a converter in the car that has two feeds to read: unless it
// remembers the flash before, it takes hazard lamps for braking, and the dark half
// of a turn signal under braking for the other side's.
func (s *survey) guesses() bool { return s.h.Splits() && !s.h.Wires[wiring.Stop] }

// turnsBeside reports whether another lamp of that side is connected to show the
// turn signal.
func (s *survey) turnsBeside(l *wiring.Lamp, left bool) bool {
	for i := range s.lamps {
		o := &s.lamps[i]
		same := left && (o.Lens == wiring.LeftRear || o.Lens == wiring.LeftTurn) || !left && (o.Lens == wiring.RightRear || o.Lens == wiring.RightTurn)
		if same && o.Connected && o.Job != l.Job && (o.Job == wiring.TurnJob || o.Job == wiring.StopTurnJob) {
			return true
		}
	}
	return false
}

// rear reports whether a lens is one that the harness lights at the rear of the
// car.
func rear(l wiring.Lens) bool {
	switch l {
	case wiring.LeftRear, wiring.RightRear, wiring.LeftTurn, wiring.RightTurn, wiring.PlateLens:
		return true
	}
	return false
}

// bright is what a lamp gets in the brighter half of a step, dim in the other.
func (s *survey) bright(step, lamp int) *get {
	a, b := s.at(step, lit, lamp), s.at(step, off, lamp)
	if b.light > a.light {
		return b
	}
	return a
}

func (s *survey) dim(step, lamp int) *get {
	a, b := s.at(step, lit, lamp), s.at(step, off, lamp)
	if b.light > a.light {
		return a
	}
	return b
}

// lowest is the least a lamp gets in one of the steps given, so far as they were
// solved, in which it should be lit; nil if there is no such step.
func (s *survey) lowest(lamp int, steps []wiring.Step) (least *get) {
	for _, step := range steps {
		i := s.stepIndex(step)
		if i < 0 {
			continue
		}
		var g *get
		switch s.wants(step, lamp) {
		case wantSteady:
			g = s.dim(i, lamp)
			if unit.Round9(g.light) < strayLight {
				g = s.bright(i, lamp) // it pulses, which is another matter
			}
		case wantFlash:
			g = s.bright(i, lamp)
		}
		if g != nil && (least == nil || math.Abs(g.volts) < math.Abs(least.volts)) {
			least = g
		}
	}
	return least
}
