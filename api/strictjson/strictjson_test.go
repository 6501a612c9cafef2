package strictjson

import (
	"errors"
	"testing"

	"pintail/api/unit"
)

type inner struct {
	Name string     `json:"name"`
	Mass *unit.Mass `json:"mass"`
	Pins *int       `json:"pins"`
	Yes  *bool      `json:"yes"`
}

type outer struct {
	In   inner            `json:"in"`
	List []inner          `json:"list"`
	Map  map[string]inner `json:"map"`
}

func TestUnmarshalFaults(t *testing.T) {
	for _, tt := range []struct {
		name, in string
		kind     Kind
		pointer  string
	}{
		{"Empty", ``, Malformed, ""},
		{"Cut", `{"in":{`, Malformed, "/in"},
		{"Trailing", `{} {}`, Malformed, ""},
		{"TrailingText", `{}x`, Malformed, ""},
		{"UnknownName", `{"in":{"nam":"x"}}`, UnknownName, "/in/nam"},
		{"WrongCase", `{"In":{}}`, UnknownName, "/In"},
		{"Duplicate", `{"in":{"name":"x","name":"y"}}`, DuplicateName, "/in/name"},
		{"UTF8", "{\"in\":{\"name\":\"\xff\"}}", InvalidUTF8, "/in/name"},
		{"Null", `{"in":{"mass":null}}`, WrongType, "/in/mass"},
		{"WrongType", `{"in":{"name":3}}`, WrongType, "/in/name"},
		{"WrongTop", `[]`, WrongType, ""},
		{"Fraction", `{"in":{"pins":2.5}}`, WrongType, "/in/pins"},
		{"HugeInt", `{"in":{"pins":1e99}}`, WrongType, "/in/pins"},
		{"Bool", `{"list":[{"yes":"yes"}]}`, WrongType, "/list/0/yes"},
		{"TwoUnits", `{"in":{"mass":{"lb":1,"kg":2}}}`, InvalidValue, "/in/mass"},
		{"NoUnit", `{"map":{"a":{"mass":{}}}}`, InvalidValue, "/map/a/mass"},
		{"BareNumber", `{"in":{"mass":4300}}`, InvalidValue, "/in/mass"},
		{"UnknownUnit", `{"in":{"mass":{"stone":4}}}`, InvalidValue, "/in/mass"},
		{"TooFine", `{"in":{"mass":{"lb":0.0001}}}`, InvalidValue, "/in/mass"},
		{"Infinite", `{"in":{"mass":{"lb":1e999}}}`, InvalidValue, "/in/mass"},
		{"TextInUnit", `{"in":{"mass":{"lb":"4"}}}`, InvalidValue, "/in/mass"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var v outer
			err := Unmarshal([]byte(tt.in), &v)
			var f *Fault
			if !errors.As(err, &f) {
				t.Fatalf("got %v, want a fault", err)
			}
			if f.Kind != tt.kind || f.Pointer != tt.pointer {
				t.Errorf("got kind %d at %q (%s), want %d at %q", f.Kind, f.Pointer, f.Detail, tt.kind, tt.pointer)
			}
			if f.Detail == "" {
				t.Error("no detail")
			}
			t.Log(f)
		})
	}
}

func TestUnmarshalEntered(t *testing.T) {
	for _, tt := range []struct{ name, in, pointer string }{
		{"EmptyText", `{"in":{"name":""}}`, "/in/name"},
		{"EmptyTextInList", `{"list":[{"name":"x"},{"name":""}]}`, "/list/1/name"},
		{"EmptyTextInMap", `{"map":{"":{"name":""}}}`, "/map//name"},
		{"EmptyKeyIsNoText", `{"map":{"":{"name":"x"}}}`, ""},
		{"EmptyObject", `{"in":{}}`, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var v outer
			err := UnmarshalEntered([]byte(tt.in), &v)
			var f *Fault
			switch {
			case tt.pointer == "":
				if err != nil {
					t.Errorf("got %v, want no fault", err)
				}
			case !errors.As(err, &f) || f.Kind != InvalidValue || f.Pointer != tt.pointer:
				t.Errorf("got %v, want an invalid value at %q", err, tt.pointer)
			}
			if err := Unmarshal([]byte(tt.in), &v); err != nil {
				t.Errorf("Unmarshal: got %v, want no fault", err)
			}
		})
	}
}
