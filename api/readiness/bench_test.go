package readiness_test

import (
	"testing"

	"pintail/api"
	"pintail/api/readiness"
	"pintail/api/strictjson"
)

// sixJurisdictions is the sound rig on a route through six of them.
func sixJurisdictions(tb testing.TB) (readiness.Input, []byte) {
	tb.Helper()
	tr, _ := mustRun(tb, "testdata/trips/sound-west-coast.json")
	var in readiness.Input
	if err := strictjson.Unmarshal(tr.Input, &in); err != nil {
		tb.Fatal(err)
	}
	in.Trip.Route = []string{"US-WA", "US-ID", "US-MT", "US-WY", "US-CO", "US-NM"}
	raw, err := strictjson.Marshal(in)
	if err != nil {
		tb.Fatal(err)
	}
	return in, raw
}

// BenchmarkReadiness is the computation alone, six jurisdictions. Goal: 300 µs
// natively.
func BenchmarkReadiness(b *testing.B) {
	in, _ := sixJurisdictions(b)
	for b.Loop() {
		readiness.Evaluate(in)
	}
}

// BenchmarkReadinessJSON is the whole way from bytes to bytes.
func BenchmarkReadinessJSON(b *testing.B) {
	_, raw := sixJurisdictions(b)
	for b.Loop() {
		if _, err := api.Run("readiness", raw); err != nil {
			b.Fatal(err)
		}
	}
}
