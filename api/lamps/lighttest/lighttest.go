// Package lighttest writes the light test of a rig: its steps in the order that
// shows most with fewest, what every lamp should do in each, and what the test
// can and cannot show.
package lighttest

import (
	"math"
	"strings"

	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// Input is the input of lamps/test.
type Input struct {
	Rig *rig.Rig `json:"rig"`
	// By is who tests, two people when absent.
	By By `json:"by,omitzero"`
}

// By is who tests.
type By string

// The ways to test.
const (
	OnePerson By = "one_person"
	TwoPeople By = "two_people"
	OnBench   By = "bench" // in the shop, without the motorhome
)

// Values lists the ways.
func (By) Values() []string { return []string{"one_person", "two_people", "bench"} }

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	rig.Choice(c, "by", in.By)
	return c.Err()
}

// Report is the answer of lamps/test.
type Report struct {
	finding.Stamp `json:",inline"`
	// Before is what to see to before the first step.
	Before []finding.Text `json:"before"`
	Steps  []Step         `json:"steps"`
	// After is what to undo after the last one.
	After []finding.Text `json:"after"`
	// Bench is the shop's test, which has no steps of the motorhome's.
	Bench *BenchTest `json:"bench,omitzero"`
	// Values are those that the expected figures rest on.
	Values []wiring.Value `json:"values"`
}

// Step is one step of the test.
type Step struct {
	Step wiring.Step `json:"step"`
	// Needed is whether it belongs to the fewest steps that show all faults that
	// can be shown.
	Needed bool         `json:"needed"`
	Says   finding.Text `json:"says"`
	// Do is what to do, in order.
	Do []finding.Text `json:"do"`
	// Expect is the expected picture; two of them, either of which passes, where
	// nobody has recorded which of hazard and brake wins.
	Expect []Expected `json:"expect"`
}

// Expected is how all lamps should look in one step.
type Expected struct {
	HazardAndBrake rig.HazardAndBrake `json:"hazard_and_brake,omitzero"`
	Lamps          []ExpectedLamp     `json:"lamps"`
	Pairs          []ExpectedPair     `json:"pairs,omitzero"`
}

// ExpectedLamp is one light source.
type ExpectedLamp struct {
	Lamp string      `json:"lamp"`
	Lens wiring.Lens `json:"lens"`
	Job  wiring.Job  `json:"job"`
	// Hidden is whether a brighter lamp in the same lens outshines it: it is not
	// asked for.
	Hidden        bool `json:"hidden,omitzero"`
	pictures.Look `json:",inline"`
	// Lit and Dark are the two halves of the flash; Dark is absent in a step that
	// does not flash.
	Lit  HalfLight  `json:"lit"`
	Dark *HalfLight `json:"dark,omitzero"`
}

// HalfLight is what a lamp gets in one half: volts over it, amperes through it,
// and its light, 1 at its design voltage.
type HalfLight struct {
	V     float64     `json:"v"`
	A     float64     `json:"a"`
	Light float64     `json:"light"`
	Glow  wiring.Glow `json:"glow"`
}

// ExpectedPair is a left lamp against its right one, in the brighter half of
// each.
type ExpectedPair struct {
	// Lamp is the pair without its side.
	Lamp string `json:"lamp"`
	// LeftShare is the left lamp's part of the light of both, a half when they are
	// alike.
	LeftShare float64 `json:"left_share"`
}

// Make writes the light test of a rig.
func Make(in Input) Report {
	n := wiring.Build(wiring.Describe(*in.Rig))
	by := in.By
	if by == "" {
		by = TwoPeople
	}
	r := Report{Before: before(&n.Harness), Steps: []Step{}, After: after(&n.Harness, by), Values: n.Harness.Values}
	if by == OnBench {
		r.Before, r.After = []finding.Text{say("light.before.bench")}, []finding.Text{say("light.after.bench")}
		b, err := bench(n.Harness)
		if err != nil {
			r.Before = append(r.Before, finding.Say("trace.not_solved", nil))
		}
		r.Bench = b
		return r
	}
	p, err := pictures.Of(n, 0)
	if err != nil {
		r.Before = append(r.Before, finding.Say("trace.not_solved", nil))
		return r
	}
	steps, needed := order(p, masks(p))
	for k, step := range steps {
		s := p.Steps[step]
		out := Step{Step: s, Needed: k < needed, Says: finding.Say("light.call."+string(s), nil), Do: orders(s, by)}
		for won := range precedences(p, s) {
			out.Expect = append(out.Expect, expected(p, step, won))
		}
		r.Steps = append(r.Steps, out)
	}
	return r
}

// precedences are those of hazard and brake that a step is to be shown with.
func precedences(p *pictures.Pictures, s wiring.Step) []rig.HazardAndBrake {
	if s == wiring.StepHazardBrake {
		return p.Tried()
	}
	return p.Tried()[:1]
}

// expected solves a step of the sound harness. It was solved before: an error
// cannot come.
func expected(p *pictures.Pictures, step, won int) Expected {
	s := p.Steps[step]
	var e Expected
	if len(precedences(p, s)) > 1 {
		e.HazardAndBrake = p.Tried()[won]
	}
	lit, dark := halves(p, s, wiring.Lit, won), halves(p, s, wiring.Dark, won)
	for i, l := range p.Network.Lamps() {
		if !l.Connected {
			continue
		}
		x := ExpectedLamp{Lamp: l.ID, Lens: l.Lens, Job: l.Job, Hidden: p.Hidden(step, won, i), Look: pictures.LookOf(lit[i].Light, dark[i].Light), Lit: lit[i]}
		if s.Flashes() {
			x.Dark = &dark[i]
		}
		e.Lamps = append(e.Lamps, x)
		if pair, left := strings.CutSuffix(l.ID, "_left"); left {
			if j := p.Lamp(pair + "_right"); j >= 0 && p.Network.Lamps()[j].Connected {
				e.Pairs = appendPair(e.Pairs, pair, p.Brightest(0, step, won, i), p.Brightest(0, step, won, j))
			}
		}
	}
	return e
}

func appendPair(pairs []ExpectedPair, lamp string, left, right float64) []ExpectedPair {
	const least = 0.0005 // both dark: nothing to compare
	if left < least && right < least {
		return pairs
	}
	return append(pairs, ExpectedPair{Lamp: lamp, LeftShare: unit.Round9(math.Round(1000*left/(left+right)) / 1000)})
}

func halves(p *pictures.Pictures, s wiring.Step, half wiring.Half, won int) []HalfLight {
	n := p.Network
	n.Set(wiring.State{Step: s, Half: half, HazardAndBrake: p.Tried()[won]})
	if err := n.Solve(); err != nil {
		return make([]HalfLight, len(n.Lamps()))
	}
	all := make([]HalfLight, len(n.Lamps()))
	for i := range all {
		light := unit.Micro(n.Light(i))
		all[i] = HalfLight{V: unit.Micro(n.Volts(i)), A: unit.Micro(n.Amps(i)), Light: light, Glow: wiring.GlowOf(light)}
	}
	return all
}
