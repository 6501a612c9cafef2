package api_test

import (
	_ "embed"
	"encoding/json"
	"reflect"
	"testing"

	"pintail/api"
)

// The vectors of the journal's calls. The built engine is held to the same
// bytes by the tests of package pwa, and this test runs under wasm as well.
//
//go:embed testdata/edits.json
var editVectors []byte

func TestEdits(t *testing.T) {
	var vectors []struct {
		Name, Call  string
		Input, Want json.RawMessage
		Refused     *string
	}
	if err := json.Unmarshal(editVectors, &vectors); err != nil {
		t.Fatal(err)
	}
	for _, v := range vectors {
		t.Run(v.Call+"/"+v.Name, func(t *testing.T) {
			got, err := api.RunEdit(v.Call, v.Input)
			switch {
			case v.Refused != nil && (err == nil || err.Problems[0].Pointer != *v.Refused):
				t.Errorf("got %s, %v; want a refusal of %s", got, err, *v.Refused)
			case v.Refused == nil && (err != nil || !sameJSON(t, got, v.Want)):
				t.Errorf("got %s, %v\nwant %s", got, err, v.Want)
			}
		})
	}
	if _, err := api.RunEdit("purge", []byte("{}")); err == nil {
		t.Error("a call that is not there was run")
	}
}

func sameJSON(t *testing.T, a, b []byte) bool {
	t.Helper()
	var x, y any
	if err := json.Unmarshal(a, &x); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &y); err != nil {
		t.Fatal(err)
	}
	return reflect.DeepEqual(x, y)
}
