package rules

import (
	"slices"

	"pintail/api/finding"
)

// Unread is one subject of one jurisdiction of the route whose law was not
// read, or was read and says nothing.
type Unread struct {
	Jurisdiction string  `json:"jurisdiction"`
	Name         string  `json:"name"`
	Subject      Subject `json:"subject"`
	// Requirement is not_read or silent.
	Requirement Requirement `json:"requirement"`
	// MeetsStrictest is whether the rig meets the strictest rule known anywhere
	// on the subject, which Strictest names.
	MeetsStrictest Met    `json:"meets_strictest"`
	Strictest      string `json:"strictest,omitzero"`
	// Decides is whether somebody must find out before leaving.
	Decides bool `json:"decides"`
	// Lead is what a source too weak to count says.
	Lead *RowRef `json:"lead,omitzero"`
}

// unread lists what of the route's law was not read.
func (t *table) unread(legs []leg) []Unread {
	n, leads := countUnread(legs)
	list, room := make([]Unread, 0, n), make([]RowRef, 0, leads)
	for i, s := range subjects {
		if !mustBeRead(s) {
			continue
		}
		met := t.meetsStrictest(legs[0].facts, i)
		for k := range legs {
			l, o := &legs[k], legs[k].outcome(i)
			if o.duty.read() {
				continue
			}
			u := Unread{Jurisdiction: l.place.Code, Name: l.place.Name, Subject: s, Requirement: o.duty.word(), MeetsStrictest: met.word(), Decides: decidesUnread(o, met, l.facts)}
			if r := t.strictest[i]; r != nil {
				u.Strictest = r.ID
			}
			if o.lead != nil {
				room = append(room, RowRef{ID: o.lead.ID, Reading: NotRead, Met: None, RowText: &o.lead.text})
				u.Lead = &room[len(room)-1]
			}
			list = append(list, u)
		}
	}
	return list
}

// countUnread counts what the list will hold, and how many of them have a lead.
func countUnread(legs []leg) (n, leads int) {
	for i, s := range subjects {
		if !mustBeRead(s) {
			continue
		}
		for k := range legs {
			if o := legs[k].outcome(i); !o.duty.read() {
				n++
				if o.lead != nil {
					leads++
				}
			}
		}
	}
	return n, leads
}

// mustBeRead reports whether a missing row on the subject is a gap. Brakes by
// share are a limb of the brake duty, and what excuses from it or closes a road
// exists only where a law says so.
func mustBeRead(s Subject) bool {
	return s != BrakesShare && s != RestrictedRoads && s != TowedBrakeExempt
}

// decidesUnread says whether law that was not read keeps the rig at home. It
// does not where the rig meets the strictest rule known anywhere.
func decidesUnread(o *outcome, met fit, f *Facts) bool {
	switch {
	case met == fitMet, o.duty == dutySilent:
		return false
	case o.is(Speed):
		return false // signs give the limit on the road itself
	case o.is(ClearanceLamps) && met == fitNotKnown:
		return false // asked of vehicles wider than nearly every car is built
	case o.is(StoppingDistance) && met == fitNotKnown:
		return !rigHasBrakes(f) // as where the rule was read, see verdict
	}
	return true
}

// unreadFinding is the one finding for all of it, nil where everything was read.
func unreadFinding(legs []leg, list []Unread) *finding.Finding {
	f := finding.Finding{ID: "law.unread", Area: finding.Law, Verdict: finding.Mind, Remedy: finding.Advise("law.unread.remedy", nil)}
	var rooms [2][64]string // one name for each jurisdiction there is
	var words [len(subjects)]string
	places, openPlaces, open := rooms[0][:0], rooms[1][:0], words[:0]
	count := 0
	for _, u := range list {
		if u.Requirement != NotRead {
			continue
		}
		count++
		places = addOnce(places, u.Name)
		if u.Lead != nil {
			f.Basis = append(f.Basis, u.leadBasis())
		}
		if u.MeetsStrictest == IsMet {
			continue
		}
		f.Verdict = finding.FindOut
		f.Decides = f.Decides || u.Decides
		openPlaces, open = addOnce(openPlaces, u.Name), addOnce(open, subjectWords(u.Subject))
	}
	if count == 0 {
		return nil
	}
	params := finding.Params{"count": finding.Num(float64(count), ""), "places": listed(inOrder(legs, places))}
	id := "law.unread.meets"
	if f.Verdict == finding.FindOut {
		id = "law.unread.open"
		params["subjects"] = listed(open)
		if len(openPlaces) < len(places) {
			id = "law.unread.open_in"
			params["open_places"] = listed(inOrder(legs, openPlaces))
		}
	}
	f.Says = finding.Say(id, params)
	return &f
}

// leadBasis is the weak source that says something where nothing else does.
func (u Unread) leadBasis() finding.Basis {
	return finding.Basis{
		Kind: u.Lead.SourceKind.basis(), Reference: u.Name + ": " + u.Lead.Requirement,
		URL: u.Lead.URL, Year: u.Lead.TextYear, Known: string(u.Lead.Known),
	}
}

// silentFinding gathers the sections read that say nothing, where the rig does
// not meet what others ask; nil if there are none.
func silentFinding(legs []leg, list []Unread) *finding.Finding {
	var places, words []string
	for _, u := range list {
		if u.Requirement == Silent && u.MeetsStrictest != IsMet {
			places, words = addOnce(places, u.Name), addOnce(words, subjectWords(u.Subject))
		}
	}
	if len(places) == 0 {
		return nil
	}
	return &finding.Finding{
		ID: "law.silent", Area: finding.Law, Verdict: finding.Mind,
		Says:   finding.Say("law.silent", finding.Params{"places": listed(inOrder(legs, places)), "subjects": listed(words)}),
		Remedy: finding.Advise("law.unread.remedy", nil),
	}
}

// inOrder puts names of jurisdictions in the order of the route.
func inOrder(legs []leg, names []string) []string {
	ordered := make([]string, 0, len(names))
	for i := range legs {
		if slices.Contains(names, legs[i].place.Name) {
			ordered = append(ordered, legs[i].place.Name)
		}
	}
	return ordered
}
