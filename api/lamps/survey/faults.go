package survey

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Where is a part of the motorhome's lamp circuits.
type Where string

// The parts.
const (
	AtTail      Where = "tail"       // the tail branch
	AtTurn      Where = "turn"       // the turn branch of both sides: flasher, its fuse, the wires to the switch
	AtStop      Where = "stop"       // the stop branch: brake switch, its fuse, the wires to the turn switch or the socket
	AtLeft      Where = "left"       // what everything on the left pin passes: its wire and contact
	AtRight     Where = "right"      // the same on the right
	AtLeftTurn  Where = "left_turn"  // the turn switch's contact of the left turn signal
	AtRightTurn Where = "right_turn" // of the right
	AtLeftStop  Where = "left_stop"  // the turn switch's contact that passes the stop signal to the left
	AtRightStop Where = "right_stop" // to the right
	AtCommon    Where = "common"     // what all pins have in common: the source, its fuse, the socket's ground
	AtGround    Where = "ground"     // the socket's ground
	AtCharge    Where = "charge"     // the charge line
)

// Values lists the parts.
func (Where) Values() []string {
	return []string{"tail", "turn", "stop", "left", "right", "left_turn", "right_turn", "left_stop", "right_stop", "common", "ground", "charge"}
}

// Fault is a part of the motorhome that loses more than it should, or carries
// nothing.
type Fault struct {
	Where Where `json:"where"`
	// Ohm is what it has too much, between LowOhm and HighOhm; only LowOhm where no
	// open voltage was read, none of them where it carries nothing.
	Ohm     *float64     `json:"ohm,omitzero"`
	LowOhm  *float64     `json:"low_ohm,omitzero"`
	HighOhm *float64     `json:"high_ohm,omitzero"`
	Dead    bool         `json:"dead,omitzero"`
	Says    finding.Text `json:"says"`
	// Costs is what the car's lamps lose by it.
	Costs []Cost `json:"costs,omitzero"`
}

// Cost is one lamp of the car with the fault and without: volts, and light, 1 at
// its design voltage.
type Cost struct {
	Step       wiring.Step `json:"step"`
	Lamp       string      `json:"lamp"`
	V          float64     `json:"v"`
	Light      float64     `json:"light"`
	SoundV     float64     `json:"sound_v"`
	SoundLight float64     `json:"sound_light"`
}

// ways are the solved branches by pin and job.
type ways struct {
	s   *Socket
	all []*way
}

func (x ways) of(pin Pin, j Job) *way {
	for _, b := range x.all {
		if b.Pin == pin && b.Job == j {
			return b
		}
	}
	return nil
}

// base is the better way to a pin.
func (x ways) base(pin Pin) *way {
	var best *way
	for _, b := range x.all {
		if b.Pin == pin && (best == nil || b.Ohm != nil && (best.Ohm == nil || *b.Ohm < *best.Ohm)) {
			best = b
		}
	}
	return best
}

var sides = [...]Pin{LeftPin, RightPin}

// faults finds where the motorhome loses more than it should.
func (w *worker) faults(s *Socket, all []*way, signals rig.Signals) {
	x := ways{s, all}
	if !w.common(x) {
		for _, pin := range []Pin{TailPin, LeftPin, RightPin, StopPin, ChargePin} {
			b := x.base(pin)
			if signals == rig.SeparateSignals && pin == LeftPin && tooMuch(b) && tooMuch(x.base(RightPin)) {
				w.fault(AtTurn, over(b), x)
				continue
			}
			if signals == rig.SeparateSignals && pin == RightPin && tooMuch(b) && tooMuch(x.base(LeftPin)) {
				continue
			}
			if tooMuch(b) {
				w.fault(Where(pin), over(b), x)
			}
		}
	}
	if signals == rig.CombinedSignals {
		w.jobFault(x, StopJob, TurnJob, AtStop)
		w.jobFault(x, TurnJob, StopJob, AtTurn)
	}
}

func tooMuch(b *way) bool { return b != nil && b.LowOhm > soundOhm }

// over is what a way has, all of it: what a sound way has is within its band.
func over(b *way) Ohms { return Ohms{Ohm: b.Ohm, Low: b.LowOhm, High: b.HighOhm, Whole: true} }

