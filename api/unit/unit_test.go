package unit_test

import (
	"math"
	"testing"

	"pintail/api/strictjson"
	"pintail/api/unit"
)

// Check values 6a to 6e of the project's reference on units: 1 lb is 0.45359237
// kg by definition (NIST HB 44 Appendix C), the rest follows from it.
func TestPublishedMasses(t *testing.T) {
	for _, tt := range []struct {
		row       string
		lb, kg    float64
		tolerance float64
		from      string
	}{
		{"6a", 1_500, 680.38855, 1e-5, "lb"},
		{"6a", 2_000, 907.18474, 1e-5, "lb"},
		{"6a", 3_000, 1_360.77711, 1e-5, "lb"},
		{"6a", 4_500, 2_041.16566, 1e-5, "lb"},
		{"6a", 10_000, 4_535.9237, 1e-5, "lb"},
		{"6b", 10_001, 4_536.37729, 1e-5, "lb"},
		{"6b", 26_000, 11_793.40162, 1e-4, "lb"}, // printed to 10 digits, figures carry 9
		{"6b", 26_001, 11_793.85521, 1e-4, "lb"},
		{"6c", 2_998.287, 1_360, 0.001, "kg"},
		{"6c", 3_086.472, 1_400, 0.001, "kg"},
		{"6c", 2_006.207, 910, 0.001, "kg"},
		{"6c", 1_653.467, 750, 0.001, "kg"},
		{"6e", 10_000.168, 4_536, 0.001, "kg"},
	} {
		if tt.from == "lb" {
			if got := unit.LB(tt.lb).In("kg"); math.Abs(got-tt.kg) > tt.tolerance {
				t.Errorf("%s: %g lb is %.9g kg, want %.9g", tt.row, tt.lb, got, tt.kg)
			}
			continue
		}
		if got := unit.KG(tt.kg).In("lb"); math.Abs(got-tt.lb) > tt.tolerance {
			t.Errorf("%s: %g kg is %.9g lb, want %.9g", tt.row, tt.kg, got, tt.lb)
		}
	}
}

// 6d: a rule of 1,360 kg catches 2,999 lb and not 2,998 lb, so a threshold is
// compared in its own unit. 6e: 4,536 kg is a rounded 10,000 lb, a little over.
func TestThresholdsKeepTheirUnit(t *testing.T) {
	for _, tt := range []struct {
		name          string
		weight, limit unit.Mass
		over          bool
	}{
		{"6d over", unit.LB(2_999), unit.KG(1_360), true},
		{"6d under", unit.LB(2_998), unit.KG(1_360), false},
		{"6e", unit.KG(4_536), unit.LB(10_000), true},
		{"6e other way", unit.LB(10_001), unit.KG(4_536), true},
		{"7a at", unit.LB(3_000), unit.LB(3_000), false},
		{"7a over", unit.LB(3_001), unit.LB(3_000), true},
		{"a gram over", unit.KG(1_360.001), unit.KG(1_360), true},
	} {
		if got := tt.weight.Over(tt.limit); got != tt.over {
			t.Errorf("%s: %s over %s is %t, want %t", tt.name, tt.weight, tt.limit, got, tt.over)
		}
	}
}

// Exact definitions of the other units: 1 in = 25.4 mm, 1 mph = 1.609344 km/h,
// °C = (°F - 32) × 5/9.
func TestDefinitions(t *testing.T) {
	for _, tt := range []struct {
		name string
		same int
	}{
		{"in", unit.IN(1).Compare(must(unit.NewLength(25.4, "mm")))},
		{"ft", unit.FT(1).Compare(unit.IN(12))},
		{"mi", unit.MI(1).Compare(unit.FT(5_280))},
		{"km", must(unit.NewLength(1, "km")).Compare(unit.M(1_000))},
		{"cm", must(unit.NewLength(100, "cm")).Compare(unit.M(1))},
		{"mph", unit.MPH(1_000).Compare(must(unit.NewSpeed(1_609.344, "km_h")))},
		{"freezing", unit.F(32).Compare(unit.C(0))},
		{"boiling", unit.F(212).Compare(unit.C(100))},
		{"crossing", unit.F(-40).Compare(unit.C(-40))},
	} {
		if tt.same != 0 {
			t.Errorf("%s: compares %d, want equal", tt.name, tt.same)
		}
	}
}

func must[Q any](q Q, err error) Q {
	if err != nil {
		panic(err)
	}
	return q
}

func TestNewRefuses(t *testing.T) {
	for _, tt := range []struct {
		name  string
		value float64
		unit  string
	}{
		{"UnknownUnit", 1, "stone"},
		{"OtherDimension", 1, "ft"},
		{"NoUnit", 1, ""},
		{"NaN", math.NaN(), "lb"},
		{"Infinite", math.Inf(1), "lb"},
		{"MinusInfinite", math.Inf(-1), "kg"},
		{"TooLarge", 500_000.001, "lb"},
		{"TooSmall", -500_000.001, "kg"},
		{"TooFine", 0.0001, "lb"},
		{"TooFineNearOne", 1.0005, "kg"},
	} {
		if q, err := unit.NewMass(tt.value, tt.unit); err == nil {
			t.Errorf("%s: got %s, want an error", tt.name, q)
		}
	}
}

