package rules

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

func TestEveryRow(t *testing.T) {
	table := builtIn()
	if len(table.byID) < 591 {
		t.Errorf("%d rows, fewer than were researched", len(table.byID))
	}
	used := map[string]bool{}
	same := map[string]string{}
	for _, r := range rowsOf(table) {
		used[r.Jurisdiction] = true
		if r.Requirement == "" || !strings.HasSuffix(r.Requirement, ".") {
			t.Errorf("%s: the requirement is no sentence: %q", r.ID, r.Requirement)
		}
		if r.Citation == "" && r.Known != Low && r.SourceKind != OfficialSummary && r.SourceKind != Digest {
			t.Errorf("%s: %s without a citation", r.ID, r.Known)
		}
		if r.Known == High && r.SourceKind != StatuteText {
			t.Errorf("%s: high, but only from a %s", r.ID, r.SourceKind)
		}
		if r.SourceKind == FromMemory && r.Known != Low {
			t.Errorf("%s: from memory, yet %s", r.ID, r.Known)
		}
		if r.TextYear != 0 && (r.TextYear < 1900 || r.TextYear > 2026) {
			t.Errorf("%s: text of %d", r.ID, r.TextYear)
		}
		if r.URL != "" && !strings.HasPrefix(r.URL, "https://") && !strings.HasPrefix(r.URL, "http://") {
			t.Errorf("%s: link %q", r.ID, r.URL)
		}
		if (r.From != "" && !r.From.Valid()) || (r.Until != "" && !r.Until.Valid()) {
			t.Errorf("%s: in force %q to %q", r.ID, r.From, r.Until)
		}
		if strings.Contains(strings.ToLower(r.Requirement), "treat as not read") && r.Says != SaysNotFound {
			t.Errorf("%s: says that nothing was found, and would count", r.ID)
		}
		if r.JoinedWith != "" && r.When != nil {
			t.Errorf("%s: a joined row's condition stands in %s", r.ID, r.JoinedWith)
		}
		b, err := strictjson.Marshal(map[string]any{"j": r.Jurisdiction, "s": r.Subject, "c": r.Covers, "w": r.When, "v": r.Value, "x": r.ExemptsFrom, "y": r.Says, "q": r.Citation, "n": r.JoinedWith, "r": r.Requirement})
		if err != nil {
			t.Fatal(err)
		}
		if other := same[string(b)]; other != "" {
			t.Errorf("%s repeats %s", r.ID, other)
		}
		same[string(b)] = r.ID
	}
	for _, p := range table.places {
		if p.definition.Jurisdiction == "" {
			continue
		}
		if !used[p.Code] {
			t.Errorf("the definition of %s is used by no row", p.Code)
		}
		if p.definition.CoversMotorVehicles != "unclear" && p.definition.Known == Low {
			t.Errorf("%s: a weak definition settles something", p.Code)
		}
	}
}

// rowsOf are all the rules of a table, jurisdiction by jurisdiction.
func rowsOf(t *table) []*rule {
	var all []*rule
	for _, p := range t.places {
		all = append(all, p.all...)
	}
	return all
}

func mustRead(tb testing.TB, rows []byte) []Row {
	tb.Helper()
	var list []Row
	if err := strictjson.Unmarshal(rows, &list); err != nil {
		tb.Fatal(err)
	}
	return list
}

// The rows survive a trip through their own types: no member is lost.
func TestRowsRoundTrip(t *testing.T) {
	b, err := strictjson.Marshal(mustRead(t, rowsJSON))
	if err != nil {
		t.Fatal(err)
	}
	var asRead, asWritten []map[string]any
	if err := strictjson.Unmarshal(rowsJSON, &asRead); err != nil {
		t.Fatal(err)
	}
	if err := strictjson.Unmarshal(b, &asWritten); err != nil {
		t.Fatal(err)
	}
	for i := range asRead {
		if !reflect.DeepEqual(asRead[i], asWritten[i]) {
			t.Errorf("%v: a member is lost or empty; leave out what is not known\nfile  %v\ntypes %v", asRead[i]["id"], asRead[i], asWritten[i])
		}
	}
}