// jobFault compares the two ways to each side: what is in one of them and not in
// the other, on both sides alike, lies before the turn switch; on one side only,
// in the switch.
func (w *worker) jobFault(x ways, worse, better Job, both Where) {
	var found [2]bool
	var e [2]Ohms
	for i, pin := range sides {
		e[i], found[i] = excess(x.s, x.of(pin, worse), x.of(pin, better))
	}
	switch {
	case found[0] && found[1]:
		w.fault(both, together(e[0], e[1]), x)
	case found[0] || found[1]:
		i := slices.Index(found[:], true)
		where := both // the other side was not read: the branch is the likelier place
		if x.of(sides[1-i], worse) != nil && x.of(sides[1-i], better) != nil {
			where = Where(string(sides[i]) + "_" + string(worse))
		}
		w.fault(where, e[i], x)
	}
}

// together is one resistance measured twice.
func together(a, b Ohms) Ohms {
	if a.Ohm == nil || b.Ohm == nil {
		return Ohms{Low: max(a.Low, b.Low)}
	}
	ohm, high := milli((*a.Ohm+*b.Ohm)/2), max(*a.High, *b.High)
	return Ohms{Ohm: &ohm, Low: min(a.Low, b.Low), High: &high}
}

// common finds what all pins lose alike.
func (w *worker) common(x ways) bool {
	var bases []*way
	for _, pin := range []Pin{TailPin, LeftPin, RightPin, StopPin} {
		if b := x.base(pin); b != nil {
			bases = append(bases, b)
		}
	}
	for _, b := range bases {
		if b.ground != nil && *b.ground > soundOhm {
			w.fault(AtGround, Ohms{Ohm: rounded(*b.ground), Low: milli(*b.ground * (1 - lampShare)), High: rounded(*b.ground * (1 + lampShare)), Whole: true}, x)
			return true
		}
	}
	if len(bases) < 3 || slices.ContainsFunc(bases, func(b *way) bool { return !tooMuch(b) }) {
		return false
	}
	least := bases[0]
	for _, b := range bases {
		if b.LowOhm < least.LowOhm {
			least = b
		}
	}
	w.fault(AtCommon, over(least), x)
	return true
}

func rounded(v float64) *float64 {
	v = milli(v)
	return &v
}

// dead finds pins that should be fed in a state and are not.
func (w *worker) dead(s *Socket, signals rig.Signals) {
	seen := map[Where]bool{}
	none := func(pin Pin, j Job) (read, live bool) {
		for at := range s.Readings {
			if r := &s.Readings[at]; r.Pin == pin && job(pin, r.State, signals) == j && !w.left[at] {
				read, live = read || r.dead(), live || r.live()
			}
		}
		return read, live
	}
	add := func(where Where) {
		if !seen[where] {
			seen[where] = true
			w.fault(where, Ohms{}, ways{s: s})
		}
	}
	for _, pin := range []Pin{TailPin, StopPin} {
		j := TailJob
		if pin == StopPin {
			j = StopJob
		}
		if dead, live := none(pin, j); dead && !live {
			add(Where(pin))
		}
	}
	for i, pin := range sides {
		for _, j := range []Job{TurnJob, StopJob} {
			dead, live := none(pin, j)
			if !dead || live {
				continue
			}
			otherDead, otherLive := none(sides[1-i], j)
			_, elsewhere := none(pin, map[Job]Job{TurnJob: StopJob, StopJob: TurnJob}[j])
			switch {
			case otherDead && !otherLive:
				add(map[Job]Where{TurnJob: AtTurn, StopJob: AtStop}[j])
			case elsewhere:
				add(Where(string(pin) + "_" + string(j)))
			default:
				add(Where(pin))
			}
		}
	}
}

// dim is the light under which a lamp no longer signals, 1 being its design
// light: what the word dim ends at.
const dim = 0.2

