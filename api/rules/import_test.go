package rules

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pintail/api/strictjson"
)

const header = "id,standing,jurisdiction,subject,covers,when,value,unit,requirement,from,until,citation,source_kind,known,text_year,note"

// line is one good line under header, some of its cells replaced.
func line(t testing.TB, id string, cells ...string) string {
	t.Helper()
	parts := strings.SplitN(id, ".", 3)
	v := map[string]string{
		"id": id, "jurisdiction": parts[0], "subject": parts[1], "covers": "any_towed_vehicle", "requirement": "Invented " + id + ".",
		"citation": "Invented Act s. 1", "source_kind": "statute_text", "known": "high",
	}
	for i := 0; i < len(cells); i += 2 {
		v[cells[i]] = cells[i+1]
	}
	var out []string
	for _, name := range strings.Split(header, ",") {
		out = append(out, `"`+strings.ReplaceAll(v[name], `"`, `""`)+`"`)
	}
	return strings.Join(out, ",")
}

func importing1(format Format, text string, have ...Change) Imported {
	return Import(ImportInput{Format: format, Text: text, RuleChanges: have, By: "desk", At: 1_790_000_000_000, Reason: "test"})
}

// Whatever is wrong in a file is refused with the line, the column and the
// reason, and nothing of the file is taken.
func TestImportRefuses(t *testing.T) {
	good := line(t, "CA-NU.brakes.own-1")
	id := "CA-NU.brakes.own-2"
	tests := []struct {
		name, text string
		line       int
		column     string
		reason     string
	}{
		{"UnknownSubject", line(t, "CA-NU.horns.own-2"), 3, "subject", "not known"},
		{"UnknownJurisdiction", line(t, "CA-XX.brakes.own-2"), 3, "jurisdiction", "not known"},
		{"UnknownUnit", line(t, "CA-NU.breakaway.own-2", "value", "15", "unit", "sec"), 3, "unit", `"sec" is not known`},
		{"UnknownWeightUnit", line(t, id, "when", "gross over 3000 stone"), 3, "when", `unknown unit "stone"`},
		{"NoOperator", line(t, id, "when", "gross 3000 lb"), 3, "when", "threshold without an operator"},
		{"UntilBeforeFrom", line(t, id, "from", "2026-07-01", "until", "2026-01-01"), 3, "until", "not after from"},
		{"UntilOnFrom", line(t, id, "from", "2026-07-01", "until", "2026-07-01"), 3, "until", "not after from"},
		{"NoSuchDay", line(t, id, "from", "2026-02-30"), 3, "from", "not a day"},
		{"Twice", line(t, "CA-NU.brakes.own-1", "requirement", "Another."), 3, "id", "line 2"},
		{"SameContent", line(t, id, "requirement", "Invented CA-NU.brakes.own-1."), 3, "", "same as line 2"},
		{"TextInNumber", line(t, "CA-NU.breakaway.own-2", "value", "fifteen", "unit", "min"), 3, "value", "want a number"},
		{"NaN", line(t, "CA-NU.breakaway.own-2", "value", "NaN", "unit", "min"), 3, "value", "want a number"},
		{"Power", line(t, "CA-NU.breakaway.own-2", "value", "1e1", "unit", "min"), 3, "value", "want a number"},
		{"Hexadecimal", line(t, "CA-NU.breakaway.own-2", "value", "0x1p4", "unit", "min"), 3, "value", "want a number"},
		{"Negative", line(t, "CA-NU.breakaway.own-2", "value", "-15", "unit", "min"), 3, "value", "formula"},
		{"OldLineEnd", line(t, id) + "\r" + line(t, "CA-NU.brakes.own-3"), 3, "", "carriage return"},
		{"NoText", line(t, id, "note", "caf\xe9"), 3, "", "not text in UTF-8"},
		{"HalfALamp", line(t, "CA-NU.tail_lamps.own-2", "value", "1.5", "unit", "lamp"), 3, "value", "whole number"},
		{"TextInYear", line(t, id, "text_year", "last"), 3, "text_year", "want a year"},
		{"Formula", line(t, id, "note", "=cmd|'/c calc'!A0"), 3, "note", "formula"},
		{"FormulaAfterSpace", line(t, id, "note", " \t=1+1"), 3, "note", "formula"},
		{"Plus", line(t, id, "note", "+1"), 3, "note", "formula"},
		{"At", line(t, id, "note", "@SUM(A1)"), 3, "note", "formula"},
		{"Megabyte", line(t, id, "note", strings.Repeat("x", 1<<20)), 3, "note", "longer than"},
		{"LongNumber", line(t, "CA-NU.breakaway.own-2", "value", strings.Repeat("9", 1<<20), "unit", "min"), 3, "value", ""},
		{"ControlCharacter", line(t, id, "note", "a\x07b"), 3, "note", "control character"},
		{"NoCitation", line(t, id, "citation", ""), 3, "citation", "missing"},
		{"HighFromMemory", line(t, id, "source_kind", "memory"), 3, "known", "high"},
		{"BadStanding", line(t, id, "standing", "gone"), 3, "standing", "want one of"},
		{"TooFewCells", `"` + id + `",,CA-NU`, 3, "", "want 16 cells"},
		{"OpenQuote", `"` + id, 3, "", "quote"},
		{"DeepCondition", line(t, id, "when", strings.Repeat("any(", 200)+"night"), 3, "when", "nested deeper"},
		{"TwoWeights", line(t, id, "when", "gross over 3000 lb gvwr over 3000 lb"), 3, "when", "nothing can stand after"},
		{"AnyOfOne", line(t, id, "when", "any(night)"), 3, "when", "joins two"},
		{"JoinedWithNothing", "", 0, "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.text == "" {
				t.Skip("see TestImportJoined")
			}
			got := importing1(FormatCSV, header+"\n"+good+"\n"+tt.text+"\n")
			if len(got.Changes) != 0 || len(got.Problems) == 0 {
				t.Fatalf("%d changes, %d problems", len(got.Changes), len(got.Problems))
			}
			if !slices.ContainsFunc(got.Problems, func(p ImportProblem) bool {
				return p.Line == tt.line && p.Column == tt.column && strings.Contains(p.Reason, tt.reason)
			}) {
				t.Errorf("want line %d, column %q, %q; got %+v", tt.line, tt.column, tt.reason, got.Problems)
			}
			for _, p := range got.Problems {
				if len(p.Reason) > 1_000 {
					t.Errorf("a reason of %d bytes", len(p.Reason))
				}
			}
		})
	}
}

