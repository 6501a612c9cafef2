package rules

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/unit"
)

func must[T interface{ Validate() *finding.Error }](tb testing.TB, in T) T {
	tb.Helper()
	if err := in.Validate(); err != nil {
		tb.Fatal(err)
	}
	return in
}

// Withdrawing a row and restoring it is the identity, for every row: in what is
// listed, and in what is answered.
func TestWithdrawThenRestore(t *testing.T) {
	listed := ListRows(RowsInput{})
	r := rand.New(rand.NewPCG(5, 6))
	for _, row := range listed.Rows {
		id := row.Row.ID
		twice := []Change{{Row: id, Withdrawn: true, By: "a", At: 1, Reason: "r"}, {Row: id, By: "a", At: 2, Reason: "r"}}
		if builtIn().with(twice) != builtIn() {
			t.Errorf("%s: not the same table", id)
		}
		if r.IntN(40) != 0 {
			continue
		}
		in := EvaluateInput{Route: []string{row.Row.Jurisdiction}, Facts: randomFacts(r)}
		before := Evaluate(in)
		in.RuleChanges = twice
		if !reflect.DeepEqual(before, Evaluate(in)) || !reflect.DeepEqual(listed, ListRows(RowsInput{RuleChanges: twice})) {
			t.Errorf("%s: restored, the answer is another", id)
		}
	}
}

// A row withdrawn no longer counts, and only it: the answer equals that of a
// table that never had it.
func TestWithdrawnCountsForNothing(t *testing.T) {
	in := EvaluateInput{Route: []string{"US-VA"}, Facts: light(4_000), RuleChanges: []Change{{Row: "US-VA.brakes.1", Withdrawn: true, By: "a", At: 1, Reason: "r"}}}
	e := Evaluate(must(t, in))
	MustBeSound(t, e)
	if got := MustItem(t, e, Brakes); got.Requirement != NotRead {
		t.Errorf("%s", got.Requirement)
	}
	if f := MustFinding(t, e, "law.yours"); f.Verdict != finding.Mind || f.Decides {
		t.Errorf("%+v", f)
	}
}

// Adding a jurisdiction never loosens, with a workspace's rows as without.
func TestAddingNeverLoosensYours(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	have := workspace(t)
	for range 100 {
		in := EvaluateInput{Route: append(randomRoute(r), "US-VA"), Facts: randomFacts(r), RuleChanges: have}
		before := Evaluate(in)
		in.Route = append(slices.Clone(in.Route), randomRoute(r)[0])
		if after := Evaluate(in); before.Verdict.Worse(after.Verdict) {
			t.Fatalf("%v: %s became %s", in.Route, before.Verdict, after.Verdict)
		}
	}
}

// The first day in force and the first day no longer in force, at their edges:
// Virginia's own row, ended by the workspace on 1 July, and its successor from
// that day on.
func TestEffectiveDates(t *testing.T) {
	ends := builtIn().byID["US-VA.brakes.1"].Row
	follows := ends
	ends.Until = "2026-07-01"
	follows.ID, follows.From, follows.Requirement = "US-VA.brakes.own-1", "2026-07-01", "From July brakes at any weight."
	follows.When = nil
	changes := []Change{
		{Row: ends.ID, Yours: &ends, Was: &builtIn().byID[ends.ID].Row, By: "a", At: 1, Reason: "r"},
		{Row: follows.ID, Yours: &follows, By: "a", At: 1, Reason: "r"},
	}
	for _, tt := range []struct {
		on   string
		lb   float64
		want Requirement
	}{
		{"2026-06-30", 2_999, NotRequired}, {"2026-06-30", 3_000, Required}, {"2026-07-01", 2_999, Required}, {"2026-07-01", 3_000, Required},
		// Without a day every row that is not known to have ended counts, which is the strict side.
		{"", 2_999, Required},
	} {
		in := EvaluateInput{Route: []string{"US-VA"}, Facts: light(tt.lb), RuleChanges: changes}
		in.On = unit.Date(tt.on)
		if got := MustItem(t, Evaluate(must(t, in)), Brakes); got.Requirement != tt.want {
			t.Errorf("on %s, %g lb: %s, want %s", tt.on, tt.lb, got.Requirement, tt.want)
		}
	}
}

