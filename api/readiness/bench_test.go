package readiness_test

import (
	"os"
	"testing"

	"pintail/api"
	"pintail/api/readiness"
	"pintail/api/strictjson"
)

// sixJurisdictions is the sound rig on a route through six of them.
func sixJurisdictions(tb testing.TB) (readiness.Input, []byte) {
	tb.Helper()
	_, _ = mustRun(tb, "testdata/trips/sound-west-coast.json")
	b, err := os.ReadFile("testdata/trips/sound-west-coast.json")
	if err != nil {
		tb.Fatal(err)
	}
	var file struct {
		Input readiness.Input `json:"input"`
		Rest  map[string]any  `json:",unknown"`
	}
	if err := strictjson.Unmarshal(b, &file); err != nil {
		tb.Fatal(err)
	}
	file.Input.Trip.Route = []string{"US-WA", "US-ID", "US-MT", "US-WY", "US-CO", "US-NM"}
	raw, err := strictjson.Marshal(file.Input)
	if err != nil {
		tb.Fatal(err)
	}
	return file.Input, raw
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