func TestFaultyTables(t *testing.T) {
	places := `[{"code":"US-VA","name":"Virginia","neighbours":[]}]`
	row := func(members string) string {
		return `[{"id":"US-VA.brakes.1","jurisdiction":"US-VA","subject":"brakes","covers":"trailer","requirement":"x.","source_kind":"digest","known":"medium"` + members + `}]`
	}
	tests := map[string]string{
		"unknown jurisdiction": strings.ReplaceAll(row(""), "US-VA", "US-XX"),
		"unknown subject":      strings.ReplaceAll(row(""), "brakes", "horns"),
		"unknown member":       row(`,"extra":1`),
		"value without unit":   row(`,"value":1`),
		"wrong unit":           row(`,"value":1,"unit":"min"`),
		"two tests":            row(`,"when":{"night":true,"link":"rigid"}`),
		"two operators":        row(`,"when":{"weight":"gross","over":{"lb":1},"under":{"lb":1}}`),
		"share of nothing":     row(`,"when":{"weight":"gross","over_pct":40}`),
		"unknown weight":       row(`,"when":{"weight":"tare","over":{"lb":1}}`),
		"lonely any":           row(`,"when":{"any":[{"night":true}]}`),
		"joined with nothing":  row(`,"joined_with":"US-VA.brakes.9"`),
		"ends before it began": row(`,"from":"2026-01-01","until":"2025-01-01"`),
		"follows itself":       row(`,"when":{"duty":"brakes"}`),
	}
	if _, err := newTable([]byte(places), []byte(`[]`), []byte(`[]`), []byte(row(""))); err != nil {
		t.Fatalf("a good row is refused: %v", err)
	}
	for name, rows := range tests {
		if _, err := newTable([]byte(places), []byte(`[]`), []byte(`[]`), []byte(rows)); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	twice := strings.TrimSuffix(row(""), "]") + "," + strings.TrimPrefix(row(""), "[")
	if _, err := newTable([]byte(places), []byte(`[]`), []byte(`[]`), []byte(twice)); err == nil {
		t.Error("one id twice: accepted")
	}
}

func TestJurisdictions(t *testing.T) {
	r := Jurisdictions(JurisdictionsInput{})
	if len(r.Jurisdictions) != 64 { // 50 states, the District of Columbia, 13 provinces and territories
		t.Fatalf("%d jurisdictions", len(r.Jurisdictions))
	}
	by := map[string]Jurisdiction{}
	for _, j := range r.Jurisdictions {
		by[j.Code] = j
		if j.Name == "" || len(j.Coverage) != len(subjects) {
			t.Errorf("%s: %q, %d subjects", j.Code, j.Name, len(j.Coverage))
		}
	}
	for _, j := range r.Jurisdictions {
		if !slices.IsSorted(j.Neighbours) {
			t.Errorf("%s: neighbours out of order", j.Code)
		}
		for _, n := range j.Neighbours {
			if !slices.Contains(by[n].Neighbours, j.Code) {
				t.Errorf("%s borders %s, but not the other way", j.Code, n)
			}
		}
	}
	// From memory: Tennessee borders eight states, and so does Missouri, but no
	// bridge joins it to Kentucky.
	for code, want := range map[string]int{"US-TN": 8, "US-MO": 7, "US-HI": 0, "CA-PE": 1} {
		if got := len(by[code].Neighbours); got != want {
			t.Errorf("%s has %d neighbours, want %d", code, got, want)
		}
	}
	for _, want := range []struct {
		code    string
		subject Subject
		is      Coverage
	}{
		{"US-VA", Brakes, CoverageRead}, {"US-IN", Brakes, CoveragePartly}, {"US-KY", Brakes, CoverageSilent}, {"CA-NU", Brakes, CoverageNotFound},
		{"US-AZ", SafetyChain, CoverageNotFound}, {"US-ND", CouplingLength, CoverageSilent}, {"US-NE", Brakes, CoverageSilent}, {"US-VA", StopLamps, CoveragePartly},
	} {
		if got := by[want.code].Coverage[want.subject]; got != want.is {
			t.Errorf("%s %s: %s, want %s", want.code, want.subject, got, want.is)
		}
	}
}

// randomFacts gives each fact by chance, so that every kind of gap occurs.
func randomFacts(r *rand.Rand) Facts {
	var f Facts
	v := reflect.ValueOf(&f).Elem()
	for i := range v.NumField() {
		if r.IntN(3) == 0 {
			continue
		}
		switch p := v.Field(i).Addr().Interface().(type) {
		case **unit.Mass:
			*p = at(unit.LB(float64(2_000 + r.IntN(6_000))))
		case **unit.Length:
			*p = at(unit.FT(float64(10 + r.IntN(60))))
		case **unit.Speed:
			*p = at(unit.MPH(float64(40 + r.IntN(40))))
		case **bool:
			*p = at(r.IntN(2) == 0)
		case **int:
			*p = at(r.IntN(4))
		case **float64:
			*p = at(float64(r.IntN(40)))
		default:
			panic("a kind of fact the test does not know")
		}
	}
	if f.TowedYear != nil {
		*f.TowedYear += 1955 + r.IntN(70)
	}
	return f
}

func randomRoute(r *rand.Rand) []string {
	route := make([]string, 1+r.IntN(8))
	for i := range route {
		route[i] = builtIn().places[r.IntN(len(builtIn().places))].Code
	}
	return route
}

// MustBeSound checks what must hold of every answer.
func MustBeSound(tb testing.TB, e Evaluation) {
	tb.Helper()
	if e.Verdict != finding.Worst(e.Findings) {
		tb.Errorf("verdict %s is not the worst deciding finding", e.Verdict)
	}
	seen := map[string]bool{}
	for _, f := range e.Findings {
		if seen[f.ID] {
			tb.Errorf("%s stands twice", f.ID)
		}
		seen[f.ID] = true
		if f.Verdict == finding.OK && len(f.Basis) == 0 {
			tb.Errorf("%s is OK without a basis", f.ID)
		}
		if f.Verdict != finding.OK && f.Remedy == nil {
			tb.Errorf("%s has no remedy", f.ID)
		}
		for _, b := range f.Basis {
			if f.Verdict == finding.NoGo && b.Known == string(Low) {
				tb.Errorf("%s: a weak row decides", f.ID)
			}
		}
		mustBeSentence(tb, f.Says)
		if f.Remedy != nil {
			mustBeSentence(tb, *f.Remedy)
		}
	}
	for _, l := range e.Legs {
		for _, i := range l.Items {
			mustBeSentence(tb, i.Says)
			if i.Requirement == NotRequired && len(i.Rows) == 0 {
				tb.Errorf("%s %s: not required by no row", l.Jurisdiction, i.Subject)
			}
		}
		for _, c := range l.Changes {
			mustBeSentence(tb, c)
		}
	}
}

func mustBeSentence(tb testing.TB, x finding.Text) {
	tb.Helper()
	if x.Sentence == x.ID || strings.ContainsAny(x.Sentence, "{}") {
		tb.Errorf("%s: %q", x.ID, x.Sentence)
	}
	for _, p := range x.Params {
		if word := p.Form().Word; word != "" && finding.Say(word, nil).Sentence == word {
			tb.Errorf("%s: no word %s", x.ID, word)
		}
	}
}

func TestEverywhereAndRandomly(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, p := range builtIn().places {
		for _, f := range []Facts{{}, complete(), light(2_500), light(6_000)} {
			MustBeSound(t, MustEvaluate(t, EvaluateInput{Route: []string{p.Code}, Facts: f}))
		}
	}
	for range 500 {
		in := EvaluateInput{Route: randomRoute(r), Facts: randomFacts(r)}
		e := Evaluate(in)
		MustBeSound(t, e)
		if !reflect.DeepEqual(e, Evaluate(in)) {
			t.Fatalf("two answers for %+v", in)
		}
		var lines []Strictest
		for _, s := range subjects {
			lines = append(lines, StrictestOn(in, s)...)
		}
		if len(lines) != len(e.Strictest) || len(lines) > 0 && !reflect.DeepEqual(lines, e.Strictest) {
			t.Fatalf("subject by subject another strictest line for %+v", in)
		}
	}
}

// Adding a jurisdiction never makes the verdict or the strictest line looser.
func TestAddingNeverLoosens(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		in := EvaluateInput{Route: randomRoute(r), Facts: randomFacts(r)}
		before := Evaluate(in)
		in.Route = append(in.Route, randomRoute(r)[0])
		after := Evaluate(in)
		if before.Verdict.Worse(after.Verdict) {
			t.Fatalf("%v: %s became %s", in.Route, before.Verdict, after.Verdict)
		}
		for _, b := range before.Strictest {
			i := slices.IndexFunc(after.Strictest, func(a Strictest) bool { return a.Subject == b.Subject })
			if i < 0 || weaker(after.Strictest[i].Requirement, b.Requirement) {
				t.Fatalf("%v: %s became looser", in.Route, b.Subject)
			}
		}
	}
}

