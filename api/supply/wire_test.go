package supply

import (
	"testing"

	"pintail/api/rig"
	"pintail/api/unit"
)

// Ohms of 1,000 ft at 20 °C. Source: a published table of AWG wire (14, 16, 18
// AWG: 2.525, 4.016, 6.385), and NEC chapter 9 table 8 at 75 °C, solid (3.07 for
// 14 AWG, 1.21 for 10 AWG).
func TestFootOhm(t *testing.T) {
	for awg, ohm := range map[int]float64{10: 0.9989, 12: 1.588, 14: 2.525, 16: 4.016, 18: 6.385} {
		near(t, "20 °C", 1000*FootOhm(awg, 20), ohm, 0.001)
	}
	for awg, ohm := range map[int]float64{10: 1.21, 12: 1.93, 14: 3.07, 16: 4.89, 18: 7.77} {
		near(t, "75 °C", 1000*FootOhm(awg, 75), ohm, 0.02)
	}
}

// Volts lost in a charge line, one way 40 and 60 ft, the return alike. Source:
// arithmetic on the same wire.
func TestLoopOhm(t *testing.T) {
	for _, c := range []struct {
		ft    float64
		awg   int
		amps  float64
		volts float64
	}{
		{40, 14, 5, 1.01}, {40, 12, 5, 0.64}, {40, 10, 5, 0.40}, {40, 8, 5, 0.25}, {40, 14, 10, 2.02}, {40, 10, 10, 0.80},
		{60, 14, 5, 1.51}, {60, 12, 10, 1.91}, {60, 8, 10, 0.75},
	} {
		ohm, ok := LoopOhm(rig.Wire{AWG: &c.awg, Length: ptr(unit.FT(c.ft)), Conductor: rig.Solid}, nil, 20)
		if !ok || ohm.Low != ohm.High {
			t.Fatal(ohm, ok)
		}
		near(t, "volts", c.amps*ohm.Low, c.volts, 0.01)
	}
	if _, ok := LoopOhm(rig.Wire{AWG: ptr(12)}, nil, 20); ok {
		t.Error("a wire without length has a resistance")
	}
	with, _ := LoopOhm(rig.Wire{AWG: ptr(12), Length: ptr(unit.FT(10)), Conductor: rig.Solid}, ptr(4), 20)
	near(t, "four contacts", with.Low, 20*FootOhm(12, 20)+0.04, 1e-12)
}
