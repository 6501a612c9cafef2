package battery_test

import (
	"fmt"

	"pintail/api/battery"
	"pintail/api/rig"
	"pintail/api/unit"
)

// The car's battery of the demo rig Ostrevan and Kibbit, 60 Ah, here new and full,
// every step by hand: the car draws 3 A in accessory, first four hours without a
// charge line; then the same with one of 40 ft of 14 AWG and four contacts, from
// 14.0 V.
func ExampleDay() {
	yes, no, draw, ah, hours, age, rested := true, false, 3.0, 60.0, 20.0, 0.0, 12.9
	warm := unit.C(25)
	r := rig.Rig{Name: "Ostrevan and Kibbit"}
	r.Towed.Battery, r.Towed.Draw.AwakeA = rig.BatteryConnected, &draw
	r.Towed.CarBattery = rig.StoredPower{RatedAh: &ah, RatedH: &hours, Chemistry: rig.Flooded, AgeYears: &age, RestedV: &rested}
	r.BrakeUnit.Fitted, r.Harness.ChargeLine.Fitted = &no, &no
	in := battery.DayInput{Rig: &r, Temperature: &warm, Day: []battery.Segment{{State: battery.Driving, Hours: 4}}}

	// 3 A is the battery's own 20-hour rate (60/20), so Peukert takes nothing more.
	fmt.Printf("by hand: %.1f Ah drawn, %.0f %% left\n", 3.0*4, 100*(1-3.0*4/60))
	p := battery.Day(in).Curve
	fmt.Printf("followed: %.0f to %.0f %% left\n", p[len(p)-1].LowPct, p[len(p)-1].HighPct)

	awg, contacts, volts, length, fuse := 14, 4, 14.0, unit.FT(40), 15.0
	r.Harness.ChargeLine = rig.ChargeLine{
		Fitted: &yes, To: rig.ToCarBattery, SourceV: &volts, Isolator: rig.RelayIsolator, FuseTowingA: &fuse, FuseTowedA: &fuse,
		Wire: rig.Wire{AWG: &awg, Length: &length, Conductor: rig.Solid}, Contacts: &contacts,
	}
	// 14 AWG is 2.5252 ohm a thousand feet at 20 C, 1.97 % more at 25 C.
	ohm := 80*2.5252/1000*1.01965 + 4*0.010
	fmt.Printf("by hand: %.4f ohm, %.3f V at the battery\n", ohm, 14-3*ohm)
	fmt.Println("by hand: between 12.7 V at rest and 13.5 V to charge: it holds")
	report := battery.Day(in)
	p = report.Curve
	fmt.Printf("followed: %.3f V, %s, %.0f %% left\n", p[len(p)-1].LowV, report.Segments[0].Worst, p[len(p)-1].LowPct)
	e := report.LowEnergy
	fmt.Printf("by hand: %.1f Wh out of the motorhome, %.2f lost in the line, %.1f into the loads\n", 14*3*4.0, 9*ohm*4, (14-3*ohm)*3*4)
	fmt.Printf("followed: %.1f, %.2f, %.1f; %.3f %% does not add up\n", e.SourceWh, e.WireWh, e.LoadsWh, e.OpenPct)
	// Output:
	// by hand: 12.0 Ah drawn, 80 % left
	// followed: 80 to 80 % left
	// by hand: 0.2460 ohm, 13.262 V at the battery
	// by hand: between 12.7 V at rest and 13.5 V to charge: it holds
	// followed: 13.262 V, holding, 100 % left
	// by hand: 168.0 Wh out of the motorhome, 8.86 lost in the line, 159.1 into the loads
	// followed: 168.0, 8.86, 159.1; 0.000 % does not add up
}