// A built-in row that is another than the one a person edited never overwrites
// the edit: all three are shown, and the answer says so.
func TestBuiltInChangedUnderAnEdit(t *testing.T) {
	now := builtIn().byID["US-VA.brakes.1"].Row
	was, yours := now, now
	was.Requirement, yours.Requirement = "As it was.", "Yours."
	changes := []Change{{Row: now.ID, Yours: &yours, Was: &was, By: "a", At: 1, Reason: "r"}}
	rows := ListRows(must(t, RowsInput{ID: now.ID, RuleChanges: changes})).Rows
	if len(rows) != 1 {
		t.Fatal(rows)
	}
	r := rows[0]
	if r.Standing != StandingChanged || !r.Newer || r.Row.Requirement != "Yours." || r.Was == nil || r.Was.Requirement != "As it was." || r.BuiltIn == nil || r.BuiltIn.Requirement != now.Requirement {
		t.Errorf("%+v", r)
	}
	e := Evaluate(EvaluateInput{Route: []string{"US-VA"}, Facts: light(4_000), RuleChanges: changes})
	if f := MustFinding(t, e, "law.yours"); !strings.Contains(f.Says.Sentence, "1 stand over a built-in row that has changed since") {
		t.Errorf("%s", f.Says.Sentence)
	}
	if got := reading(t, MustItem(t, e, Brakes), now.ID); got.Requirement != "Yours." || !got.Yours {
		t.Errorf("%+v", got)
	}
	changes[0].Was = &now
	if rows := ListRows(RowsInput{ID: now.ID, RuleChanges: changes}).Rows; rows[0].Newer || rows[0].Was != nil {
		t.Errorf("nothing changed underneath: %+v", rows[0])
	}
}

func TestChangesRefused(t *testing.T) {
	row := builtIn().byID["US-VA.brakes.1"].Row
	other := row
	other.ID = "US-VA.brakes.2"
	bad := row
	bad.Known = "certain"
	for name, tt := range map[string]struct {
		change  Change
		pointer string
	}{
		"NoRow":      {Change{By: "a", At: 1, Reason: "r"}, "/rule_changes/0/row"},
		"NoAuthor":   {Change{Row: row.ID, At: 1, Reason: "r"}, "/rule_changes/0/by"},
		"NoReason":   {Change{Row: row.ID, By: "a", At: 1}, "/rule_changes/0/reason"},
		"NoTime":     {Change{Row: row.ID, By: "a", Reason: "r"}, "/rule_changes/0/at"},
		"OtherRow":   {Change{Row: row.ID, Yours: &other, By: "a", At: 1, Reason: "r"}, "/rule_changes/0/yours/id"},
		"BadGrade":   {Change{Row: row.ID, Yours: &bad, By: "a", At: 1, Reason: "r"}, "/rule_changes/0/yours/known"},
		"BadWas":     {Change{Row: row.ID, Was: &bad, By: "a", At: 1, Reason: "r"}, "/rule_changes/0/was/known"},
		"SeenNobody": {Change{Row: row.ID, By: "a", At: 1, Reason: "r", Seen: []Seen{{By: "b", At: 1}, {At: 1}}}, "/rule_changes/0/seen/1/by"},
		"SeenNever":  {Change{Row: row.ID, By: "a", At: 1, Reason: "r", Seen: []Seen{{By: "b"}}}, "/rule_changes/0/seen/0/at"},
		"SeenAll":    {Change{Row: row.ID, By: "a", At: 1, Reason: "r", Seen: make([]Seen, mostSeen+1)}, "/rule_changes/0/seen"},
		"JoinedAway": {Change{Row: "US-SC.brakes.1", Withdrawn: true, By: "a", At: 1, Reason: "r"}, ""},
	} {
		err := EvaluateInput{Route: []string{"US-VA"}, RuleChanges: []Change{tt.change}}.Validate()
		switch {
		case tt.pointer == "" && err != nil:
			t.Errorf("%s: %v", name, err)
		case tt.pointer != "" && (err == nil || err.Problems[0].Pointer != tt.pointer):
			t.Errorf("%s: %v, want %s", name, err, tt.pointer)
		}
	}
}