// A rig that meets the strictest rules is never kept at home by the law.
func TestCompleteRigMayGoEverywhere(t *testing.T) {
	for _, p := range builtIn().places {
		e := MustEvaluate(t, EvaluateInput{Route: []string{p.Code}, Facts: complete()})
		for _, f := range e.Findings {
			if f.Verdict.Worse(finding.Mind) && f.Decides {
				t.Errorf("%s: %s %s", p.Code, f.ID, f.Says.Sentence)
			}
		}
	}
}

func FuzzEvaluateInput(f *testing.F) {
	f.Add([]byte(`{"route":["US-VA","CA-BC"],"facts":{"towed_gross":{"lb":4000},"has_brakes":true}}`))
	f.Add([]byte(`{"route":["US-KY"],"on":"2026-11-24","night":true,"facts":{"towed_gross":{"kg":2000},"towing_gvwr":{"lb":11030}}}`))
	f.Add([]byte(`{"route":[]}`))
	f.Add([]byte(`{"route":["US-MO"],"facts":{"hold_min_low":14.9,"hold_min_high":15,"cables":1}}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var in EvaluateInput
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		e := Evaluate(in)
		MustBeSound(t, e)
		if len(e.Legs) != len(in.Route) {
			t.Errorf("%d legs for %d jurisdictions", len(e.Legs), len(in.Route))
		}
		if _, err := strictjson.Marshal(e); err != nil {
			t.Error(err)
		}
	})
}

func BenchmarkEvaluate6(b *testing.B) {
	in := EvaluateInput{Route: []string{"US-VA", "US-NC", "US-SC", "US-GA", "US-FL", "US-AL"}, Facts: complete()}
	Evaluate(in)
	b.ReportAllocs()
	for b.Loop() {
		Evaluate(in)
	}
}

func BenchmarkEvaluate64(b *testing.B) {
	var in EvaluateInput
	for _, p := range builtIn().places {
		in.Route = append(in.Route, p.Code)
	}
	in.Facts = complete()
	b.ReportAllocs()
	for b.Loop() {
		Evaluate(in)
	}
}

func BenchmarkTable(b *testing.B) {
	for b.Loop() {
		if _, err := newTable(jurisdictionsJSON, definitionsJSON, silentJSON, rowsJSON); err != nil {
			b.Fatal(err)
		}
	}
}

// weaker reports whether a binds less firmly than b.
func weaker(a, b Requirement) bool {
	order := []Requirement{MayNotCover, Depends, Required}
	return slices.Index(order, a) < slices.Index(order, b)
}
