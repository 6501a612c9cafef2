package readiness

import (
	"slices"
	"strings"

	"pintail/api/finding"
	"pintail/api/lamps/record"
	"pintail/api/rig"
	"pintail/api/unit"
)

// maxRecords is how many test records one question takes.
const maxRecords = 100

// checkRecords checks the test records of a rig.
func checkRecords(c rig.Checker, records []record.Record) {
	if len(records) > maxRecords {
		c.Bad("%d entries, at most %d", len(records), maxRecords)
		return
	}
	for i := range records {
		records[i].Check(c.Index(i))
	}
}

// tests says of each kind of test what its newest record is worth for this rig
// on this trip. A test proves the wiring; what a hook-up disturbs is proven again
// by the hook-up's own light test, which belongs to the hooked-up state and not
// here. So a light test that is missing or no longer stands does not keep the rig
// at home by itself; one that showed a signal wrong does, until another passes.
// Without a list of records nothing is said.
func tests(in Input) []finding.Finding {
	if in.TestRecords == nil {
		return nil
	}
	var all []finding.Finding
	for _, name := range record.Kind("").Values() {
		kind := record.Kind(name)
		if rec := newest(in.TestRecords, kind); rec != nil {
			all = append(all, test(rec, *in.Rig, in.Trip.On))
		} else if kind == record.LightTest {
			f := about(kind, finding.FindOut, false, finding.Say("record.never", nil))
			f.Remedy = finding.Advise("record.never.remedy", nil)
			all = append(all, f)
		}
	}
	return all
}

// newest is the last test of a kind that came to a result; where none did, the
// last of them.
func newest(records []record.Record, kind record.Kind) *record.Record {
	var last *record.Record
	for i := range records {
		r := &records[i]
		if r.Kind != kind {
			continue
		}
		if last == nil || judged(r) && !judged(last) || judged(r) == judged(last) && !r.When().Before(last.When()) {
			last = r
		}
	}
	return last
}

func judged(r *record.Record) bool { return r.Result == record.Passed || r.Result == record.Wrong }

func about(kind record.Kind, v finding.Verdict, decides bool, says finding.Text) finding.Finding {
	return finding.Finding{ID: "record." + strings.ReplaceAll(string(kind), "_", "-"), Area: finding.Lamps, Verdict: v, Decides: decides, Says: says}
}

// test is what one record is worth.
func test(rec *record.Record, now rig.Rig, on unit.Date) finding.Finding {
	changed := rec.Changed(now)
	p := finding.Params{"test": rec.Kind.Word(), "day": finding.Plain(rec.Day())}
	if rec.Result == record.Wrong {
		return failed(rec, changed)
	}
	var f finding.Finding
	switch {
	case rec.Result != record.Passed:
		f = about(rec.Kind, finding.FindOut, false, finding.Say("record.open", p))
	case len(rec.HangsOn) == 0:
		f = about(rec.Kind, finding.FindOut, false, finding.Say("record.unbound", p))
	case len(changed) > 0:
		f = about(rec.Kind, finding.FindOut, false, finding.Say("record.changed", p))
		f.Fields = changed
	case rec.Kind == record.LightTest && on != "" && rec.Day() < string(on):
		f = about(rec.Kind, finding.Mind, false, finding.Say("record.older", p))
		f.Remedy = finding.Advise("record.older.remedy", nil)
	default:
		f = about(rec.Kind, finding.OK, true, finding.Say("record.stands", p))
	}
	if f.Remedy == nil && f.Verdict != finding.OK {
		f.Remedy = finding.Advise("record.again.remedy", p)
	}
	f.Basis = basis(rec)
	return f
}

// failed is a test that showed something wrong. A signal that was seen wrong at
// the rear of the car forbids the trip; what may have been mended since is to be
// found out; what a survey or the bench found, or a lamp that signals nothing, is
// minded.
func failed(rec *record.Record, changed []string) finding.Finding {
	p := finding.Params{"test": rec.Kind.Word(), "day": finding.Plain(rec.Day())}
	f := about(rec.Kind, finding.Mind, true, finding.Say("record.wrong", p))
	if len(rec.NotShown) > 0 {
		p["lamp"], p["count"] = rec.Kind.WordOf(rec.NotShown[0]), finding.Num(float64(len(rec.NotShown)), "")
		f.Says = finding.Say("record.wrong_lamp", p)
	}
	switch {
	case rec.Kind != record.LightTest:
	case len(changed) > 0:
		f.Verdict, f.Says = finding.FindOut, finding.Say("record.wrong_changed", p)
	case len(rec.NotShown) == 0:
		f.Verdict = finding.FindOut
	case slices.ContainsFunc(rec.NotShown, record.Signals):
		f.Verdict = finding.NoGo
	}
	f.Fields, f.Remedy, f.Basis = changed, finding.Advise("record.wrong.remedy", p), basis(rec)
	return f
}

// basis names the record.
func basis(rec *record.Record) []finding.Basis {
	reference := "test record of " + rec.At
	if rec.Watcher != "" {
		reference += ", by " + rec.Watcher
	}
	return []finding.Basis{{Kind: finding.Measured, Reference: reference}}
}
