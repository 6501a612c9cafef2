package walkround

import (
	"sync"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

// leg is one check of the rhythm as the data file holds it: when it is offered
// and when overdue, by distance and by the clock.
type leg struct {
	ID string `json:"id"`
	// Repeats is true for the check that comes again and again: it counts from the
	// check before, the others from the hook-up.
	Repeats bool    `json:"repeats,omitzero"`
	FromMI  float64 `json:"from_mi"`
	ByMI    float64 `json:"by_mi"`
	// FromH and ByH are hours since the check before, 0 where only distance counts.
	FromH  float64 `json:"from_h,omitzero"`
	ByH    float64 `json:"by_h,omitzero"`
	Source string  `json:"source"`
}

var rhythm = sync.OnceValue(func() []leg {
	b, err := dataFiles.ReadFile("data/checks.json")
	if err != nil {
		panic(err) // the file is compiled in; a test reads it
	}
	var legs []leg
	if err := strictjson.Unmarshal(b, &legs); err != nil {
		panic("checks: " + err.Error())
	}
	return legs
})

// nextCheck finds the check that comes next, and whether it is due.
func nextCheck(h HookedUp, now *Moment, driven *unit.Length, happened map[string]Happening) NextCheck {
	checks, last := checksIn(happened)
	l := legAfter(checks, last)
	n := NextCheck{Says: finding.Say("walkround.next_"+l.ID, nil), Basis: finding.Basis{Kind: finding.Practice, Reference: l.Source}}
	since := h.HookedUpAt
	var start *unit.Length
	if !l.Repeats {
		zero := unit.MI(0)
		start = &zero
	}
	if last.At != nil {
		since = max(since, *last.At)
	}
	if l.Repeats {
		start = last.Driven
	}
	n.FromAt, n.ByAt = hoursAfter(since, l.FromH), hoursAfter(since, l.ByH)
	n.From, n.By = milesAfter(start, l.FromMI), milesAfter(start, l.ByMI)
	n.Due = n.due(now, driven)
	return n
}

// checksIn counts the roadside checks among what happened and returns the last;
// one whose time is not known counts as the oldest.
func checksIn(happened map[string]Happening) (n int, last Happening) {
	for _, id := range rig.Keys(happened) {
		h := happened[id]
		if h.What != Checked {
			continue
		}
		if n == 0 || last.At == nil || h.At != nil && *h.At >= *last.At {
			last = h
		}
		n++
	}
	return n, last
}

// legAfter is the leg after the checks so far; a check farther out than a leg
// stands for that leg's too.
func legAfter(checks int, last Happening) *leg {
	legs := rhythm()
	i := min(checks, len(legs)-1)
	for i > 0 && i < len(legs)-1 && last.Driven != nil && !unit.MI(legs[i].FromMI).Over(*last.Driven) {
		i++
	}
	return &legs[i]
}

func hoursAfter(m Moment, h float64) *Moment {
	if h == 0 {
		return nil
	}
	m = min(m+Moment(h*3_600_000), lastMoment)
	return &m
}

func milesAfter(start *unit.Length, mi float64) *unit.Length {
	if start == nil {
		return nil
	}
	l := unit.MI(mi).Add(*start)
	return &l
}

// due compares now and the distance driven with the leg. A check is offered when
// neither tells: an offer too many is passed over.
func (n NextCheck) due(now *Moment, driven *unit.Length) Due {
	past := func(l *unit.Length) bool { return l != nil && driven != nil && !l.Over(*driven) }
	after := func(m *Moment) bool { return m != nil && now != nil && *now >= *m }
	byDistance, byClock := n.From != nil && driven != nil, n.FromAt != nil && now != nil
	switch {
	case past(n.By), after(n.ByAt):
		return Overdue
	case past(n.From), after(n.FromAt), !byDistance && !byClock:
		return Offered
	}
	return NotDue
}
