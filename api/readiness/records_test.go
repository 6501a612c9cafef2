package readiness_test

import (
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/lamps/record"
	"pintail/api/readiness"
	"pintail/api/rig"
)

func mustRecord(t *testing.T, r rig.Rig, rec record.Record) record.Record {
	t.Helper()
	result, shown := rec.Result, rec.NotShown
	in := record.Input{Rig: &r, Record: &rec}
	if err := in.Validate(); err != nil {
		t.Fatal(err)
	}
	kept := record.Make(in).Record
	kept.Result, kept.NotShown = result, shown
	return kept
}

func lightTest(day string, result record.Result, wrong ...string) record.Record {
	return record.Record{Kind: record.LightTest, At: day + "T08:12:00-06:00", Watcher: "owner", Result: result, NotShown: wrong}
}

// What each record is worth, from common practice of the trade: a light test belongs
// to every hook-up, and a record proves the wiring.
func TestTestRecords(t *testing.T) {
	was := rig.Rig{}
	was.Harness.Approach, was.Towing.Description = rig.SteeringDiodes, "Ostrevan 34"
	is := was
	is.Harness.Approach = rig.SeparateBulbs
	motorhome := was
	motorhome.Towing.Description = "Ambleford"
	survey := record.Record{Kind: record.SocketSurvey, At: "2026-04-01T10:00:00Z", Result: record.Passed}
	car := record.Record{Kind: record.LampSurvey, At: "2026-04-01T11:00:00Z", Result: record.Passed}
	for _, c := range []struct {
		name    string
		now     rig.Rig
		records []record.Record
		id      string
		verdict finding.Verdict
		decides bool
		says    string
		fields  []string
	}{
		{"never", was, []record.Record{}, "record.light-test", finding.FindOut, false, "record.never", nil},
		{"stands", was, []record.Record{lightTest("2026-05-02", record.Passed)}, "record.light-test", finding.OK, true, "record.stands", nil},
		{"of an earlier day", was, []record.Record{lightTest("2026-05-01", record.Passed)}, "record.light-test", finding.Mind, false, "record.older", nil},
		{"no longer stands", is, []record.Record{lightTest("2026-05-02", record.Passed)}, "record.light-test", finding.FindOut, false, "record.changed", []string{"/harness/approach"}},
		{"a signal was wrong", was, []record.Record{lightTest("2026-05-02", record.Wrong, "stop_left")}, "record.light-test", finding.NoGo, true, "record.wrong_lamp", nil},
		{"the plate lamp was wrong", was, []record.Record{lightTest("2026-05-02", record.Wrong, "plate")}, "record.light-test", finding.Mind, true, "record.wrong_lamp", nil},
		{"wrong, nobody said what", was, []record.Record{lightTest("2026-05-02", record.Wrong)}, "record.light-test", finding.FindOut, true, "record.wrong", nil},
		{"wrong, and changed since", is, []record.Record{lightTest("2026-05-02", record.Wrong, "stop_left")}, "record.light-test", finding.FindOut, true, "record.wrong_changed", []string{"/harness/approach"}},
		{"wrong, and passed later", was, []record.Record{lightTest("2026-05-02", record.Passed), lightTest("2026-05-01", record.Wrong, "stop_left")}, "record.light-test", finding.OK, true, "record.stands", nil},
		{"wrong, and a later one left it open", was, []record.Record{lightTest("2026-05-01", record.Wrong, "stop_left"), lightTest("2026-05-02", record.Open)}, "record.light-test", finding.NoGo, true, "record.wrong_lamp", nil},
		{"open", was, []record.Record{lightTest("2026-05-02", record.Open)}, "record.light-test", finding.FindOut, false, "record.open", nil},
		{"a survey that found a fault", was, []record.Record{{Kind: record.SocketSurvey, At: "2026-04-01T10:00:00Z", Result: record.Wrong, NotShown: []string{"stop"}}}, "record.socket-survey", finding.Mind, true, "record.wrong_lamp", nil},
		{"the motorhome is another: its survey", motorhome, []record.Record{survey, car}, "record.socket-survey", finding.FindOut, false, "record.changed", []string{"/towing/description"}},
		{"the motorhome is another: the car's survey", motorhome, []record.Record{survey, car}, "record.lamp-survey", finding.OK, true, "record.stands", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			kept := []record.Record{}
			for _, rec := range c.records {
				kept = append(kept, mustRecord(t, was, rec))
			}
			in := readiness.Input{Rig: &c.now, Trip: &readiness.Trip{Route: []string{"US-UT"}, On: "2026-05-02"}, TestRecords: kept}
			if err := in.Validate(); err != nil {
				t.Fatal(err)
			}
			report := readiness.Evaluate(in)
			at := slices.IndexFunc(report.Findings, func(f finding.Finding) bool { return f.ID == c.id })
			if at < 0 {
				t.Fatalf("no finding %s", c.id)
			}
			f := report.Findings[at]
			if strings.Contains(f.Says.Sentence, "pin") {
				t.Errorf("a branch of the motorhome is called a pin: %s", f.Says.Sentence)
			}
			if f.Verdict != c.verdict || f.Decides != c.decides || f.Says.ID != c.says || !slices.Equal(f.Fields, c.fields) {
				t.Errorf("%s decides %v, %s %v", f.Verdict, f.Decides, f.Says.Sentence, f.Fields)
			}
			checkFinding(t, f)
		})
	}
}

// A record that does not say what it hangs on proves nothing of today's rig; and
// where no list is given nothing is said.
func TestRecordsNotKnown(t *testing.T) {
	r := rig.Rig{}
	trip := &readiness.Trip{Route: []string{"US-UT"}}
	unbound := readiness.Evaluate(readiness.Input{Rig: &r, Trip: trip, TestRecords: []record.Record{lightTest("2026-05-02", record.Passed)}})
	if !anyFinding(unbound, func(f finding.Finding) bool { return f.Says.ID == "record.unbound" && f.Verdict == finding.FindOut }) {
		t.Error("a record without what it hangs on counts")
	}
	silent := readiness.Evaluate(readiness.Input{Rig: &r, Trip: trip})
	if anyFinding(silent, func(f finding.Finding) bool { return f.ID == "record.light-test" }) {
		t.Error("without a list something is said of it")
	}
}