func TestImportHeader(t *testing.T) {
	for name, tt := range map[string]struct {
		text   string
		column string
	}{
		"Empty":      {"", ""},
		"MarkAlone":  {byteOrderMark, ""},
		"NoID":       {"jurisdiction,subject\n", "id"},
		"Unknown":    {header + ",colour\n", "colour"},
		"Twice":      {header + ",note\n", "note"},
		"OldLineEnd": {header + "\r" + header, ""},
		"Semicolons": {strings.ReplaceAll(header, ",", ";") + "\n", ""},
	} {
		got := importing1(FormatCSV, tt.text)
		if len(got.Problems) == 0 || got.Problems[0].Line != 1 || tt.column != "" && !slices.ContainsFunc(got.Problems, func(p ImportProblem) bool { return p.Column == tt.column }) {
			t.Errorf("%s: %+v", name, got.Problems)
		}
	}
}

func TestImportJoined(t *testing.T) {
	csv := "id,jurisdiction,subject,covers,joined_with,requirement,citation,source_kind,known\n"
	row := "CA-NU.brakes_share.own-1,CA-NU,brakes_share,trailer,%s,Share.,Invented Act,statute_text,high\n"
	if got := importing1(FormatCSV, csv+fmt.Sprintf(row, "CA-NU.brakes.own-9")); len(got.Problems) != 1 || got.Problems[0].Column != "joined_with" {
		t.Errorf("joined with nothing: %+v", got.Problems)
	}
	both := csv + fmt.Sprintf(row, "CA-NU.brakes.own-9") + "CA-NU.brakes.own-9,CA-NU,brakes,trailer,,Brakes.,Invented Act,statute_text,high\n"
	if got := importing1(FormatCSV, both); len(got.Problems) != 0 || got.Counts.Added != 2 {
		t.Errorf("joined with a row of the file: %+v", got)
	}
}

// More rows than a workspace may have are refused at the first one too many.
func TestImportTooMany(t *testing.T) {
	for format, text := range map[Format]string{FormatCSV: header + "\n" + strings.Repeat(line(t, "CA-NU.brakes.own-1")+"\n", 100_000), FormatJSON: "[" + strings.Repeat("{\"row\":{}},\n", 99_999) + "{\"row\":{}}]"} {
		got := importing1(format, text)
		if len(got.Changes) != 0 || len(got.Problems) == 0 {
			t.Fatalf("%s: %d changes", format, len(got.Changes))
		}
		if format == FormatCSV && (got.Problems[0].Line != MaxRows+2 || !strings.Contains(got.Problems[0].Reason, "20000")) {
			t.Errorf("%+v", got.Problems[0])
		}
	}
}

