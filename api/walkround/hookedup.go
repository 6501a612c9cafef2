package walkround

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// HookedUp is what a whole hook-up gives: what was done and tested, when and
// where, and what it changed at the rig.
type HookedUp struct {
	HookedUpAt Moment `json:"hooked_up_at"`
	// TestedAt is when the last of the steps that prove lamps and brakes was
	// ticked, absent where their times are not known.
	TestedAt *Moment `json:"tested_at,omitzero"`
	Place    string  `json:"place,omitzero"`
	Changes  Changes `json:"changes,omitzero"`
}

func (h HookedUp) check(c rig.Checker) {
	requireMoment(c, "hooked_up_at", h.HookedUpAt)
	checkMoment(c, "tested_at", h.TestedAt)
	c.Text("place", h.Place, 200)
	h.Changes.check(c, "changes")
}

// Event is something that happens to a hooked-up rig.
type Event string

// The events.
const (
	Unhooked   Event = "unhooked"
	EngineRan  Event = "engine_run"   // the car's engine was run
	Repaired   Event = "repaired"     // anything of the rig was repaired or changed
	OutOfSight Event = "out_of_sight" // the rig stood where its people could not see it
	Checked    Event = "checked"      // a roadside check was finished whole
)

// Values lists the events.
func (Event) Values() []string {
	return []string{"unhooked", "engine_run", "repaired", "out_of_sight", "checked"}
}

// Happening is one event.
type Happening struct {
	What Event `json:"what"`
	// At is when. Without it an event counts as after every check, and a check as
	// before every event.
	At *Moment `json:"at,omitzero"`
	// EngineRun and WholeRound are about a check: whether it did again what an
	// engine run disturbs, and whether it went round the whole rig.
	EngineRun  *bool `json:"engine_run,omitzero"`
	WholeRound *bool `json:"whole_round,omitzero"`
	// Driven is how far the rig had come since it was hooked up.
	Driven *unit.Length `json:"driven,omitzero"`
}

func (h Happening) check(c rig.Checker) {
	if h.What == "" {
		c.In("what").Bad("missing")
	}
	rig.Choice(c, "what", h.What)
	checkMoment(c, "at", h.At)
	c.Distance("driven", h.Driven, maxMiles)
}

// HookedUpInput is the input of walkround/hooked_up.
type HookedUpInput struct {
	HookedUp *HookedUp `json:"hooked_up"`
	// Happened is what has happened since, by any id.
	Happened map[string]Happening `json:"happened,omitzero"`
	// Driven is how far the rig has come since it was hooked up.
	Driven *unit.Length `json:"driven,omitzero"`
	Now    *Moment      `json:"now,omitzero"`
}

const maxHappenings = 256

// Validate returns what is not possible in the input, nil if nothing.
func (in HookedUpInput) Validate() *finding.Error {
	c := rig.NewChecker()
	if in.HookedUp == nil {
		c.In("hooked_up").Bad("missing")
	} else {
		in.HookedUp.check(c.In("hooked_up"))
	}
	checkKeys(c.In("happened"), in.Happened, maxHappenings, rig.PlainKey, plainKeyWords, Happening.check)
	c.Distance("driven", in.Driven, maxMiles)
	checkMoment(c, "now", in.Now)
	return c.Err()
}

// Expiry is one thing that ends the hooked-up state.
type Expiry struct {
	What Event        `json:"what"`
	Says finding.Text `json:"says"`
	// Ended is true where it has happened and no check has made it good.
	Ended bool `json:"ended"`
	// List is the list that makes it good, Parts are the parts of it that must not
	// be left out.
	List  List   `json:"list"`
	Parts []Part `json:"parts,omitzero"`
}

// Due says whether a roadside check is due.
type Due string

// How due a check may be.
const (
	NotDue  Due = "not_due"
	Offered Due = "offered"
	Overdue Due = "overdue"
)

// Values lists how due a check may be.
func (Due) Values() []string { return []string{"not_due", "offered", "overdue"} }