// fault reports a fault, with what it costs the car's lamps.
func (w *worker) fault(where Where, o Ohms, x ways) {
	f := Fault{Where: where, Ohm: o.Ohm, HighOhm: o.High, Dead: o.Ohm == nil && o.Low == 0}
	p := finding.Params{"where": where.word()}
	switch {
	case f.Dead:
		f.Says = finding.Say("survey.fault_dead", p)
	case o.Ohm == nil:
		f.LowOhm = &o.Low
		p["low"] = finding.Num(o.Low, "ohm")
		f.Says = finding.Say("survey.fault_least", p)
	default:
		f.LowOhm = &o.Low
		p["ohm"], p["low"], p["high"] = finding.Num(*o.Ohm, "ohm"), finding.Num(o.Low, "ohm"), finding.Num(*o.High, "ohm")
		f.Says = finding.Say("survey.fault_more", p)
		if o.Whole {
			p["most"] = finding.Num(soundOhm, "ohm")
			f.Says = finding.Say("survey.fault_ohm", p)
		}
	}
	if !f.Dead {
		w.cost(&f, o)
	}
	w.report.Faults = append(w.report.Faults, f)
	v, decides := finding.Mind, where != AtCharge
	if decides && (f.Dead || slices.ContainsFunc(f.Costs, func(c Cost) bool { return c.Light < dim })) {
		v = finding.NoGo
	}
	say := w.find("survey.motorhome-fault", v, decides, f.Says)
	say.Remedy = finding.Advise("survey.fault.remedy", nil)
	for _, c := range f.Costs {
		say.Figures = append(say.Figures,
			finding.Figure{Label: "survey.figure.v", Value: finding.Num(c.V, "V")}, finding.Figure{Label: "survey.figure.sound_v", Value: finding.Num(c.SoundV, "V")},
			finding.Figure{Label: "survey.figure.light", Value: finding.Num(100*c.Light, "pct")}, finding.Figure{Label: "survey.figure.sound_light", Value: finding.Num(100*c.SoundLight, "pct")})
	}
}

// costs are the steps in which a fault shows, with the feeds it lies in.
var costs = map[Where][]struct {
	step wiring.Step
	feed wiring.Feed
}{
	AtTail: {{wiring.StepTail, wiring.Tail}}, AtTurn: {{wiring.StepLeft, wiring.Left}, {wiring.StepRight, wiring.Right}},
	AtStop: {{wiring.StepBrake, wiring.Left}, {wiring.StepBrake, wiring.Right}, {wiring.StepBrake, wiring.Stop}},
	AtLeft: {{wiring.StepLeft, wiring.Left}}, AtRight: {{wiring.StepRight, wiring.Right}},
	AtLeftTurn: {{wiring.StepLeft, wiring.Left}}, AtRightTurn: {{wiring.StepRight, wiring.Right}},
	AtLeftStop: {{wiring.StepBrake, wiring.Left}}, AtRightStop: {{wiring.StepBrake, wiring.Right}},
	AtGround: {{wiring.StepTailBrake, wiring.Tail}},
	AtCommon: {{wiring.StepTail, wiring.Tail}, {wiring.StepBrake, wiring.Left}, {wiring.StepBrake, wiring.Right}},
}

// cost solves the car's lamps behind the fault and without it, each step on its
// worst lamp. The ohms are those most likely, or the least where only those are
// known.
func (w *worker) cost(f *Fault, o Ohms) {
	more := o.Low
	if o.Ohm != nil {
		more = *o.Ohm
	}
	sound := w.was
	for i := range sound.Ohms.Source {
		sound.Ohms.Source[i] = min(sound.Ohms.Source[i], soundOhm)
	}
	ill := sound
	for _, c := range costs[f.Where] {
		switch {
		case f.Where == AtGround:
			ill.Ohms.Chassis = more
		case o.Whole:
			ill.Ohms.Source[c.feed] = more
		default:
			ill.Ohms.Source[c.feed] = sound.Ohms.Source[c.feed] + more
		}
	}
	var seen []wiring.Step
	for _, c := range costs[f.Where] {
		if !slices.Contains(seen, c.step) {
			seen = append(seen, c.step)
			f.Costs = appendCost(f.Costs, sound, ill, c.step)
		}
	}
}

// appendCost adds the lamp that loses most in a step.
func appendCost(all []Cost, sound, ill wiring.Harness, step wiring.Step) []Cost {
	a, b := wiring.Build(sound), wiring.Build(ill)
	state := wiring.State{Step: step, Half: wiring.Lit}
	a.Set(state)
	b.Set(state)
	if a.Solve() != nil || b.Solve() != nil {
		return all
	}
	var worst *Cost
	for i, l := range a.Lamps() {
		if !l.Connected || wiring.GlowOf(a.Light(i)) == wiring.IsDark {
			continue
		}
		c := Cost{Step: step, Lamp: l.ID, V: milli(b.Volts(i)), Light: milli(b.Light(i)), SoundV: milli(a.Volts(i)), SoundLight: milli(a.Light(i))}
		if worst == nil || unit.Round9(c.SoundLight-c.Light) > unit.Round9(worst.SoundLight-worst.Light) {
			worst = &c
		}
	}
	if worst == nil {
		return all
	}
	return append(all, *worst)
}