func TestPercentAndArithmetic(t *testing.T) {
	for _, tt := range []struct {
		name      string
		got, want unit.Mass
	}{
		// Reserve of 10 % as in the worked example of the trade: 4,600 lb leave 4,140.
		{"Percent", unit.LB(4_600).Percent(90), unit.LB(4_140)},
		{"PercentOfKG", unit.KG(1_000).Percent(33), unit.KG(330)},
		{"Add", unit.LB(21_400).Add(unit.LB(4_300)), unit.LB(25_700)},
		{"Sub", unit.LB(26_000).Sub(unit.LB(21_400)), unit.LB(4_600)},
		{"SubBelowZero", unit.LB(1).Sub(unit.LB(2)), unit.LB(-1)},
	} {
		if tt.got.Compare(tt.want) != 0 {
			t.Errorf("%s: got %s, want %s", tt.name, tt.got, tt.want)
		}
	}
	if got := unit.LB(100).Add(unit.KG(100)).Unit(); got != "lb" {
		t.Errorf("a sum is shown in %s, want the first one's unit", got)
	}
	if got := unit.LB(100).To(unit.KG(0)).String(); got != "45.359237 kg" {
		t.Errorf("To gives %s", got)
	}
}

// 40 % is a line that laws draw: exactly 40 % is not over it (check value 1i).
func TestComparePercentAtTheLine(t *testing.T) {
	for _, tt := range []struct {
		car, motorhome unit.Mass
		want           int
	}{
		{unit.LB(3_000), unit.LB(7_500), 0},
		{unit.LB(3_000.001), unit.LB(7_500), 1},
		{unit.LB(2_999.999), unit.LB(7_500), -1},
		{unit.LB(3_000), unit.LB(3_400), 1}, // 88.2 %, check value 1h
		{unit.KG(1_000), unit.KG(2_500), 0},
		{unit.LB(0), unit.LB(0), 0},
		{unit.LB(-1), unit.LB(0), -1},
		{unit.LB(-3_000), unit.LB(-7_500), 0},
	} {
		if got := tt.car.ComparePercent(tt.motorhome, 40_000); got != tt.want {
			t.Errorf("%s against 40 %% of %s: got %d, want %d", tt.car, tt.motorhome, got, tt.want)
		}
	}
}

func TestUnknownUnitOfInPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	unit.LB(1).In("ft")
}

func TestJSON(t *testing.T) {
	for _, s := range []string{`{"lb":4300}`, `{"kg":1950}`, `{"lb":0.001}`, `{"kg":-500000}`, `{"lb":0}`} {
		var m unit.Mass
		if err := strictjson.Unmarshal([]byte(s), &m); err != nil {
			t.Errorf("%s: %v", s, err)
			continue
		}
		if b, err := strictjson.Marshal(m); err != nil || string(b) != s {
			t.Errorf("got %s (%v), want %s", b, err, s)
		}
	}
}

func TestRound9(t *testing.T) {
	for _, tt := range []struct{ in, want float64 }{
		{1.0 / 3, 0.333333333},
		{123_456_789.4, 123_456_789},
		{1_234_567_894, 1_234_567_890},
		{-2.0 / 3, -0.666666667},
		{1e-12 / 3, 3.33333333e-13},
		{4_300, 4_300},
	} {
		if got := unit.Round9(tt.in); got != tt.want {
			t.Errorf("Round9(%v) = %v, want %v", tt.in, got, tt.want)
		}
	}
	if z := unit.Round9(math.Copysign(0, -1)); z != 0 || math.Signbit(z) {
		t.Error("minus zero stays")
	}
	if !math.IsNaN(unit.Round9(math.NaN())) || !math.IsInf(unit.Round9(math.Inf(1)), 1) {
		t.Error("NaN and infinities come back unchanged")
	}
	// Two results that differ only in the last bits of a float64 become one.
	if a, b := unit.Round9(0.1+0.2), unit.Round9(0.3); a != b {
		t.Errorf("%v and %v", a, b)
	}
}

func TestDate(t *testing.T) {
	for d, want := range map[unit.Date]bool{
		"2024-02-29": true, "1900-01-01": true, "2199-12-31": true,
		"2023-02-29": false, "1900-02-29": false, "1899-12-31": false, "2200-01-01": false,
		"": false, "2023-2-1": false, "2023-02-01 ": false, "20230201": false, "yesterday": false,
	} {
		if d.Valid() != want {
			t.Errorf("%q: valid is %t, want %t", d, d.Valid(), want)
		}
	}
}