// NextCheck is the next roadside check. Its rhythm is practice and no rule.
type NextCheck struct {
	Due  Due          `json:"due"`
	Says finding.Text `json:"says"`
	// FromAt and ByAt are when it is due by the clock, From and By when by the
	// distance driven since the hook-up. Absent where it is due only by the other,
	// or where it is not known how far the rig had come at the last check.
	FromAt *Moment       `json:"from_at,omitzero"`
	ByAt   *Moment       `json:"by_at,omitzero"`
	From   *unit.Length  `json:"from,omitzero"`
	By     *unit.Length  `json:"by,omitzero"`
	Basis  finding.Basis `json:"basis"`
}

// Standing is whether a hooked-up state still holds.
type Standing struct {
	Verdict  finding.Verdict   `json:"verdict"`
	Findings []finding.Finding `json:"findings"`
	HookedUp HookedUp          `json:"hooked_up"`
	// Holds is true while nothing has ended it.
	Holds   bool     `json:"holds"`
	Expires []Expiry `json:"expires"`
	// NextCheck is absent once the car is unhooked.
	NextCheck *NextCheck `json:"next_check,omitzero"`
}

// HookedUpReport is the answer of walkround/hooked_up.
type HookedUpReport struct {
	finding.Stamp `json:",inline"`
	Standing      `json:",inline"`
}

// StillHolds says whether a hooked-up state still holds, what ended it, and
// which check is offered.
func StillHolds(in HookedUpInput) HookedUpReport {
	return HookedUpReport{Standing: stillHolds(*in.HookedUp, in.Now, in.Driven, in.Happened)}
}

func stillHolds(h HookedUp, now *Moment, driven *unit.Length, happened map[string]Happening) Standing {
	s := Standing{HookedUp: h, Holds: true}
	n := notes{}
	for _, what := range Event("").Values() {
		e, ends := expiry(Event(what))
		if !ends {
			continue
		}
		e.Ended = e.standsIn(happened)
		if e.Ended {
			s.Holds = false
			n.add("ended_"+what, finding.FindOut, nil)
		}
		s.Expires = append(s.Expires, e)
	}
	if !slices.ContainsFunc(s.Expires, func(e Expiry) bool { return e.What == Unhooked && e.Ended }) {
		check := nextCheck(h, now, driven, happened)
		s.NextCheck = &check
		if check.Due != NotDue {
			n.add("check_"+string(check.Due), finding.Mind, nil).Basis = []finding.Basis{check.Basis}
		}
	}
	n.state(&h, now, s.Holds)
	s.Findings = n
	finding.Sort(s.Findings)
	s.Verdict = finding.Worst(s.Findings)
	return s
}

func (n *notes) state(h *HookedUp, now *Moment, holds bool) {
	if h.TestedAt == nil {
		n.add("not_tested", finding.FindOut, nil)
	}
	if now != nil && *now < h.HookedUpAt {
		n.aside("clock_behind", finding.Mind, nil)
	}
	if holds {
		n.add("still_hooked_up", finding.OK, nil).
			Basis = []finding.Basis{{Kind: finding.Measured, Reference: "the record of the hook-up, and nothing since that ends it"}}
	}
}

// expiry is what an event does to the state, and whether it ends it at all.
func expiry(what Event) (e Expiry, ends bool) {
	e = Expiry{What: what, List: StopCheck, Says: finding.Say("walkround.expires_"+string(what), nil)}
	switch what {
	case Unhooked:
		e.List = HookUp
	case EngineRan:
		e.Parts = []Part{EngineRunPart, OutOfSightPart}
	case Repaired, OutOfSight:
		e.Parts = []Part{OutOfSightPart}
	default:
		return Expiry{}, false
	}
	return e, true
}

// standsIn reports whether the event happened and no check after it made it good.
func (e Expiry) standsIn(happened map[string]Happening) bool {
	for _, h := range happened {
		if h.What == e.What && !e.madeGood(h, happened) {
			return true
		}
	}
	return false
}

func (e Expiry) madeGood(h Happening, happened map[string]Happening) bool {
	if h.At == nil || e.What == Unhooked {
		return false
	}
	for _, c := range happened {
		if c.What == Checked && c.At != nil && *c.At > *h.At && e.covers(c) {
			return true
		}
	}
	return false
}

func (e Expiry) covers(check Happening) bool {
	for _, p := range e.Parts {
		switch p {
		case EngineRunPart:
			if !rig.Is(check.EngineRun, true) {
				return false
			}
		case OutOfSightPart:
			if !rig.Is(check.WholeRound, true) {
				return false
			}
		}
	}
	return true
}
