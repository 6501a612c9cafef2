package breakaway_test

import (
	"fmt"
	"math"

	"pintail/api/breakaway"
	"pintail/api/rig"
	"pintail/api/unit"
)

// The breakaway kit of the demo rig Marrowby and Tindle, every step by hand: a gel
// battery of 7 Ah at its 20-hour rate, 12 A while it holds, at 25 °C and at
// freezing.
func ExampleHold() {
	ah, hours, amps := 7.0, 20.0, 12.0
	// Peukert, H-hour form: t = H (C/(I H))^k; gel k is 1.1 to 1.2.
	t := func(c, k float64) float64 { return 60 * hours * math.Pow(c/(amps*hours), k) }
	fmt.Printf("by hand, 25 C: 1200 min x (7/240)^1.2 = %.1f, ^1.1 = %.1f\n", t(ah, 1.2), t(ah, 1.1))
	// IEEE 485's factor at 0 C by the published polynomial is 1.405.
	fmt.Printf("by hand, 0 C: 7/1.405 = %.3f Ah, %.1f to %.1f min\n", ah/1.405, t(ah/1.405, 1.2), t(ah/1.405, 1.1))
	// The least battery: C = I H (15/1200)^(1/k), times the factor.
	c := func(k float64) float64 { return 1.405 * amps * hours * math.Pow(15.0/1200, 1/k) }
	fmt.Printf("by hand, least at 0 C: %.1f to %.1f Ah\n", c(1.1), c(1.2))

	kit := rig.Breakaway{HoldCurrentA: &amps, Battery: rig.StoredPower{RatedAh: &ah, RatedH: &hours, Chemistry: rig.Gel}}
	for _, celsius := range []float64{25, 0} {
		coldest := unit.C(celsius)
		r := breakaway.Hold(breakaway.HoldInput{Kit: &kit, Coldest: &coldest})
		fmt.Printf("%v C: %.1f to %.1f min, %s, least %.1f to %.1f Ah\n", celsius, r.Hold.LowMin, r.Hold.HighMin, r.Verdict, r.Least.LowAh, r.Least.HighAh)
	}
	// Output:
	// by hand, 25 C: 1200 min x (7/240)^1.2 = 17.3, ^1.1 = 24.6
	// by hand, 0 C: 7/1.405 = 4.982 Ah, 11.5 to 16.9 min
	// by hand, least at 0 C: 6.3 to 8.7 Ah
	// 25 C: 17.3 to 24.6 min, ok, least 4.5 to 6.2 Ah
	// 0 C: 11.5 to 16.9 min, find_out, least 6.3 to 8.7 Ah
}
