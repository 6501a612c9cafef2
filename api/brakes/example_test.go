package brakes_test

import (
	"fmt"

	"pintail/api/brakes"
	"pintail/api/rig"
	"pintail/api/unit"
)

// The demo rig Marrowby and Tindle, every step by hand: the motorhome weighs
// 20,000 lb and was seen to stop from 20 mph in 26.0 ft; the car weighs 4,000 lb
// and its unit gives it half the motorhome's deceleration.
func ExampleStopping() {
	pounds := func(v float64) *unit.Mass { m := unit.LB(v); return &m }
	from, alone, share, fitted := unit.MPH(20), unit.FT(26), 50.0, true
	r := rig.Rig{Name: "Marrowby and Tindle"}
	r.Towing.Actual.Weight, r.Towed.Actual.Weight = pounds(20_000), pounds(4_000)
	r.Stopping.Alone = rig.Stop{From: &from, Distance: &alone, How: rig.MeasuredStop}
	r.BrakeUnit = rig.BrakeUnit{Fitted: &fitted, CarSharePct: &share}

	v := 20 * 22.0 / 15 // ft/s: 1 mph is 22/15 ft/s
	a := v * v / (2 * 26)
	unbraked := a * 20_000 / 24_000
	braked := (a*20_000 + a/2*4_000) / 24_000
	fmt.Printf("by hand: v %.4f ft/s, alone %.4f ft/s2\n", v, a)
	fmt.Printf("by hand: the car pushing %.4f ft/s2, %.2f ft\n", unbraked, v*v/2/unbraked)
	fmt.Printf("by hand: the car braking half as hard %.4f ft/s2, %.2f ft\n", braked, v*v/2/braked)
	for _, c := range brakes.Stopping(brakes.StoppingInput{Rig: &r}).Cases {
		fmt.Printf("%s: %.4f ft/s2, %.2f ft\n", c.Case, c.DecelFtS2, c.From20Ft)
	}
	// Output:
	// by hand: v 29.3333 ft/s, alone 16.5470 ft/s2
	// by hand: the car pushing 13.7892 ft/s2, 31.20 ft
	// by hand: the car braking half as hard 15.1681 ft/s2, 28.36 ft
	// alone: 16.5470 ft/s2, 26.00 ft
	// pair_unbraked: 13.7892 ft/s2, 31.20 ft
	// pair_braked: 15.1681 ft/s2, 28.36 ft
}

// The same rig down 6 % for 5 miles at 55 mph, with an engine brake of 100 kW,
// every step by hand.
func ExampleGrade() {
	pounds := func(v float64) *unit.Mass { m := unit.LB(v); return &m }
	grade, speed, length, engine, share := 6.0, unit.MPH(55), unit.MI(5), 100.0, 50.0
	r := rig.Rig{Name: "Marrowby and Tindle"}
	r.Towing.Actual.Weight, r.Towed.Actual.Weight = pounds(20_000), pounds(4_000)
	r.Towing.EngineBrakeKW, r.BrakeUnit.CarSharePct = &engine, &share

	sin := 0.06 / 1.0017983829 // the hypotenuse of 1 and 0.06
	force := 24_000 * 0.45359237 * 9.80665 * sin
	power := force * 55 * 0.44704 / 1000
	drop := 5 * 1609.344 * sin
	fmt.Printf("by hand: %.0f N, %.1f kW, %.1f kW left for the service brakes\n", force, power, power-100)
	fmt.Printf("by hand: the car's brakes take %.2f kW, 2,000 of 22,000\n", (power-100)/11)
	fmt.Printf("by hand: %.1f m down, %.2f MJ\n", drop, 24_000*0.45359237*9.80665*drop/1e6)
	d := brakes.Grade(brakes.GradeInput{Rig: &r, GradePct: &grade, Speed: &speed, Length: &length}).Descent
	fmt.Printf("%.0f N, %.1f kW, %.1f kW, %.2f kW, %.1f m, %.2f MJ\n", d.ForceN, d.PowerKW, *d.ShortfallKW, *d.CarBrakesKW, d.Whole.DropM, d.Whole.EnergyMJ)
	// Output:
	// by hand: 6394 N, 157.2 kW, 57.2 kW left for the service brakes
	// by hand: the car's brakes take 5.20 kW, 2,000 of 22,000
	// by hand: 481.9 m down, 51.45 MJ
	// 6394 N, 157.2 kW, 57.2 kW, 5.20 kW, 481.9 m, 51.45 MJ
}
