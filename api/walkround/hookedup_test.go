package walkround

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

const hour = 3_600_000

func TestStillHolds(t *testing.T) {
	const began = Moment(1_790_000_000_000)
	h := HookedUp{HookedUpAt: began, TestedAt: ptr(began)}
	at := func(hours float64) *Moment { return ptr(began + Moment(hours*hour)) }
	check := Happening{What: Checked, At: at(5), WholeRound: ptr(true)}
	afterRun := Happening{What: Checked, At: at(5), WholeRound: ptr(true), EngineRun: ptr(true)}
	for name, c := range map[string]struct {
		happened map[string]Happening
		holds    bool
		verdict  finding.Verdict
		ended    Event
	}{
		"OK":                     {nil, true, finding.OK, ""},
		"ErrUnhooked":            {map[string]Happening{"a": {What: Unhooked}}, false, finding.FindOut, Unhooked},
		"ErrUnhookedThenChecked": {map[string]Happening{"a": {What: Unhooked, At: at(1)}, "b": afterRun}, false, finding.FindOut, Unhooked},
		"ErrEngineRun":           {map[string]Happening{"a": {What: EngineRan, At: at(1)}}, false, finding.FindOut, EngineRan},
		"ErrRunNotChecked":       {map[string]Happening{"a": {What: EngineRan, At: at(1)}, "b": check}, false, finding.FindOut, EngineRan},
		"OKRunChecked":           {map[string]Happening{"a": {What: EngineRan, At: at(1)}, "b": afterRun}, true, finding.OK, ""},
		"ErrRunAfterTheCheck":    {map[string]Happening{"a": {What: EngineRan, At: at(5)}, "b": afterRun}, false, finding.FindOut, EngineRan},
		"ErrOutOfSight":          {map[string]Happening{"a": {What: OutOfSight, At: at(4.9)}}, false, finding.FindOut, OutOfSight},
		"OKOutOfSightChecked":    {map[string]Happening{"a": {What: OutOfSight, At: at(4.9)}, "b": check}, true, finding.OK, ""},
		"ErrRoundLeftOut":        {map[string]Happening{"a": {What: OutOfSight, At: at(4.9)}, "b": {What: Checked, At: at(5)}}, false, finding.FindOut, OutOfSight},
		"ErrRepaired":            {map[string]Happening{"a": {What: Repaired, At: at(3)}, "b": {What: Checked, At: at(2), WholeRound: ptr(true)}}, false, finding.FindOut, Repaired},
		"OKRepairedChecked":      {map[string]Happening{"a": {What: Repaired, At: at(3)}, "b": check}, true, finding.OK, ""},
		"ErrWhenNotKnown":        {map[string]Happening{"a": {What: Repaired}, "b": check}, false, finding.FindOut, Repaired},
	} {
		t.Run(name, func(t *testing.T) {
			s := StillHolds(HookedUpInput{HookedUp: &h, Happened: c.happened, Now: at(0.1), Driven: ptr(unit.MI(0.1))})
			if s.Holds != c.holds || s.Verdict != c.verdict {
				t.Errorf("holds %t, verdict %s: %+v", s.Holds, s.Verdict, s.Findings)
			}
			for _, e := range s.Expires {
				if e.Ended != (e.What == c.ended) {
					t.Errorf("%s ended: %t", e.What, e.Ended)
				}
			}
			if (s.NextCheck == nil) != (c.ended == Unhooked) {
				t.Errorf("next check %+v", s.NextCheck)
			}
		})
	}
}

