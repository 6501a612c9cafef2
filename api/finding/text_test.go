package finding

import (
	"math"
	"testing"

	"pintail/api/unit"
)

func TestRender(t *testing.T) {
	params := Params{
		"car": MassOf(unit.LB(4_300)), "limit": MassOf(unit.KG(1_950.5)), "who": Plain("the {owner}"), "long": LengthOf(unit.FT(15)),
		"fast": SpeedOf(unit.MPH(65)), "cold": TemperatureOf(unit.F(41)), "hold": Num(17.318, "min"), "word": Word("no.such_word"),
	}
	for _, tt := range []struct{ template, want string }{
		{"", "test.id"},
		{"No parameter.", "No parameter."},
		{"The car weighs {car}, {limit} are allowed.", "The car weighs 4,300 lb, 1,950.5 kg are allowed."},
		{"{car}{car}", "4,300 lb4,300 lb"},
		{"{who} said so.", "the {owner} said so."}, // what a person typed is not a template
		{"{long}, {fast}, {cold}", "15 ft, 65 mph, 41 °F"},
		{"{hold}", "17.32 min"},
		{"{word}", "no.such_word"},
		{"{missing} stays", "{missing} stays"},
		{"an open { brace", "an open { brace"},
		{"a } alone", "a } alone"},
	} {
		if got := render(tt.template, "test.id", ValuesOf(params)); got != tt.want {
			t.Errorf("%q: got %q, want %q", tt.template, got, tt.want)
		}
	}
}

func TestQuantity(t *testing.T) {
	for _, tt := range []struct {
		v    float64
		unit string
		want string
	}{
		{0, "", "0"}, {999, "lb", "999 lb"}, {1_000, "lb", "1,000 lb"}, {1_234_567.891, "lb", "1,234,567.89 lb"},
		{-1_000, "lb", "-1,000 lb"}, {-0.001, "lb", "0 lb"}, {math.Copysign(0, -1), "", "0"}, {0.1, "V", "0.1 V"}, {12.50, "Ah", "12.5 Ah"},
		{100, "km_h", "100 km/h"}, {-40, "f", "-40 °F"}, {5, "c", "5 °C"}, {40, "pct", "40 %"}, {4.8, "deg", "4.8°"}, {3.25, "ohm", "3.25 Ω"},
		{10, "", "10"}, {100, "", "100"}, {120, "min", "120 min"},
	} {
		if got := string(appendQuantity(nil, tt.v, tt.unit)); got != tt.want {
			t.Errorf("%v %s: got %q, want %q", tt.v, tt.unit, got, tt.want)
		}
	}
}

func TestSayWithoutSentence(t *testing.T) {
	if got := Say("no.such_id", nil); got.Sentence != "no.such_id" || got.ID != "no.such_id" {
		t.Errorf("got %+v", got)
	}
	if got := Advise("no.such_id", nil); got == nil || got.ID != "no.such_id" {
		t.Errorf("got %+v", got)
	}
}

// A copy: changing it does not change what is said.
func TestCatalogueIsACopy(t *testing.T) {
	c := Catalogue()
	for id := range c {
		c[id] = "changed"
	}
	for id, s := range Catalogue() {
		if s == "changed" {
			t.Fatalf("%s changed", id)
		}
	}
}
