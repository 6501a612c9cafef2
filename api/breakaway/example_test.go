package breakaway_test

import (
	"fmt"
	"math"

	"pintail/api/breakaway"
	"pintail/api/rig"
	"pintail/api/unit"
)

// The breakaway kit of the demo rig Ostrevan and Kibbit at the 40 °F of its trip,
// every step by hand: an AGM battery of 12 Ah at its 20-hour rate, a year old, at
// 12.8 V rested, 6 A while it holds.
func ExampleHold() {
	ah, hours, amps, age, rested := 12.0, 20.0, 6.0, 1.0, 12.8
	// IEEE 485's factor by the published polynomial, x = 4.444 °C/100.
	x := (40 - 32) / 1.8 / 100
	cold := ((-2.8117*x+4.1916)*x-2.4941)*x + 1.405
	fmt.Printf("by hand: factor %.4f, so %.3f Ah of 12; a year takes 4 %% at worst, %.3f Ah\n", cold, ah/cold, 0.96*ah/cold)
	// A sealed battery reads 0.1 to 0.2 V high: 12.6 V at worst, which the second
	// table puts between 12.45 V, 75 %, and 12.66 V, 100 %; 12.7 V at best, full.
	least := 75 + 25*(12.6-12.45)/(12.66-12.45)
	fmt.Printf("by hand: at least %.2f %% charged\n", least)
	// Peukert, H-hour form: t = H (C/(I H))^k; AGM k is 1.05 to 1.15.
	t := func(c, k float64) float64 { return 60 * hours * math.Pow(c/(amps*hours), k) }
	fmt.Printf("by hand: %.2f to %.2f min\n", least/100*t(0.96*ah/cold, 1.15), t(ah/cold, 1.05))
	// The least battery, new and full: C = I H (15/1200)^(1/k), times the factor.
	c := func(k float64) float64 { return cold * amps * hours * math.Pow(15.0/1200, 1/k) }
	fmt.Printf("by hand: least %.2f to %.2f Ah\n", c(1.05), c(1.15))

	kit := rig.Breakaway{HoldCurrentA: &amps, Battery: rig.StoredPower{RatedAh: &ah, RatedH: &hours, Chemistry: rig.AGM, AgeYears: &age, RestedV: &rested}}
	coldest := unit.F(40)
	r := breakaway.Hold(breakaway.HoldInput{Kit: &kit, Coldest: &coldest})
	fmt.Printf("%.2f to %.2f min, %s, least %.2f to %.2f Ah\n", r.Hold.LowMin, r.Hold.HighMin, r.Verdict, r.Least.LowAh, r.Least.HighAh)
	// Output:
	// by hand: factor 1.3022, so 9.215 Ah of 12; a year takes 4 % at worst, 8.847 Ah
	// by hand: at least 92.86 % charged
	// by hand: 55.56 to 81.05 min
	// by hand: least 2.41 to 3.46 Ah
	// 55.56 to 81.05 min, ok, least 2.41 to 3.46 Ah
}
