package supply

import (
	"math"
	"testing"

	"pintail/api/rig"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, tolerance)
	}
}

// A battery at its own rated current lasts its own hours, whatever the exponent:
// 100 Ah at the 20-hour rate is 5 A for 20 h. Source: identity of the H-hour form.
func TestPeukertIdentity(t *testing.T) {
	for _, k := range []float64{1.05, 1.1, 1.2, 1.3, 2} {
		near(t, "minutes", PeukertMin(100, 20, 5, k), 20*60, 1e-6*60)
	}
}

// The other form in use starts from a capacity at 1 A, t = Cp/I^k. Published
// exercises with it: 100 Ah, 5 A, 1.2 -> 14.50 h (electrotechnik.net) and 250 Ah,
// 20 A, 1.3 -> 5.0886 h (easycalculation). With a label's ampere-hours they are
// wrong, so these are answers that must not come out.
func TestPeukertIsNotTheOneAmpereForm(t *testing.T) {
	near(t, "trap as printed", 100/math.Pow(5, 1.2), 14.50, 0.01)
	near(t, "trap as printed", 250/math.Pow(20, 1.3), 5.0886, 0.001)
	if h := PeukertMin(100, 20, 5, 1.2) / 60; math.Abs(h-14.50) < 1 {
		t.Errorf("100 Ah at 5 A gives %v h, the 1-ampere form", h)
	}
	if h := PeukertMin(250, 20, 20, 1.3) / 60; math.Abs(h-5.0886) < 1 {
		t.Errorf("250 Ah at 20 A gives %v h, the 1-ampere form", h)
	}
}

// Arithmetic of the H-hour form worked by hand.
func TestPeukertMinutes(t *testing.T) {
	for _, c := range []struct{ ah, amps, k, minutes, tolerance float64 }{
		{100, 10, 1.1, 9.330 * 60, 0.06}, {100, 10, 1.2, 8.706 * 60, 0.06}, {100, 10, 1.3, 8.123 * 60, 0.06},
		{5, 12, 1.10, 17.0, 0.1}, {5, 12, 1.15, 14.0, 0.1}, {5, 12, 1.20, 11.5, 0.1}, {5, 12, 1.25, 9.5, 0.1},
		{7, 12, 1.2, 17.3, 0.1}, {5, 8, 1.2, 18.8, 0.1}, {12, 20, 1.2, 17.9, 0.1},
	} {
		near(t, "minutes", PeukertMin(c.ah, 20, c.amps, c.k), c.minutes, c.tolerance)
	}
	near(t, "ampere-hours delivered at 20 A", PeukertMin(100, 20, 20, 1.3)/60*20, 66.0, 0.1)
}

func TestPeukertLeastAh(t *testing.T) {
	for amps, ah := range map[float64]float64{6: 3.11, 8: 4.15, 12: 6.23, 16: 8.30} {
		near(t, "least Ah", PeukertAh(15, 20, amps, 1.2), ah, 0.01)
		near(t, "minutes of the least", PeukertMin(PeukertAh(15, 20, amps, 1.2), 20, amps, 1.2), 15, 1e-9)
	}
}

// The polynomial, and beside it the rows of IEEE 485 Table 1 it stands for
// (those from memory, hence the wide tolerance).
func TestSizeFactor(t *testing.T) {
	for c, want := range map[float64]float64{25: 1.000, 10: 1.195, 0: 1.405, -10: 1.699} {
		near(t, "factor", SizeFactor(c), want, 0.002)
	}
	for c, want := range map[float64]float64{-3.9: 1.520, 4.4: 1.300, 10: 1.190, 25: 1.000, 40.6: 0.890, 51.7: 0.850} {
		near(t, "factor against the table", SizeFactor(c), want, 0.02)
	}
	near(t, "5 Ah at 0 °C", 5/SizeFactor(0), 3.56, 0.01)
}

