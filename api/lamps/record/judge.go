package record

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/lighttest"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/survey"
	"pintail/api/lamps/trace"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// Input is the input of lamps/record: a rig, and a test of it as it was made.
type Input struct {
	Rig    *rig.Rig `json:"rig"`
	Record *Record  `json:"record"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	if in.Record == nil {
		c.In("record").Bad("missing")
	} else {
		in.Record.Check(c.In("record"))
	}
	if err := c.Err(); err != nil {
		return err
	}
	in.Record.Evidence.CheckAgainst(c.In("record"), *in.Rig)
	if in.Record.Socket != nil {
		in.Record.Socket.CheckAgainst(c.In("record").In("socket"), in.Rig.Harness.Connector.Kind)
	}
	return c.Err()
}

// Report is the answer of lamps/record.
type Report struct {
	finding.Stamp `json:",inline"`
	// Record is the test as it is to be kept: with its result and with what it
	// hangs on.
	Record Record `json:"record"`
	// Says is the result in a sentence.
	Says finding.Text `json:"says"`
	// Misfits are the looks that are not as they should be, Missing the steps of
	// the fewest that show all faults in which a lamp was not seen for sure.
	Misfits []Misfit      `json:"misfits"`
	Missing []wiring.Step `json:"missing"`
}

// Misfit is one look that is not as it should be.
type Misfit struct {
	Step wiring.Step `json:"step"`
	Lamp string      `json:"lamp"`
	// Expected is how the lamp should look, absent where it is wrong beside the
	// lamp of the other side.
	Expected *trace.LampLook `json:"expected,omitzero"`
}

// Make judges a test and says what it hangs on. A light test is held to the
// pictures of the sound harness, a bench test to its figures; a survey is worked
// out.
func Make(in Input) Report {
	rec := *in.Record
	r := Report{Misfits: []Misfit{}, Missing: []wiring.Step{}}
	var j judged
	switch rec.Kind {
	case LightTest:
		t := lighttest.Make(lighttest.Input{Rig: in.Rig, By: rec.By})
		for i := range t.Steps {
			j.step(&t.Steps[i], &rec.Evidence, &r)
		}
		rec.Result, rec.NotShown = j.result(len(t.Steps) > 0), j.lamps
	case Bench:
		if rec.Bench == nil {
			rec.Bench = &BenchSeen{}
		}
		want := lighttest.Make(lighttest.Input{Rig: in.Rig, By: lighttest.OnBench}).Bench
		if want != nil {
			judgeBench(want, rec.Bench, &j)
		}
		rec.Result, rec.NotShown = j.result(want != nil), j.lamps
	case SocketSurvey, LampSurvey:
		rec.survey(in.Rig)
	}
	rec.HangsOn = HangsOn(rec.Kind, *in.Rig)
	r.Record = rec
	r.Says = finding.Say("record.result_unjudged", nil)
	if rec.Result != "" {
		r.Says = finding.Say("record.result_"+string(rec.Result), finding.Params{"count": finding.Num(float64(len(rec.NotShown)), "")})
	}
	return r
}

// survey works out a survey. It is wrong where something forbids or contradicts,
// open where the rig could have learned more of it.
func (r *Record) survey(of *rig.Rig) {
	found := survey.Make(survey.Input{Rig: of, Socket: r.Socket, Car: r.Car})
	r.Gives, r.NotShown, r.Result = nil, nil, Passed
	for i := range found.Edits {
		r.Gives = append(r.Gives, found.Edits[i].Value())
	}
	for i := range found.Faults {
		r.NotShown = append(r.NotShown, string(found.Faults[i].Where))
	}
	nothing := len(found.Edits) == 0 && len(found.Branches) == 0
	switch {
	case len(found.Faults) > 0 || found.Verdict != finding.OK && !nothing:
		r.Result = Wrong
	case len(found.Open) > 0 || nothing:
		r.Result = Open
	}
}

// judged is what a test has come to so far.
type judged struct {
	lamps   []string
	missing bool
}

func (j *judged) wrong(lamp string) {
	if at, found := slices.BinarySearch(j.lamps, lamp); !found {
		j.lamps = slices.Insert(j.lamps, at, lamp)
	}
}

// result is what it came to; solved is false where nothing was there to hold it
// to.
func (j *judged) result(solved bool) Result {
	switch {
	case len(j.lamps) > 0:
		return Wrong
	case j.missing || !solved:
		return Open
	}
	return Passed
}

// step holds what was seen in one step to its expected picture, or to the one of
// two that fits better.
func (j *judged) step(s *lighttest.Step, e *trace.Evidence, r *Report) {
	var best []Misfit
	for i := range s.Expect {
		if m := misfits(s.Step, &s.Expect[i], e); i == 0 || len(m) < len(best) {
			best = m
		}
	}
	for _, m := range best {
		j.wrong(m.Lamp)
	}
	r.Misfits = append(r.Misfits, best...)
	if s.Needed && !seenWhole(s, e) {
		j.missing = true
		r.Missing = append(r.Missing, s.Step)
	}
}

func misfits(step wiring.Step, want *lighttest.Expected, e *trace.Evidence) []Misfit {
	var all []Misfit
	for i := range e.Pictures {
		p := &e.Pictures[i]
		if p.Step != step || p.Trust != "" && p.Trust != trace.Sure {
			continue
		}
		for k := range want.Lamps {
			if w := &want.Lamps[k]; w.Lamp == p.Lamp && !w.Hidden && !fits(p, w.Look) {
				all = append(all, Misfit{Step: step, Lamp: p.Lamp, Expected: &trace.LampLook{Lamp: w.Lamp, Look: w.Look}})
			}
		}
	}
	for i := range e.Comparisons {
		x := &e.Comparisons[i]
		for k := range want.Pairs {
			if w := &want.Pairs[k]; x.Step == step && w.Lamp == x.Lamp {
				if side := darker(x.Brighter, w.LeftShare); side != "" {
					all = append(all, Misfit{Step: step, Lamp: x.Lamp + side})
				}
			}
		}
	}
	return all
}

// fits reports whether a look is how a lamp should look. Eyes do not measure: one
// word brighter or darker passes. Light where there should be none, and none where
// there should be light, does not.
func fits(p *trace.Picture, want pictures.Look) bool {
	if p.Glow != "" {
		words := wiring.Glow("").Values()
		seen, wanted := slices.Index(words, string(p.Glow)), slices.Index(words, string(want.Glow))
		faint := want.Glow == wiring.IsFaint && p.Glow == wiring.IsDark // a stray light that few people see
		if (seen == 0) != (wanted == 0) && !faint || seen-wanted > 1 || wanted-seen > 1 {
			return false
		}
	}
	if want.Glow == wiring.IsDark || p.Glow == wiring.IsDark {
		return true // what is dark has no pattern
	}
	return (p.Pattern == "" || p.Pattern == want.Pattern) && (p.Phase == "" || want.Phase == "" || p.Phase == want.Phase)
}

// The share of the light of both from which the left lamp may look brighter, and
// that up to which both may look alike; the right lamp likewise. Judgement.
const brighterFrom, alikeTo = 0.55, 0.75

// darker is the side that is too dark beside the other one, "" where the
// comparison is as it should be.
func darker(brighter trace.Brighter, leftShare float64) string {
	switch {
	case brighter == trace.LeftBrighter && leftShare < brighterFrom, brighter == trace.Alike && leftShare < 1-alikeTo:
		return "_right"
	case brighter == trace.RightBrighter && leftShare > 1-brighterFrom, brighter == trace.Alike && leftShare > alikeTo:
		return "_left"
	}
	return ""
}

// seenWhole reports whether every lamp that a step asks for was seen for sure.
// Who stands behind the car sees neither its park lamps nor the motorhome's.
func seenWhole(s *lighttest.Step, e *trace.Evidence) bool {
	for _, w := range s.Expect[0].Lamps {
		seen := func(p trace.Picture) bool {
			return p.Step == s.Step && p.Lamp == w.Lamp && p.Glow != "" && (p.Trust == "" || p.Trust == trace.Sure)
		}
		if !w.Hidden && !slices.Contains(elsewhere, w.Lens) && !slices.ContainsFunc(e.Pictures, seen) {
			return false
		}
	}
	return true
}

var elsewhere = []wiring.Lens{wiring.CarPark, wiring.TowingLeft, wiring.TowingRight, wiring.TowingTail, wiring.TowingStop}
