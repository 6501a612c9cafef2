package readiness_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/readiness"
	"pintail/api/strictjson"
)

var update = flag.Bool("update", false, "rewrite the golden files; read the diff before you commit it")

// trip is one golden trip: what was entered, and what a person who knows the
// trade expects of the answer, written down without running the program.
type trip struct {
	Title  string `json:"title"`
	Why    string `json:"why"`
	Source string `json:"source"`
	Expect struct {
		Verdict finding.Verdict `json:"verdict"`
		Has     []expected      `json:"has"`
		Lacks   []string        `json:"lacks"`
	} `json:"expect"`
	Input json.RawMessage `json:"input"`
}

// expected names a finding: its id, "area:" and an area, or "law:", a subject,
// ":" and a jurisdiction. An empty verdict and an absent decides mean any.
type expected struct {
	What    string          `json:"what"`
	Verdict finding.Verdict `json:"verdict"`
	Decides *bool           `json:"decides"`
}

func (e expected) matches(f finding.Finding) bool {
	if e.Verdict != "" && f.Verdict != e.Verdict || e.Decides != nil && f.Decides != *e.Decides {
		return false
	}
	kind, rest, _ := strings.Cut(e.What, ":")
	switch kind {
	case "area":
		return f.Area == finding.Area(rest)
	case "law":
		subject, place, _ := strings.Cut(rest, ":")
		return f.Area == finding.Law && strings.HasPrefix(f.ID, "law."+subject+".") && strings.Contains(flat(f), place)
	}
	return f.ID == e.What
}

func flat(f finding.Finding) string {
	b, err := strictjson.Marshal(f)
	if err != nil {
		return err.Error()
	}
	return string(b)
}

// forbidden turns an entry of lacks into what must not be there: "no_go" is any
// finding that forbids, "law:subject:place:no_go" one law finding.
func forbidden(s string) expected {
	decides := true
	if s == "no_go" {
		return expected{What: "", Verdict: finding.NoGo, Decides: &decides}
	}
	i := strings.LastIndexByte(s, ':')
	return expected{What: s[:i], Verdict: finding.Verdict(s[i+1:])}
}

func (e expected) forbids(f finding.Finding) bool {
	if e.What == "" {
		return f.Verdict == e.Verdict && f.Decides
	}
	return e.matches(f)
}

func TestGoldenTrips(t *testing.T) {
	files, err := filepath.Glob("testdata/trips/*.json")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 20 {
		t.Fatalf("%d golden trips, want 20 and more", len(files))
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			tr, report := mustRun(t, file)
			if report.Verdict != tr.Expect.Verdict {
				t.Errorf("%s: verdict %s, want %s (%s)", tr.Title, report.Verdict, tr.Expect.Verdict, report.Answer.Sentence)
			}
			for _, e := range tr.Expect.Has {
				if !anyFinding(report, e.matches) {
					t.Errorf("no finding %+v", e)
				}
			}
			for _, s := range tr.Expect.Lacks {
				if e := forbidden(s); anyFinding(report, e.forbids) {
					t.Errorf("a finding that must not be there: %s", s)
				}
			}
			for _, f := range report.Findings {
				checkFinding(t, f)
			}
			compareGolden(t, strings.TrimSuffix(file, ".json")+".golden.txt", outline(tr, report))
		})
	}
}

func mustRun(tb testing.TB, file string) (trip, readiness.Report) {
	tb.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		tb.Fatal(err)
	}
	var tr trip
	if err := json.Unmarshal(b, &tr); err != nil {
		tb.Fatal(err)
	}
	var in readiness.Input
	if err := strictjson.Unmarshal(tr.Input, &in); err != nil {
		tb.Fatal(err)
	}
	if err := in.Validate(); err != nil {
		tb.Fatal(err)
	}
	return tr, readiness.Evaluate(in)
}

func anyFinding(r readiness.Report, is func(finding.Finding) bool) bool {
	for _, f := range r.Findings {
		if is(f) {
			return true
		}
	}
	return false
}

// checkFinding holds for every finding of every trip.
func checkFinding(t *testing.T, f finding.Finding) {
	t.Helper()
	if f.Verdict == finding.OK && len(f.Basis) == 0 {
		t.Errorf("%s is OK without a basis", f.ID)
	}
	texts := []finding.Text{f.Says}
	if f.Remedy != nil {
		texts = append(texts, *f.Remedy)
	}
	for _, s := range texts {
		if s.Sentence == s.ID || strings.ContainsAny(s.Sentence, "{}") {
			t.Errorf("%s: sentence not filled in: %q", f.ID, s.Sentence)
		}
	}
	for _, fig := range f.Figures {
		if fig.Label == finding.Say(fig.Label, nil).Sentence {
			t.Errorf("%s: figure %s has no name in the catalogue", f.ID, fig.Label)
		}
	}
	if f.Verdict == finding.NoGo && f.Remedy == nil {
		t.Errorf("%s forbids and does not say what to do", f.ID)
	}
	if (f.Verdict == finding.NoGo || f.Verdict == finding.FindOut) && f.Decides && f.Remedy == nil && len(f.Fields) == 0 {
		t.Errorf("%s decides and says neither what to do nor which field", f.ID)
	}
}

// outline is a report as a reviewer can read it in a diff.
func outline(tr trip, r readiness.Report) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n%s: %s\n\n", tr.Title, r.Verdict, r.Answer.Sentence)
	for _, f := range r.Findings {
		mark := ""
		if f.Decides {
			mark = " decides"
		}
		fmt.Fprintf(&b, "%s%s %s\n    %s\n", f.Verdict, mark, f.ID, f.Says.Sentence)
		if f.Remedy != nil {
			fmt.Fprintf(&b, "    -> %s\n", f.Remedy.Sentence)
		}
	}
	for _, leg := range r.Law.Legs {
		fmt.Fprintf(&b, "\n%s %s\n", leg.Jurisdiction, leg.Name)
		for _, i := range leg.Items {
			fmt.Fprintf(&b, "    %s: %s, %s\n", i.Subject, i.Requirement, i.Met)
		}
		for _, c := range leg.Changes {
			fmt.Fprintf(&b, "    at the border: %s\n", c.Sentence)
		}
	}
	return b.Bytes()
}

func compareGolden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update, read the file, commit it)", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the answer changed; run with -update and read the diff\n%s", firstDifference(got, want))
	}
}

func firstDifference(got, want []byte) string {
	g, w := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			return fmt.Sprintf("line %d\n got  %s\n want %s", i+1, g[i], w[i])
		}
	}
	return fmt.Sprintf("got %d lines, want %d", len(g), len(w))
}
