package rules

import (
	"strconv"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// MaxRows is the most rows of its own that a workspace may have, and that one
// import may bring.
const MaxRows = 20_000

// RowsInput is the input of rules/rows: which rows to list. What is left out
// does not narrow the list.
type RowsInput struct {
	Jurisdiction string   `json:"jurisdiction,omitzero"`
	Subject      Subject  `json:"subject,omitzero"`
	Standing     Standing `json:"standing,omitzero"`
	// ID is one row.
	ID string `json:"id,omitzero"`
	// On is the day that decides whether a text is old.
	On          unit.Date `json:"on,omitzero"`
	RuleChanges []Change  `json:"rule_changes,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in RowsInput) Validate() *finding.Error {
	c := rig.NewChecker()
	checkFilter(c, in.Jurisdiction, in.Subject)
	rig.Choice(c, "standing", in.Standing)
	c.Date("on", in.On)
	checkChanges(c.In("rule_changes"), in.RuleChanges, MaxRows)
	return c.Err()
}

func checkFilter(c rig.Checker, jurisdiction string, s Subject) {
	if jurisdiction != "" && !builtIn().knows(jurisdiction) {
		c.In("jurisdiction").Bad("%q is not known, want an ISO 3166-2 code such as US-VA", jurisdiction)
	}
	rig.Choice(c, "subject", s)
}

// Standing says where a row comes from, or that it does not count.
type Standing string

// The standings.
const (
	StandingBuiltIn   Standing = "built_in"
	StandingAdded     Standing = "added"     // the workspace's own
	StandingChanged   Standing = "changed"   // the workspace's, in place of a built-in row
	StandingWithdrawn Standing = "withdrawn" // the workspace took it out; it does not count
)

// Values lists the standings.
func (Standing) Values() []string { return []string{"built_in", "added", "changed", "withdrawn"} }

// Rows is the answer of rules/rows.
type Rows struct {
	finding.Stamp `json:",inline"`
	Rows          []RowAt `json:"rows"`
}

// RowAt is one row with where it comes from.
type RowAt struct {
	Standing Standing `json:"standing"`
	// Row is the row as it counts, or the one that was withdrawn.
	Row Row `json:"row"`
	// BuiltIn is the built-in row under a change, Was that row as the person saw
	// it, where it has changed since.
	BuiltIn *Row  `json:"built_in,omitzero"`
	Was     *Row  `json:"was,omitzero"`
	Edit    *Edit `json:"edit,omitzero"`
	// Newer is true where the built-in row is another than the one that the
	// person saw.
	Newer bool `json:"newer,omitzero"`
	// Old is true where the text read is older than five years.
	Old bool `json:"old,omitzero"`
}

// Edit is who changed a row, when and why.
type Edit struct {
	By         string    `json:"by"`
	At         int64     `json:"at"`
	Reason     string    `json:"reason"`
	VerifiedOn unit.Date `json:"verified_on,omitzero"`
}

// ListRows lists the rows as they stand in a workspace, jurisdiction by
// jurisdiction.
func ListRows(in RowsInput) Rows {
	out := Rows{Rows: []RowAt{}}
	builtIn().with(in.RuleChanges).eachRow(in.Jurisdiction, func(at RowAt) {
		if (in.Subject == "" || in.Subject == at.Row.Subject) && (in.Standing == "" || in.Standing == at.Standing) && (in.ID == "" || in.ID == at.Row.ID) {
			at.Old = old(at.Row.TextYear, in.On)
			out.Rows = append(out.Rows, at)
		}
	})
	return out
}

// eachRow goes through the rows of one jurisdiction, or of all: those that
// count, then those withdrawn.
func (t *table) eachRow(jurisdiction string, do func(RowAt)) {
	withdrawn := t.withdrawn()
	for _, p := range t.places {
		if jurisdiction != "" && jurisdiction != p.Code {
			continue
		}
		for _, r := range p.all {
			do(t.standing(r.ID, &r.Row))
		}
		for _, r := range withdrawn[p.Code] {
			do(t.standing(r.ID, r))
		}
	}
}

// withdrawn are the rows taken out, by jurisdiction, in the order of their ids.
func (t *table) withdrawn() map[string][]*Row {
	out := map[string][]*Row{}
	for _, id := range rig.Keys(t.laid.changes) {
		ch := t.laid.changes[id]
		row := ch.Yours
		if now := builtIn().byID[id]; now != nil && row == nil {
			row = &now.Row
		}
		if ch.Withdrawn && row != nil {
			out[row.Jurisdiction] = append(out[row.Jurisdiction], row)
		}
	}
	return out
}

func (t *table) standing(id string, row *Row) RowAt {
	at := RowAt{Standing: StandingBuiltIn, Row: *row}
	ch, now := t.laid.changes[id], builtIn().byID[id]
	if ch == nil {
		return at
	}
	at.Edit = &Edit{By: ch.By, At: ch.At, Reason: ch.Reason, VerifiedOn: ch.VerifiedOn}
	switch {
	case ch.Withdrawn:
		at.Standing = StandingWithdrawn
	case now == nil:
		at.Standing = StandingAdded
	default:
		at.Standing = StandingChanged
	}
	if now != nil {
		at.BuiltIn = &now.Row
	}
	if at.Newer = ch.newer(now); at.Newer {
		at.Was = ch.Was
	}
	return at
}

// oldAfter is how many years a text stays young: legislatures change such
// sections every few sessions.
const oldAfter = 5

// old reports whether a text of that year is old on the day.
func old(textYear int, on unit.Date) bool {
	if textYear == 0 || on == "" {
		return false
	}
	year, err := strconv.Atoi(string(on[:4]))
	return err == nil && year-textYear > oldAfter
}