// Rows that are not possible are refused before anything is laid over anything,
// whatever stands beside them.
func TestHostileChanges(t *testing.T) {
	joined := builtIn().byID["US-SC.brakes_share.1"].Row
	deep := Condition{Night: true}
	for range 5_000 {
		deep = Condition{All: []Condition{deep, {Night: true}}}
	}
	for name, spoil := range map[string]func(*Row){
		"subject":     func(r *Row) { r.Subject = "horns" },
		"exempts":     func(r *Row) { r.ExemptsFrom = "horns" },
		"unit":        func(r *Row) { r.Value, r.Unit = at(1.0), "stone" },
		"deep":        func(r *Row) { r.When = &deep },
		"place":       func(r *Row) { r.Jurisdiction = "US-XX" },
		"empty":       func(r *Row) { *r = Row{} },
		"until first": func(r *Row) { r.From, r.Until = "2026-01-02", "2026-01-01" },
		"joined":      func(r *Row) { r.JoinedWith = "US-VA.brakes.none" },
	} {
		row := builtIn().byID["US-SC.brakes.1"].Row
		spoil(&row)
		in := EvaluateInput{Route: []string{"US-SC"}, RuleChanges: []Change{
			{Row: "US-SC.brakes.1", Yours: &row, By: "a", At: 1, Reason: "r"},
			{Row: joined.ID, Yours: &joined, By: "a", At: 1, Reason: "r"},
		}}
		if err := in.Validate(); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

// Withdrawing a row takes the rows that are joined with it out of the
// evaluation, never out of the list.
func TestWithdrawnJoin(t *testing.T) {
	changes := []Change{{Row: "US-SC.brakes.1", Withdrawn: true, By: "a", At: 1, Reason: "r"}}
	MustBeSound(t, Evaluate(EvaluateInput{Route: []string{"US-SC"}, Facts: light(4_000), RuleChanges: changes}))
	rows := ListRows(RowsInput{Jurisdiction: "US-SC", Subject: BrakesShare, RuleChanges: changes}).Rows
	if len(rows) != 1 || rows[0].Standing != StandingBuiltIn {
		t.Errorf("%+v", rows)
	}
}

// Every point of law of every jurisdiction has one of the four words. Silent
// stands only where a section or row says so; not found only where nothing says
// anything.
func TestCoverage(t *testing.T) {
	report := Cover(must(t, CoverageInput{On: "2026-11-25"}))
	if len(report.Jurisdictions) != 64 {
		t.Fatalf("%d jurisdictions", len(report.Jurisdictions))
	}
	total := report.Totals.Read + report.Totals.Partly + report.Totals.Silent + report.Totals.NotFound
	if total != 64*len(subjects) {
		t.Errorf("%d points of law, want %d", total, 64*len(subjects))
	}
	for _, j := range report.Jurisdictions {
		for _, s := range j.Subjects {
			p, i := builtIn().place(j.Jurisdiction), s.Subject.index()
			says := len(p.silent[i]) > 0 || slices.ContainsFunc(p.all, func(r *rule) bool {
				return r.Subject == s.Subject && (r.Says == SaysSilent || r.Covers == OtherThing)
			})
			reads := slices.ContainsFunc(p.all, func(r *rule) bool { return r.Subject == s.Subject && r.Says == "" && r.Covers != OtherThing })
			switch {
			case s.Coverage == CoverageSilent && !says:
				t.Errorf("%s %s: silent, and nothing says so", j.Jurisdiction, s.Subject)
			case s.Coverage == CoverageNotFound && (says || reads):
				t.Errorf("%s %s: not found, yet there is something", j.Jurisdiction, s.Subject)
			case (s.Coverage == CoverageRead || s.Coverage == CoveragePartly) && !reads:
				t.Errorf("%s %s: read, by no row", j.Jurisdiction, s.Subject)
			case s.Old != (s.NewestText != 0 && s.NewestText < 2021):
				t.Errorf("%s %s: a text of %d is old: %t", j.Jurisdiction, s.Subject, s.NewestText, s.Old)
			}
		}
	}
	// A row of the workspace's own fills a gap, and says whose it is.
	own := builtIn().byID["US-VA.brakes.1"].Row
	own.ID, own.Jurisdiction = "CA-NU.brakes.own-1", "CA-NU"
	cell := Cover(CoverageInput{Jurisdiction: "CA-NU", Subject: Brakes, RuleChanges: []Change{{Row: own.ID, Yours: &own, By: "a", At: 1, Reason: "r"}}}).Jurisdictions[0].Subjects[0]
	if cell.Coverage != CoverageRead || cell.Rows != 1 || cell.Yours != 1 {
		t.Errorf("%+v", cell)
	}
}