// Rested voltages: 12.45 V is 75 % in two published tables; 12.06 V is 50 % in
// one and 25 % in another, so the answer is a band.
func TestChargeShare(t *testing.T) {
	s := ChargeShare(12.45, rig.Flooded)
	near(t, "low at 12.45 V", s.Low, 0.75, 1e-9)
	if s.High > 0.90 {
		t.Errorf("high at 12.45 V is %v, within 15 %% of 75 %% wanted", s.High)
	}
	s = ChargeShare(12.06, rig.Flooded)
	if s.Low > 0.25 || s.High < 0.50 {
		t.Errorf("12.06 V gives %v, want a band over 25 to 50 %%", s)
	}
	// A sealed battery reads 0.1 to 0.2 V higher for the same charge.
	if agm := ChargeShare(12.45, rig.AGM); agm.Low >= 0.75 || agm.High > s.High+0.45 {
		t.Errorf("sealed at 12.45 V gives %v", agm)
	}
	for _, c := range []rig.Chemistry{"", rig.Flooded, rig.Gel, rig.AGM} {
		if s := ChargeShare(0, c); s != (Span{0, 0}) {
			t.Errorf("%s at 0 V gives %v", c, s)
		}
		if s := ChargeShare(12.9, c); s.High != 1 || s.Low < 0.99 {
			t.Errorf("%s at 12.9 V gives %v", c, s)
		}
	}
}

func TestVoltageTablesFall(t *testing.T) {
	for i, rows := range voltageTables {
		for j := 1; j < len(rows); j++ {
			if rows[j].volts >= rows[j-1].volts || rows[j].pct >= rows[j-1].pct {
				t.Errorf("table %d, row %d does not fall", i, j)
			}
		}
		if rows[0].pct != 100 || rows[len(rows)-1].pct != 0 {
			t.Errorf("table %d does not run from full to empty", i)
		}
	}
}

// Two ratings give the exponent: 100 Ah at 20 h and 60 Ah at 5 h, a pair quoted
// in a forum text, give 1.583. Source: k = ln(H1/H2)/ln(I2/I1), arithmetic.
func TestExponentOf(t *testing.T) {
	near(t, "exponent", ExponentOf(100, 20, 60, 5), 1.583, 0.001)
	k := ExponentOf(100, 20, 25*160/60.0, 160/60.0)
	near(t, "it gives the second rating back", PeukertMin(100, 20, 25, k), 160, 1e-9)
	b := rig.StoredPower{RatedAh: ptr(100.0), RatedH: ptr(20.0), ReserveMin: ptr(160.0), Chemistry: rig.Flooded}
	if got := ExponentFor(b); got != (Span{k, k}) {
		t.Errorf("got %v, want %v twice", got, k)
	}
	b.ReserveMin = ptr(5.0) // no battery is both
	if got := ExponentFor(b); got != Exponent(rig.Flooded) {
		t.Errorf("an impossible pair gives %v", got)
	}
}

// A table on the web for 100 Ah at k = 1.1 says 89, 79, 65 and 58 Ah at 10, 20,
// 50 and 100 A. It does not satisfy Peukert; these do. Source: arithmetic.
func TestDeliveredAh(t *testing.T) {
	for amps, ah := range map[float64]float64{10: 93.3, 20: 87.1, 50: 79.4, 100: 74.1} {
		near(t, "Ah", PeukertMin(100, 20, amps, 1.1)/60*amps, ah, 0.1)
	}
}

// SAE J537: reserve capacity is minutes at 25 A: 115 min is 47.9 Ah, 160 min 66.7.
func TestReserve(t *testing.T) {
	for minutes, want := range map[float64]float64{115: 47.9, 160: 66.7} {
		ah, hours, ok := Rating(rig.StoredPower{ReserveMin: ptr(minutes)})
		near(t, "Ah", ah, want, 0.1)
		near(t, "minutes", 60*hours, minutes, 1e-9)
		if !ok {
			t.Error("no rating")
		}
	}
	if _, _, ok := Rating(rig.StoredPower{RatedAh: ptr(7.0)}); ok {
		t.Error("ampere-hours without hours are no rating")
	}
}

// Energy is charge times voltage, summed: the derivative of StoredV is RestedV.
func TestStoredV(t *testing.T) {
	near(t, "empty", StoredV(0), 0, 0)
	sum := 0.0
	for i := range 100_000 {
		sum += RestedV((float64(i)+0.5)/100_000) / 100_000
	}
	near(t, "full", StoredV(1), sum, 1e-6)
	near(t, "a part", StoredV(0.47)-StoredV(0.46), RestedV(0.465)*0.01, 1e-9)
	near(t, "half", RestedV(0.5), 12.06, 1e-9)
}

func ptr[T any](v T) *T { return &v }