// A file of exactly the size is read; one with a byte more is refused as a whole.
func TestImportLargest(t *testing.T) {
	text := header + "\n" + line(t, "CA-NU.brakes.own-1") + strings.Repeat("\n", MaxFile)
	in := ImportInput{Format: FormatCSV, Text: text[:MaxFile], By: "a", At: 1, Reason: "r"}
	if err := in.Validate(); err != nil || Import(in).Counts.Added != 1 {
		t.Errorf("%v %+v", err, Import(in))
	}
	in.Text = text[:MaxFile+1]
	if err := in.Validate(); err == nil || err.Problems[0].Pointer != "/text" || !strings.Contains(err.Problems[0].Detail, "10 MiB") {
		t.Errorf("%v", err)
	}
}

func manyRows(tb testing.TB, n int) string {
	tb.Helper()
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range n {
		code := builtIn().places[i%64].Code
		b.WriteString(line(tb, fmt.Sprintf("%s.brakes.own-%d", code, i), "when", fmt.Sprintf("any(gross over %d lb, gross over 40 %% of towing_gvwr)", 1_000+i), "note", "Read at the office; the words name trailers, a car is one there.") + "\n")
	}
	return b.String()
}

// A byte order mark and either line end make no difference, nor does the order
// of the columns.
func TestImportTolerates(t *testing.T) {
	plain := header + "\n" + line(t, "CA-NU.brakes.own-1", "note", "one, \"two\"\nand three") + "\n"
	want := importing1(FormatCSV, plain).Changes
	if len(want) != 1 {
		t.Fatalf("%+v", importing1(FormatCSV, plain).Problems)
	}
	for name, text := range map[string]string{
		"mark":        byteOrderMark + plain,
		"CRLF":        strings.ReplaceAll(plain, "\n", "\r\n"),
		"no last end": strings.TrimSuffix(plain, "\n"),
		"empty lines": strings.Replace(plain, "\n", "\n\n\n", 1),
		"spaces":      strings.ReplaceAll(plain, `"CA-NU"`, `" CA-NU  "`),
	} {
		if got := importing1(FormatCSV, text); !same(t, got.Changes, want) {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func same(tb testing.TB, a, b any) bool {
	tb.Helper()
	x, errA := strictjson.Marshal(a)
	y, errB := strictjson.Marshal(b)
	if errA != nil || errB != nil {
		tb.Fatal(errA, errB)
	}
	return string(x) == string(y)
}

// workspace is one change of every kind.
func workspace(t testing.TB) []Change {
	t.Helper()
	own := Row{
		ID: "US-VA.brakes.own-1", Jurisdiction: "US-VA", Subject: Brakes, Covers: AnyTowedVehicle, Requirement: "=cmd|'/c calc'!A0",
		Citation: "'=x", URL: "https://example.org/a,b", SourceKind: StatuteText, Known: High, TextYear: 2026, VerifiedOn: "2026-09-21",
		From: "2026-07-01", Until: "2027-07-01", Doubt: "-", Note: "'tis \"quoted\",\nsecond line; é § ½",
		When: &Condition{All: []Condition{{Any: []Condition{{Stated: `the "hook" is open, (or not)`}, {Night: true}}}, {Day: true}, {Disabled: true}}},
	}
	changed := builtIn().byID["US-NC.brakes.1"].Row
	changed.Requirement, changed.Note = "Changed here.", ""
	gone := builtIn().byID["US-SD.breakaway.1"].Row
	return []Change{
		{Row: own.ID, Yours: &own, By: "desk", At: 1, Reason: "new"},
		{Row: changed.ID, Yours: &changed, Was: &builtIn().byID[changed.ID].Row, By: "desk", At: 2, Reason: "read again"},
		{Row: gone.ID, Withdrawn: true, Was: &gone, By: "desk", At: 3, Reason: "repealed"},
	}
}

// Export and import are each other's inverse: into the same workspace nothing
// changes, into an empty one the same rows come to stand, and what comes out of
// that is the same file byte for byte.
func TestExportImportIdentity(t *testing.T) {
	for _, have := range [][]Change{nil, workspace(t)} {
		for _, format := range []Format{FormatCSV, FormatJSON} {
			out := Export(ExportInput{Format: format, RuleChanges: have})
			again := importing1(format, out.Text, have...)
			if len(again.Problems) != 0 || len(again.Changes) != 0 || again.Counts.Same != out.Rows {
				t.Fatalf("%s into the same workspace: %+v %+v", format, again.Problems, again.Counts)
			}
			fresh := importing1(format, out.Text)
			if len(fresh.Problems) != 0 || len(fresh.Changes) != len(have) {
				t.Fatalf("%s into an empty workspace: %+v, %d changes", format, fresh.Problems, len(fresh.Changes))
			}
			if back := Export(ExportInput{Format: format, RuleChanges: fresh.Changes}); back.Text != out.Text {
				t.Errorf("%s: another file came back", format)
			}
		}
	}
}

// What a spreadsheet would run as a formula leaves with a quote before it.
func TestExportIsSafe(t *testing.T) {
	text := Export(ExportInput{Format: FormatCSV, RuleChanges: workspace(t)}).Text
	got := importing1(FormatCSV, text)
	if len(got.Problems) != 0 {
		t.Fatal(got.Problems)
	}
	if !strings.Contains(text, `'=cmd|'/c calc'!A0`) || !strings.Contains(text, `''=x`) || !strings.Contains(text, `'-`) {
		t.Error("a formula is not guarded")
	}
}

// A file restores what the workspace had changed, and withdraws what it says.
func TestImportRestoresAndWithdraws(t *testing.T) {
	have := workspace(t)
	built := Export(ExportInput{Format: FormatJSON}).Text
	got := importing1(FormatJSON, built, have...)
	if len(got.Problems) != 0 || got.Counts.Restored != 2 || got.Counts.Changed != 0 {
		t.Fatalf("%+v %+v", got.Counts, got.Problems)
	}
	after := ListRows(RowsInput{RuleChanges: append(slices.Clone(have), got.Changes...)})
	for _, r := range after.Rows {
		if want := StandingBuiltIn; r.Standing != want && r.Row.ID != "US-VA.brakes.own-1" {
			t.Errorf("%s is %s", r.Row.ID, r.Standing)
		}
	}
}

// A row that says what a built-in row says, under another id, is refused; beside
// a line that withdraws that row it takes its place.
func TestImportSecondOfOne(t *testing.T) {
	const built, ours = "US-VA.brakes.1", "US-VA.brakes.own-9"
	list := Export(ExportInput{Format: FormatJSON, Jurisdiction: "US-VA", Subject: Brakes}).Text
	text := "[" + strings.ReplaceAll(oneLine(t, list, built), built, ours) + "]"
	got := importing1(FormatJSON, text)
	if len(got.Problems) != 1 || got.Problems[0].Line != 1 || !strings.Contains(got.Problems[0].Reason, "the row "+built) {
		t.Errorf("%+v", got.Problems)
	}
	gone := strings.Replace(oneLine(t, list, built), "built_in", "withdrawn", 1)
	if got = importing1(FormatJSON, "["+strings.ReplaceAll(oneLine(t, list, built), built, ours)+",\n"+strings.Replace(gone, "3,000 lb or more", "3,000 lb and more", 1)+"]"); len(got.Problems) != 0 || got.Counts.Added != 1 || got.Counts.Withdrawn != 1 {
		t.Errorf("%+v %+v", got.Problems, got.Counts)
	}
}

// oneLine is the line of a list that holds the row.
func oneLine(tb testing.TB, list, id string) string {
	tb.Helper()
	for l := range strings.Lines(list) {
		if strings.Contains(l, `"id":"`+id+`"`) {
			return strings.TrimRight(strings.TrimSpace(l), ",")
		}
	}
	tb.Fatalf("no line of %s in %s", id, list)
	return ""
}

// A file's changes say which change of the row they were made over, a restoring
// among them; a row that nobody changed has none.
func TestImportKnowsWhatItReplaces(t *testing.T) {
	have := []Change{{Row: "US-VA.brakes.1", By: "Ann", At: 7, Reason: "restored"}}
	text := Export(ExportInput{Format: FormatJSON, Jurisdiction: "US-VA", Subject: Brakes}).Text
	got := importing1(FormatJSON, strings.Replace(text, "3,000 lb or more", "3,000 lb and more", 1), have...)
	if len(got.Changes) != 1 || !slices.Equal(got.Changes[0].Seen, []Seen{{"Ann", 7}}) {
		t.Errorf("%+v %+v", got.Problems, got.Changes)
	}
	got = importing1(FormatJSON, strings.Replace(text, "3,000 lb or more", "3,000 lb and more", 1))
	if len(got.Changes) != 1 || got.Changes[0].Seen != nil {
		t.Errorf("%+v %+v", got.Problems, got.Changes)
	}
}

func TestImportJSONRefuses(t *testing.T) {
	row := `{"row":{"id":"CA-NU.brakes.own-1","jurisdiction":"CA-NU","subject":"brakes","covers":"trailer","requirement":"x.","citation":"y","source_kind":"statute_text","known":"high"%s}}`
	for name, tt := range map[string]struct {
		text   string
		line   int
		column string
	}{
		"NotAList":      {`{}`, 1, ""},
		"NotJSON":       {"[\n{\n]", 3, ""},
		"Endless":       {"[\n" + fmt.Sprintf(row, ""), 2, ""},
		"After":         {"[]\n[]", 2, ""},
		"UnknownMember": {"[\n" + fmt.Sprintf(row, `,"colour":1`) + "]", 2, "colour"},
		"WrongType":     {"[\n\n" + fmt.Sprintf(row, `,"value":"15"`) + "]", 3, "value"},
		"TwoOperators":  {"[" + fmt.Sprintf(row, `,"when":{"weight":"gross","over":{"lb":1},"under":{"lb":2}}`) + "]", 1, "when"},
		"NoOperator":    {"[" + fmt.Sprintf(row, `,"when":{"weight":"gross"}`) + "]", 1, "when"},
		"Twice":         {"[" + fmt.Sprintf(row, "") + ",\n" + fmt.Sprintf(row, `,"note":"n"`) + "]", 2, "id"},
	} {
		got := importing1(FormatJSON, tt.text)
		if len(got.Changes) != 0 || !slices.ContainsFunc(got.Problems, func(p ImportProblem) bool { return p.Line == tt.line && p.Column == tt.column }) {
			t.Errorf("%s: want line %d column %q, got %+v", name, tt.line, tt.column, got.Problems)
		}
	}
}

// Every condition of every row survives its one line.
func TestConditionText(t *testing.T) {
	n := 0
	for _, r := range rowsOf(builtIn()) {
		if r.When == nil {
			continue
		}
		n++
		back, err := parseCondition(r.When.text())
		if err != nil || !same(t, back, r.When) {
			t.Errorf("%s: %s: %v", r.ID, r.When.text(), err)
		}
	}
	if n < 200 {
		t.Errorf("only %d conditions", n)
	}
}

func FuzzImport(f *testing.F) {
	f.Add(header+"\nCA-NU.brakes.own-1,,CA-NU,brakes,trailer,gross over 3000 lb,,,x.,,,y,statute_text,high,,", false)
	f.Add(`[{"row":{"id":"CA-NU.brakes.own-1"}}]`, true)
	f.Add(Export(ExportInput{Format: FormatCSV, Jurisdiction: "US-PA"}).Text, false)
	f.Fuzz(func(t *testing.T, text string, list bool) {
		format := FormatCSV
		if list {
			format = FormatJSON
		}
		got := importing1(format, text)
		if len(got.Problems) > 0 && len(got.Changes) > 0 {
			t.Error("half imported")
		}
		// What was accepted is a change that every question takes.
		if _, err := strictjson.Marshal(got); err != nil {
			t.Skip("the text was not UTF-8")
		}
		if err := (RowsInput{RuleChanges: got.Changes}).Validate(); err != nil {
			t.Error(err)
		}
	})
}

// Goal: 10,000 rows in a second.
func BenchmarkImport10000(b *testing.B) {
	text := manyRows(b, 10_000)
	b.ReportAllocs()
	for b.Loop() {
		if got := importing1(FormatCSV, text); got.Counts.Added != 10_000 {
			b.Fatal(got.Counts, got.Problems)
		}
	}
}

// BenchmarkRows10000 lists one jurisdiction of a workspace with 10,000 rows of
// its own.
func BenchmarkRows10000(b *testing.B) {
	have := importing1(FormatCSV, manyRows(b, 10_000)).Changes
	b.ReportAllocs()
	for b.Loop() {
		if rows := ListRows(RowsInput{Jurisdiction: "US-VA", RuleChanges: have}).Rows; len(rows) < 150 {
			b.Fatal(len(rows))
		}
	}
}
