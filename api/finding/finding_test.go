package finding_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/unit"
)

func TestWorst(t *testing.T) {
	decides := func(v finding.Verdict) finding.Finding { return finding.Finding{Verdict: v, Decides: true} }
	aside := func(v finding.Verdict) finding.Finding { return finding.Finding{Verdict: v} }
	for _, tt := range []struct {
		name     string
		findings []finding.Finding
		want     finding.Verdict
	}{
		{"Nothing", nil, finding.OK},
		{"OneOK", []finding.Finding{decides(finding.OK)}, finding.OK},
		{"WorstDecides", []finding.Finding{decides(finding.Mind), decides(finding.NoGo), decides(finding.FindOut)}, finding.NoGo},
		{"FindOutOverMind", []finding.Finding{decides(finding.FindOut), decides(finding.Mind)}, finding.FindOut},
		{"AsideDoesNotDecide", []finding.Finding{aside(finding.NoGo), decides(finding.Mind)}, finding.Mind},
		{"UnknownWordIsNeverOK", []finding.Finding{decides("fine")}, "fine"},
	} {
		if got := finding.Worst(tt.findings); got != tt.want {
			t.Errorf("%s: got %s, want %s", tt.name, got, tt.want)
		}
	}
}

func TestWorse(t *testing.T) {
	words := finding.Verdict("").Values()
	for i, a := range words {
		for k, b := range words {
			if got := finding.Verdict(a).Worse(finding.Verdict(b)); got != (i > k) {
				t.Errorf("%s worse than %s is %t", a, b, got)
			}
		}
	}
	if !finding.Verdict("").Worse(finding.FindOut) {
		t.Error("a missing verdict must not pass for a good one")
	}
}

// Worst first, deciding before not deciding, then area, then id; what is equal
// keeps its order.
func TestSort(t *testing.T) {
	want := []finding.Finding{
		{ID: "a", Area: finding.Permission, Verdict: finding.NoGo, Decides: true},
		{ID: "a", Area: finding.Law, Verdict: finding.NoGo, Decides: true},
		{ID: "a", Area: finding.Permission, Verdict: finding.NoGo},
		{ID: "a", Area: finding.Trip, Verdict: finding.FindOut, Decides: true},
		{ID: "a", Area: finding.Brakes, Verdict: finding.Mind, Fields: []string{"/first"}},
		{ID: "a", Area: finding.Brakes, Verdict: finding.Mind, Fields: []string{"/second"}},
		{ID: "b", Area: finding.Brakes, Verdict: finding.Mind},
		{ID: "a", Area: finding.Coupling, Verdict: finding.OK, Decides: true},
	}
	for _, order := range [][]int{{7, 6, 4, 5, 3, 2, 1, 0}, {4, 5, 0, 7, 1, 6, 2, 3}, {0, 1, 2, 3, 4, 5, 6, 7}} {
		var got []finding.Finding
		for _, i := range order {
			got = append(got, want[i])
		}
		finding.Sort(got)
		if !slices.EqualFunc(got, want, func(a, b finding.Finding) bool {
			return a.ID == b.ID && a.Area == b.Area && a.Verdict == b.Verdict && a.Decides == b.Decides && slices.Equal(a.Fields, b.Fields)
		}) {
			t.Errorf("from %v: got %+v", order, got)
		}
	}
}

func TestProblemDetails(t *testing.T) {
	e := &finding.Error{Problems: []finding.Problem{
		finding.NewProblem(finding.InvalidValue, "/rig/towed", "not possible"),
		finding.NewProblem(finding.UnknownMember, "", "unknown"),
	}}
	var d finding.ProblemDetails
	if err := json.Unmarshal(e.JSON(), &d); err != nil {
		t.Fatal(err)
	}
	if d.Type != "urn:problem-type:pintail:invalid_value" || d.Title == "" || d.Detail != "/rig/towed: not possible; unknown" || len(d.Errors) != 2 {
		t.Errorf("got %+v", d)
	}
}

// Every code has a title of its own.
func TestTitles(t *testing.T) {
	titles := map[string]string{}
	for _, c := range finding.Code("").Values() {
		title := finding.NewError(finding.Code(c), "", "x").Details().Title
		if other, stands := titles[title]; stands || title == "" {
			t.Errorf("%s has the title %q, as has %s", c, title, other)
		}
		titles[title] = c
	}
}

func TestNewProblemCutsWords(t *testing.T) {
	p := finding.NewProblem(finding.InvalidValue, "", strings.Repeat("é", 1_000))
	if n := len([]rune(p.Detail)); n != 301 || !strings.HasSuffix(p.Detail, "é…") {
		t.Errorf("%d characters: %.20s", n, p.Detail)
	}
	if p := finding.NewProblem(finding.InvalidValue, "", strings.Repeat("é", 300)); strings.HasSuffix(p.Detail, "…") {
		t.Error("300 characters are not too many")
	}
}

// Num is the place where computed figures enter an answer: nine digits.
func TestNumRounds(t *testing.T) {
	if p := finding.Num(1.0/3, "min").Form(); *p.Number != 0.333333333 || p.Unit != "min" {
		t.Errorf("got %v %s", *p.Number, p.Unit)
	}
	if p := finding.MassOf(unit.KG(1_950)).Form(); p.Mass.String() != "1950 kg" {
		t.Errorf("got %s", p.Mass)
	}
}
