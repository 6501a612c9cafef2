package readiness_test

import (
	"strings"
	"testing"

	"pintail/api/readiness"
	"pintail/api/rig"
	"pintail/api/unit"
)

// TestRoad holds what a trip asks of brakes and battery to the statutes' own
// figures: R.I. Gen. Laws § 31-23-5 (40 ft, 30 ft braked on all wheels), Wyo.
// Stat. § 31-5-950 (40 ft), read in the rows; that of California is a digest's and
// too weak to count.
func TestRoad(t *testing.T) {
	hours, grade, night := 9.0, 5.0, true
	in := readiness.Input{
		Rig:  &rig.Rig{},
		Trip: &readiness.Trip{Route: []string{"US-RI", "US-CA", "US-WY", "US-RI"}, Night: &night, DrivingH: &hours, SteepestGradePct: &grade},
	}
	road := readiness.Evaluate(in).Road
	var got []string
	for _, l := range road.StopLimits {
		words := l.Name + " " + l.Distance.String() + " from " + l.From.String()
		if l.Braked != nil {
			words += map[bool]string{true: " braked", false: " unbraked"}[*l.Braked]
		}
		got = append(got, words)
	}
	want := "Rhode Island 30 ft from 20 mph braked; Rhode Island 40 ft from 20 mph unbraked; Wyoming 40 ft from 20 mph"
	if s := strings.Join(got, "; "); s != want {
		t.Errorf("limits %q, want %q", s, want)
	}
	if s := strings.Join(road.NoStopLimit, "; "); s != "California" {
		t.Errorf("no limit known for %q, want California", s)
	}
	if len(road.Day) != 1 || road.Day[0].Hours != 9 || road.Day[0].Terrain != rig.Hills || !rig.Is(road.Day[0].Dark, true) {
		t.Errorf("day %+v, want nine dark hours in hills", road.Day)
	}
	in.Trip = &readiness.Trip{Route: []string{"US-WY"}}
	if road := readiness.Evaluate(in).Road; len(road.Day) != 0 || road.Day == nil || road.NoStopLimit == nil {
		t.Errorf("%+v: without hours the day is an empty list", road)
	}
}

// TestFieldsOfTheTrip: what a room asks of its own input is named as the trip's.
func TestFieldsOfTheTrip(t *testing.T) {
	hours, yes := 9.0, true
	in := readiness.Input{
		Rig:  &rig.Rig{Breakaway: rig.Breakaway{Fitted: &yes}, Towed: rig.Towed{Battery: rig.BatteryConnected}},
		Trip: &readiness.Trip{Route: []string{"US-WY"}, DrivingH: &hours},
	}
	named := func() bool {
		for _, f := range readiness.Evaluate(in).Findings {
			for _, field := range f.Fields {
				if field == "/temperature" || field == "/coldest" || field == "/day" {
					t.Errorf("%s names %s", f.ID, field)
				}
				if f.ID == "battery.day" && field == "/trip/coldest" {
					return true
				}
			}
		}
		return false
	}
	if !named() {
		t.Error("the battery's day does not name the trip's coldest")
	}
	cold := unit.C(0)
	if in.Trip.Coldest = &cold; named() {
		t.Error("the battery's day names a coldest that is told")
	}
}
