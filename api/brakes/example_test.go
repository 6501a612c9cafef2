package brakes_test

import (
	"fmt"

	"pintail/api/brakes"
	"pintail/api/rig"
	"pintail/api/unit"
)

// The demo rig Ostrevan and Kibbit, every step by hand: the motorhome weighs
// 21,000 lb and was seen to stop from 20 mph in 27 ft alone, and in 29 ft with the
// car of 4,000 lb braking behind it.
func ExampleStopping() {
	from, alone, pair, fitted := unit.MPH(20), unit.FT(27), unit.FT(29), true
	r := rig.Rig{Name: "Ostrevan and Kibbit"}
	r.Towing.Actual.Weight, r.Towed.Actual.Weight = pounds(21_000), pounds(4_000)
	r.Stopping.Alone, r.Stopping.PairFrom20MPH = rig.Stop{From: &from, Distance: &alone, How: rig.MeasuredStop}, &pair
	r.BrakeUnit.Fitted = &fitted

	v := 20 * 22.0 / 15 // ft/s: 1 mph is 22/15 ft/s
	a, both := v*v/(2*27), v*v/(2*29)
	unbraked := a * 21_000 / 25_000
	share := (both*25_000 - a*21_000) / (a * 4_000)
	fmt.Printf("by hand: v %.4f ft/s, alone %.4f ft/s2, together %.4f ft/s2\n", v, a, both)
	fmt.Printf("by hand: the car pushing %.4f ft/s2, %.2f ft\n", unbraked, v*v/2/unbraked)
	fmt.Printf("by hand: the car gives itself %.2f %% of what the motorhome does\n", 100*share)
	fmt.Printf("by hand: %.1f lbf push on the bar\n", 4_000*(both-share*a)/(9.80665/0.3048))
	report := brakes.Stopping(brakes.StoppingInput{Rig: &r})
	for _, c := range report.Cases {
		fmt.Printf("%s: %.4f ft/s2, %.2f ft\n", c.Case, c.DecelFtS2, c.From20Ft)
	}
	fmt.Printf("%.2f %%, %.1f lbf\n", *report.CarSharePct, *report.Cases[2].BarPushLbf)
	// Output:
	// by hand: v 29.3333 ft/s, alone 15.9342 ft/s2, together 14.8352 ft/s2
	// by hand: the car pushing 13.3847 ft/s2, 32.14 ft
	// by hand: the car gives itself 56.90 % of what the motorhome does
	// by hand: 717.3 lbf push on the bar
	// alone: 15.9342 ft/s2, 27.00 ft
	// pair_unbraked: 13.3847 ft/s2, 32.14 ft
	// pair_measured: 14.8352 ft/s2, 29.00 ft
	// 56.90 %, 717.3 lbf
}

// The same rig down the 6 % of its trip at 55 mph, 5 miles of it, without an
// engine brake, every step by hand.
func ExampleGrade() {
	grade, speed, length, none, share := 6.0, unit.MPH(55), unit.MI(5), false, 56.8965517
	r := rig.Rig{Name: "Ostrevan and Kibbit"}
	r.Towing.Actual.Weight, r.Towed.Actual.Weight = pounds(21_000), pounds(4_000)
	r.Towing.EngineBrake, r.BrakeUnit.CarSharePct = &none, &share

	sin := 0.06 / 1.0017983829 // the hypotenuse of 1 and 0.06
	force := 25_000 * 0.45359237 * 9.80665 * sin
	power := force * 55 * 0.44704 / 1000
	drop := 5 * 1609.344 * sin
	counts := 0.568965517 * 4_000 // lb that brake as hard as the motorhome
	fmt.Printf("by hand: %.0f N, %.1f kW, all of it left for the service brakes\n", force, power)
	fmt.Printf("by hand: the car's brakes take %.2f kW, %.1f of %.1f\n", power*counts/(21_000+counts), counts, 21_000+counts)
	fmt.Printf("by hand: %.1f m down, %.2f MJ\n", drop, 25_000*0.45359237*9.80665*drop/1e6)
	d := brakes.Grade(brakes.GradeInput{Rig: &r, GradePct: &grade, Speed: &speed, Length: &length}).Descent
	fmt.Printf("%.0f N, %.1f kW, %.1f kW, %.2f kW, %.1f m, %.2f MJ\n", d.ForceN, d.PowerKW, *d.ShortfallKW, *d.CarBrakesKW, d.Whole.DropM, d.Whole.EnergyMJ)
	// Output:
	// by hand: 6660 N, 163.8 kW, all of it left for the service brakes
	// by hand: the car's brakes take 16.01 kW, 2275.9 of 23275.9
	// by hand: 481.9 m down, 53.59 MJ
	// 6660 N, 163.8 kW, 163.8 kW, 16.01 kW, 481.9 m, 53.59 MJ
}

func pounds(v float64) *unit.Mass { m := unit.LB(v); return &m }