// The rhythm is the one of common practice: the first mile, about 50 miles, then
// every 2 to 3 hours or 150 miles (the federal rhythm for cargo as a yard-stick).
func TestRhythm(t *testing.T) {
	const began = Moment(1_790_000_000_000)
	h := HookedUp{HookedUpAt: began, TestedAt: ptr(began)}
	hours := func(n float64) *Moment { return ptr(began + Moment(n*hour)) }
	miles := func(n float64) *unit.Length { return ptr(unit.MI(n)) }
	one := map[string]Happening{"a": {What: Checked, At: hours(0.1), Driven: miles(1)}}
	two := map[string]Happening{"a": {What: Checked, At: hours(0.1)}, "b": {What: Checked, At: hours(1), Driven: miles(50)}}
	far := map[string]Happening{"a": {What: Checked, At: hours(1), Driven: miles(50)}}
	blind := map[string]Happening{"a": {What: Checked, At: hours(0.1)}, "b": {What: Checked, At: hours(1)}}
	for name, c := range map[string]struct {
		happened map[string]Happening
		now      *Moment
		driven   *unit.Length
		says     string
		due      Due
	}{
		"JustHookedUp":      {nil, hours(0), miles(0), "first_miles", NotDue},
		"HalfAMile":         {nil, hours(0.1), miles(0.5), "first_miles", Offered},
		"TwoMiles":          {nil, hours(0.1), miles(2), "first_miles", Overdue},
		"FirstNotKnown":     {nil, hours(0), nil, "first_miles", Offered},
		"TwentyMiles":       {one, hours(0.5), miles(20), "fifty_miles", NotDue},
		"FortyFive":         {one, hours(0.8), miles(45), "fifty_miles", Offered},
		"SixtyMiles":        {one, hours(0.9), miles(60), "fifty_miles", Overdue},
		"AnHourLater":       {one, hours(1.1), nil, "fifty_miles", Offered},
		"AfterFifty":        {two, hours(2.9), miles(120), "every_leg", NotDue},
		"TwoHours":          {two, hours(3), miles(120), "every_leg", Offered},
		"ThreeHours":        {two, hours(4), miles(120), "every_leg", Overdue},
		"150Miles":          {two, hours(2.9), miles(200), "every_leg", Overdue},
		"149Miles":          {two, hours(2.9), miles(199.999), "every_leg", Offered},
		"OneCheckFarOut":    {far, hours(1.1), miles(55), "every_leg", NotDue},
		"NoDistance":        {blind, hours(2), miles(500), "every_leg", NotDue},
		"NeitherIsKnown":    {two, nil, nil, "every_leg", Offered},
		"KilometresAreLeft": {two, hours(1.5), ptr(unit.MI(150)), "every_leg", Offered},
	} {
		t.Run(name, func(t *testing.T) {
			n := StillHolds(HookedUpInput{HookedUp: &h, Happened: c.happened, Now: c.now, Driven: c.driven}).NextCheck
			if n.Says.ID != "walkround.next_"+c.says || n.Due != c.due {
				t.Errorf("got %s, %s, from %v by %v", n.Says.ID, n.Due, n.From, n.By)
			}
		})
	}
}

// Two things that may have happened in any order and under any id: the more that
// ends it, the less it holds; and without an end it holds.
func TestStillHoldsIsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		happened := rapid.MapOfN(key, rapid.Custom(func(t *rapid.T) Happening {
			h := Happening{What: Event(rapid.SampledFrom(Event("").Values()).Draw(t, "what"))}
			maybe := rapid.SampledFrom([]*bool{nil, ptr(true), ptr(false)})
			if rapid.IntRange(0, 4).Draw(t, "known") > 0 {
				h.At = ptr(Moment(rapid.IntRange(1, 9).Draw(t, "at")))
			}
			h.EngineRun, h.WholeRound = maybe.Draw(t, "run"), maybe.Draw(t, "round")
			return h
		}), 0, 6).Draw(t, "happened")
		in := HookedUpInput{HookedUp: &HookedUp{HookedUpAt: 1}, Happened: happened}
		full := StillHolds(in)
		ends := slices.ContainsFunc(rig.Keys(happened), func(id string) bool { return happened[id].What != Checked })
		if !full.Holds && !ends {
			t.Fatal("nothing ended it")
		}
		if !full.Holds && !full.Verdict.Worse(finding.Mind) || full.Holds && slices.ContainsFunc(full.Expires, func(e Expiry) bool { return e.Ended }) {
			t.Fatalf("%+v", full)
		}
		for id, h := range happened {
			if h.What == Checked {
				continue
			}
			after := slices.ContainsFunc(rig.Keys(happened), func(o string) bool {
				c := happened[o]
				return c.What == Checked && c.At != nil && h.At != nil && *c.At > *h.At && rig.Is(c.WholeRound, true) && (h.What != EngineRan || rig.Is(c.EngineRun, true))
			})
			if full.Holds && (!after || h.What == Unhooked) {
				t.Fatalf("holds in spite of %s, %+v", id, h)
			}
		}
	})
}

// At the end of what a Moment can be, a check is due by then.
func TestRhythmAtTheEndOfTime(t *testing.T) {
	h := HookedUp{HookedUpAt: lastMoment}
	check := map[string]Happening{"a": {What: Checked, At: ptr(lastMoment)}}
	if n := StillHolds(HookedUpInput{HookedUp: &h, Happened: check}).NextCheck; *n.FromAt != lastMoment {
		t.Errorf("due from %d, past the last moment", *n.FromAt)
	}
}
