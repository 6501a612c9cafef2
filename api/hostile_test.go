package api_test

import (
	"strings"
	"testing"

	"pintail/api"
	"pintail/api/finding"
)

// hostile are inputs of coupling/check that are refused, each of another kind.
var hostile = []struct {
	name, in string
	code     finding.Code
	pointer  string
}{
	{"Empty", ``, finding.MalformedJSON, ""},
	{"Cut", `{"rig":{`, finding.MalformedJSON, "/rig"},
	{"Trailing", `{"rig":{}}{}`, finding.MalformedJSON, ""},
	{"NoObject", `[]`, finding.WrongType, ""},
	{"InvalidUTF8", "{\"rig\":{\"name\":\"\xff\"}}", finding.InvalidUTF8, "/rig/name"},
	{"LoneSurrogate", `{"rig":{"name":"\ud800"}}`, finding.MalformedJSON, "/rig/name"},
	{"UnknownMember", `{"rig":{"colour":"red"}}`, finding.UnknownMember, "/rig/colour"},
	{"WrongCase", `{"rig":{"Name":"x"}}`, finding.UnknownMember, "/rig/Name"},
	{"DuplicateMember", `{"rig":{"name":"x","name":"y"}}`, finding.DuplicateMember, "/rig/name"},
	{"WrongType", `{"rig":{"towed":{"actual":{"weight":4300}}}}`, finding.InvalidValue, "/rig/towed/actual/weight"},
	{"TwoUnits", `{"rig":{"towed":{"actual":{"weight":{"lb":4300,"kg":1950}}}}}`, finding.InvalidValue, "/rig/towed/actual/weight"},
	{"Negative", `{"rig":{"towed":{"actual":{"weight":{"lb":-4300}}}}}`, finding.InvalidValue, "/rig/towed/actual/weight"},
	{"Absurd", `{"rig":{"towed":{"actual":{"weight":{"lb":43000}}}}}`, finding.InvalidValue, "/rig/towed/actual/weight"},
	{"Huge", `{"rig":{"towed":{"actual":{"weight":{"lb":1e400}}}}}`, finding.InvalidValue, "/rig/towed/actual/weight"},
	{"Null", `{"rig":null}`, finding.WrongType, "/rig"},
	{"EmptyText", `{"rig":{"name":""}}`, finding.InvalidValue, "/rig/name"},
	{"NoRig", `{}`, finding.InvalidValue, "/rig"},
	{"Escaped", `{"rig":{"coupling":{"parts":{"a/b~c":{"kind":"receiver"}}}}}`, finding.InvalidValue, "/rig/coupling/parts/a~1b~0c"},
	{"Deep", strings.Repeat(`{"rig":`, 20_000), finding.MalformedJSON, strings.Repeat("/rig", 250)},
	{"DeepNull", strings.Repeat(`{"rig":`, 5_000) + "null" + strings.Repeat("}", 5_000), finding.WrongType, strings.Repeat("/rig", 250)},
	{"LongName", `{"` + strings.Repeat("x", 10_000) + `":1}`, finding.UnknownMember, ""},
	{"LongWord", `{"rig":{"harness":{"signals":"` + strings.Repeat("é", 10_000) + `"}}}`, finding.InvalidValue, "/rig/harness/signals"},
	{"LongNumber", `{"rig":{"towed":{"curb":{"lb":` + strings.Repeat("9", 10_000) + `}}}}`, finding.InvalidValue, "/rig/towed/curb"},
	{"Large", `{"rig":{"name":"` + strings.Repeat("x", api.MaxInput) + `"}}`, finding.TooLarge, ""},
}

func TestHostile(t *testing.T) {
	for _, h := range hostile {
		t.Run(h.name, func(t *testing.T) {
			_, err := api.Run("coupling/check", []byte(h.in))
			if err == nil {
				t.Fatal("accepted")
			}
			if n := len(err.JSON()); n > 3_000 {
				t.Errorf("the problem is %d bytes long", n)
			}
			if p := err.Problems[0]; p.Code != h.code || p.Pointer != h.pointer || p.Detail == "" {
				t.Errorf("got %s at %q (%s), want %s at %q", p.Code, p.Pointer, p.Detail, h.code, h.pointer)
			}
		})
	}
}

func TestUnknownOperation(t *testing.T) {
	_, err := api.Run("coupling/guess", []byte(`{"rig":{}}`))
	if err == nil || err.Code() != finding.UnknownOperation {
		t.Errorf("got %v, want %s", err, finding.UnknownOperation)
	}
}
