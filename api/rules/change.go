package rules

import (
	"slices"
	"strconv"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

// Change is what a workspace says of one row, laid over the rows built in.
//
// With Yours the row is as it stands there: added under an id of its own, or in
// place of the built-in row of that id. Withdrawn takes the row out, and Yours
// beside it is kept for later. With neither, the row is restored: as built in,
// or gone where the workspace had added it.
//
// A built-in row never changes under an edit unnoticed: Was is the built-in row
// that the person saw. Where a later version has another one, Yours goes on
// counting, and the answer says so, with all three at hand (see RowAt).
//
// A workspace keeps the history of a row as the journal document rule/<row id>,
// whose one member change is a list of one Change: an array is one atomic value
// there, so that two people's edits of one row never mix into a law nobody read.
// The newest entry is the change that counts; the older ones are the history.
type Change struct {
	Row       string `json:"row"`
	Yours     *Row   `json:"yours,omitzero"`
	Withdrawn bool   `json:"withdrawn,omitzero"`
	Was       *Row   `json:"was,omitzero"`
	// By, At (milliseconds of the Unix epoch) and Reason are who made the change,
	// when and why. The day on which it was verified against the text stands in
	// the row itself, and in VerifiedOn for one that was withdrawn.
	By         string    `json:"by"`
	At         int64     `json:"at"`
	Reason     string    `json:"reason"`
	VerifiedOn unit.Date `json:"verified_on,omitzero"`
	// Seen are the changes of the row that the person knew: the one that counted,
	// and any that stood against it. Of two changes that do not know of each other
	// the later one counts, and a reader of the history can tell that they disagree.
	Seen []Seen `json:"seen,omitzero"`
}

// Seen names a change of a row by who made it and when (milliseconds of the Unix
// epoch).
type Seen struct {
	By string `json:"by"`
	At int64  `json:"at"`
}

// seenBy is what a change made in the place of ch knew of; ch may be nil.
func (ch *Change) seenBy() []Seen {
	if ch == nil {
		return nil
	}
	return []Seen{{ch.By, ch.At}}
}

// MaxChanges is the most changes that one question about a route carries: those
// of the jurisdictions on it are enough. Of several changes of one row the last
// counts.
const MaxChanges = 2_000

// Bounds of what a change says, in characters and milliseconds.
const (
	longestBy     = 100
	longestReason = 600
	mostSeen      = 32
	lastMoment    = 7_258_118_400_000
)

// CheckChanges records what is not possible in a list of changes; c stands at
// the list.
func CheckChanges(c rig.Checker, changes []Change) { checkChanges(c, changes, MaxChanges) }

func checkChanges(c rig.Checker, changes []Change, most int) {
	if len(changes) > most {
		c.Bad("%d changes, at most %d", len(changes), most)
		return
	}
	for i := range changes {
		changes[i].check(c.In(strconv.Itoa(i)))
	}
	if c.Err() == nil { // only rows that are possible can be laid over others
		checkJoins(c, changes)
	}
}

func (ch *Change) check(c rig.Checker) {
	required(c, "row", ch.Row)
	required(c, "by", ch.By)
	required(c, "reason", ch.Reason)
	c.Text("by", ch.By, longestBy)
	c.Text("reason", ch.Reason, longestReason)
	c.Date("verified_on", ch.VerifiedOn)
	checkMoment(c, ch.At)
	ch.checkSeen(c.In("seen"))
	ch.checkRow(c, "yours", ch.Yours)
	ch.checkRow(c, "was", ch.Was)
}

func (ch *Change) checkSeen(c rig.Checker) {
	if len(ch.Seen) > mostSeen {
		c.Bad("%d changes, at most %d", len(ch.Seen), mostSeen)
		return
	}
	for i, s := range ch.Seen {
		at := c.In(strconv.Itoa(i))
		required(at, "by", s.By)
		at.Text("by", s.By, longestBy)
		checkMoment(at, s.At)
	}
}

func (ch *Change) checkRow(c rig.Checker, name string, r *Row) {
	if r == nil {
		return
	}
	in := c.In(name)
	r.check(in, builtIn().knows)
	if r.ID != "" && r.ID != ch.Row {
		in.In("id").Bad("is not the row of the change, %s", ch.Row)
	}
}

// checkJoins wants the row that a changed row is joined with.
func checkJoins(c rig.Checker, changes []Change) {
	var t *table
	for i := range changes {
		y := changes[i].Yours
		if y == nil || y.JoinedWith == "" || changes[i].Withdrawn {
			continue
		}
		if t == nil {
			t = builtIn().with(changes)
		}
		if with := t.place(y.Jurisdiction).row(y.JoinedWith); with == nil || with.JoinedWith != "" {
			c.In(strconv.Itoa(i)).In("yours").In("joined_with").Bad("%q is no row of %s that stands by itself", y.JoinedWith, y.Jurisdiction)
		}
	}
}

// laid is what changes make of a table.
type laid struct {
	// changes are those in force by row id: added, changed or withdrawn.
	changes map[string]*Change
}

// with returns the table with the changes laid over it. They must have passed
// CheckChanges.
func (t *table) with(changes []Change) *table {
	if len(changes) == 0 {
		return t
	}
	last := make(map[string]*Change, len(changes))
	for i := range changes {
		last[changes[i].Row] = &changes[i]
	}
	touched := map[string][]*Change{}
	for _, id := range rig.Keys(last) {
		ch := last[id]
		if ch.Yours == nil && !ch.Withdrawn {
			delete(last, id)
		} else if j := t.jurisdictionOf(ch); j != "" {
			touched[j] = append(touched[j], ch)
		}
	}
	if len(touched) == 0 {
		return t
	}
	n := *t
	n.laid.changes = last
	n.places = slices.Clone(t.places)
	for code, list := range touched {
		n.places[t.index[code]] = t.place(code).with(list)
	}
	for i := range subjects {
		n.rank(i)
	}
	return &n
}

func (t *table) jurisdictionOf(ch *Change) string {
	if r := t.byID[ch.Row]; r != nil {
		return r.Jurisdiction
	}
	if ch.Yours != nil && t.knows(ch.Yours.Jurisdiction) {
		return ch.Yours.Jurisdiction
	}
	return ""
}

// with returns the place with the changes of its rows, which are in the order of
// their ids. What is added comes after what is built in.
func (p *place) with(changes []*Change) *place {
	n := *p
	n.all = make([]*rule, 0, len(p.all)+len(changes))
	byID := make(map[string]*Change, len(changes))
	for _, ch := range changes {
		byID[ch.Row] = ch
	}
	for _, r := range p.all {
		ch := byID[r.ID]
		delete(byID, r.ID)
		if ch == nil {
			n.all = append(n.all, r)
		} else if y := ch.rule(p); y != nil {
			n.all = append(n.all, y)
		}
	}
	for _, ch := range changes {
		if byID[ch.Row] == nil {
			continue
		}
		if y := ch.rule(p); y != nil {
			n.all = append(n.all, y)
		}
	}
	n.file()
	return &n
}

// rule is the row that the change puts in place, nil if none.
func (ch *Change) rule(p *place) *rule {
	if ch.Withdrawn || ch.Yours == nil {
		return nil
	}
	r, err := newRule(*ch.Yours, p, true)
	if err != nil {
		return nil
	}
	return r
}

// newer reports whether the built-in row is another than the one the person saw.
func (ch *Change) newer(now *rule) bool {
	if now == nil {
		return ch.Was != nil // the built-in row is gone
	}
	return ch.Was == nil && ch.Yours != nil || ch.Was != nil && !sameRow(ch.Was, &now.Row)
}

// sameRow reports whether two rows say the same in every member.
func sameRow(a, b *Row) bool {
	x, errA := strictjson.Marshal(a)
	y, errB := strictjson.Marshal(b)
	return errA == nil && errB == nil && string(x) == string(y)
}

// editedFinding says how many rows of the workspace's own count on the route,
// nil if none do.
func (t *table) editedFinding(legs []leg) *finding.Finding {
	var added, changed, withdrawn, newer int
	var names []string
	for _, ch := range t.laid.changes {
		code := t.jurisdictionOf(ch)
		name := nameOn(legs, code)
		if name == "" {
			continue
		}
		now := builtIn().byID[ch.Row]
		switch {
		case ch.Withdrawn && now != nil:
			withdrawn++
		case ch.Withdrawn:
			continue
		case now == nil:
			added++
		default:
			changed++
		}
		if ch.newer(now) {
			newer++
		}
		names = addOnce(names, name)
	}
	if len(names) == 0 {
		return nil
	}
	params := finding.Params{
		"places": listed(inOrder(legs, names)), "added": count(added), "changed": count(changed), "withdrawn": count(withdrawn), "newer": count(newer),
	}
	f := finding.Finding{ID: "law.yours", Area: finding.Law, Verdict: finding.Mind, Says: finding.Say("law.yours", params), Remedy: finding.Advise("law.yours.remedy", nil)}
	if newer > 0 {
		f.Says = finding.Say("law.yours.newer", params)
		f.Remedy = finding.Advise("law.yours.newer_remedy", nil)
	}
	return &f
}

// nameOn is the name of a jurisdiction of the route, empty if it is not on it.
func nameOn(legs []leg, code string) string {
	for i := range legs {
		if legs[i].place.Code == code {
			return legs[i].place.Name
		}
	}
	return ""
}

func count(n int) finding.Param { return finding.Num(float64(n), "") }
